import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { RequestName } from '../../shared/contract/requests.ts';
import { type PageOptions, type Screens, startScreens } from './page.ts';

/** The steps of a visit in Chromium, with a fake main side that checks every request against the contract. */

let screens: Screens;
const pages: Page[] = [];

beforeAll(async () => {
  screens = await startScreens();
}, 120_000);
afterEach(async () => {
  for (const page of pages.splice(0)) await page.context().close();
});
afterAll(() => screens?.close());

async function open(at: string, options: PageOptions = {}): Promise<Page> {
  const page = await screens.open({ ...options, at });
  pages.push(page);
  return page;
}
const poll = <T>(look: () => T | Promise<T>) => expect.poll(look, { timeout: 10_000 });
const calls = (page: Page, name: RequestName) =>
  page.evaluate((n) => window.fakeMain.calls.filter((c) => c.name === n).map((c) => c.input), name);
const goTo = (page: Page, route: string) =>
  page.evaluate((to) => {
    location.hash = to;
  }, route);

async function expectAccessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  const serious = violations.filter((v) => v.impact === 'serious' || v.impact === 'critical');
  expect(serious.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`)).toEqual([]);
}

/** Nonsense in a form: where it is typed, what is said there, and which request must not have been accepted. */
const NONSENSE = [
  {
    form: 'intake',
    route: '/visits/12/intake',
    saves: 'work.saveIntake',
    fields: [
      ['Heard from, km/h', 'fast', 'Speed from: a number is needed.'],
      ['Odometer, km', '-5', 'Odometer: from 0 to 3,000,000 km.'],
      ['VIN', '1M8GDM9AXKP04278O', 'VIN: the letter O is in no VIN; it is most likely a 0.'],
      ['Tyre size', 'round', /Tyre size: /],
      ['Cylinders', '4.5', 'Cylinders: a whole number is needed.'],
      ['Tread, mm', '99', 'Tread: from 0 to 30 mm.'],
    ],
  },
  {
    form: 'inspection',
    route: '/visits/12/inspection',
    saves: 'work.saveInspection',
    fields: [
      ['Drained, l', '400', 'Fluid drained: from 0 to 50 l.'],
      ['Maker’s torque, Nm', 'tight', 'Torque from the maker’s data: a number is needed.'],
    ],
  },
  {
    form: 'decision',
    route: '/visits/12/decision',
    saves: 'work.saveDecision',
    fields: [
      ['Reckoned over, km', '', 'Horizon: a number is needed.'],
      ['Labour, hours', 'a morning', 'Labour: a number is needed.'],
      ['or at, km', 'soon', 'Next check: a number is needed.'],
    ],
  },
  {
    form: 'settings',
    route: '/settings',
    saves: 'settings.save',
    fields: [
      ['Currency', 'money', 'Currency: three capital letters, such as EUR (ISO 4217).'],
      ['Tax, %', '120', 'Tax: from 0 to 100 %.'],
      ['Labour rate, net per hour', 'much', 'Labour rate: a number is needed.'],
    ],
  },
] as const;

describe.each(NONSENSE)('the form of the $form', ({ route, saves, fields }) => {
  test('refuses nonsense at its field, and loses nothing that was typed', async () => {
    const page = await open(route);
    for (const [label, nonsense] of fields)
      await page.getByLabel(label, { exact: true }).first().fill(nonsense);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    for (const [label, nonsense, sentence] of fields) {
      await page.getByRole('alert').filter({ hasText: sentence }).first().waitFor();
      expect(await page.getByLabel(label, { exact: true }).first().inputValue()).toBe(nonsense);
    }
    const marked = page.locator('[aria-invalid="true"]');
    expect(await marked.count()).toBe(fields.length);
    for (let i = 0; i < fields.length; i++) {
      const words = await marked.nth(i).getAttribute('aria-describedby');
      expect(await page.locator(`[id="${words!.split(' ').at(-1)}"]`).textContent()).toMatch(/^⚠ /);
    }
    expect(await calls(page, saves)).toEqual([]);

    // Gone to another screen and back: everything stands as it was typed.
    await poll(async () => (await calls(page, 'drafts.save')).length).toBeGreaterThan(0);
    await goTo(page, '/vehicles/new');
    await page.getByRole('heading', { level: 1, name: 'Add a vehicle' }).waitFor();
    await goTo(page, route);
    for (const [label, nonsense] of fields)
      await poll(() => page.getByLabel(label, { exact: true }).first().inputValue()).toBe(nonsense);

    await page.getByRole('button', { name: 'Back to what was saved' }).click();
    for (const [label, nonsense] of fields)
      if (nonsense !== '')
        await poll(() => page.getByLabel(label, { exact: true }).first().inputValue()).not.toBe(nonsense);
    expect(await calls(page, 'drafts.clear')).toHaveLength(1);
  });
});

test('what the main side refuses stands at the field it names', async () => {
  const page = await open('/visits/12/intake');
  await page.getByLabel('Plate').fill('BR-881');
  await page.evaluate(() => {
    window.fakeMain.refuse['work.saveIntake'] = {
      message: 'Plate: another vehicle has it already.',
      field: 'intake.plate',
    };
  });
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.getByRole('alert').filter({ hasText: 'another vehicle has it already' }).waitFor();
  expect(await page.getByLabel('Plate').getAttribute('aria-invalid')).toBe('true');
  expect(await page.getByLabel('Plate').inputValue()).toBe('BR-881');
});

test('a check digit that does not fit is told, and saved all the same', async () => {
  const page = await open('/visits/12/intake');
  await page.getByLabel('VIN').fill('wvwzzz1jz3w386752');
  await page.getByText('The check digit does not fit, which is normal outside North America').waitFor();
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await poll(async () => (await calls(page, 'work.saveIntake')).length).toBe(1);
  expect((await calls(page, 'work.saveIntake'))[0]).toMatchObject({ intake: { vin: 'WVWZZZ1JZ3W386752' } });
});

test('a skipped step stands in the line, and comes back as a reminder', async () => {
  const page = await open('/visits/12/inspection');
  await page.getByRole('button', { name: 'Skip for now' }).click();
  await page.getByRole('heading', { level: 1, name: 'Decision' }).waitFor();
  await page.getByRole('link', { name: /Inspection\s*, skipped/ }).waitFor();
  await page.getByText('The inspection was skipped: play and drain plug decide').waitFor();
});

test('imperial units are typed, and SI is kept; what was not touched stays exact', async () => {
  const page = await open('/settings');
  await page.getByLabel('Units').selectOption('imperial');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.getByText('Saved.').waitFor();
  await goTo(page, '/visits/12/intake');
  await page.getByLabel('Odometer, mi').fill('50000');
  await page.getByRole('group', { name: 'Front left' }).getByLabel('Pressure, psi').fill('32');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await poll(async () => (await calls(page, 'work.saveIntake')).length).toBe(1);
  // International mile and pound-force per square inch, NIST SP 811, Appendix B.8.
  const [saved] = (await calls(page, 'work.saveIntake')) as {
    intake: { odometer_km: number; tyres: { wheels: { 'front-left': { pressure_kPa: number } } } };
  }[];
  expect(saved!.intake.odometer_km).toBeCloseTo(80_467.2, 6);
  expect(saved!.intake.tyres.wheels['front-left'].pressure_kPa).toBeCloseTo(32 * 6.894757, 3);
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await poll(async () => (await calls(page, 'work.saveIntake')).length).toBe(2);
  expect((await calls(page, 'work.saveIntake'))[1]).toEqual(saved);
});

test('placements of a visit are corrected while the source runs', async () => {
  const page = await open('/setup/12');
  await page.getByRole('combobox', { name: 'Interface' }).selectOption({ index: 1 });
  await page.getByLabel('Channels').selectOption('2');
  await page.getByLabel('Channel 1: Place').selectOption('hub-rear-left');
  await page.getByLabel('Channel 2: Place').selectOption('hub-rear-right');
  await page.getByLabel(/^The passenger operates/).check();
  await page.getByRole('button', { name: 'Connect' }).click();
  await page.getByRole('heading', { name: 'Checks before the drive' }).waitFor();
  expect((await calls(page, 'work.saveRigging'))[0]).toMatchObject({
    rigging: {
      interfaceName: 'Field interface 8',
      channels: [{ position: 'hub-rear-left' }, { position: 'hub-rear-right' }],
      cautionsTicked: ['passenger'],
    },
  });
  await page.getByLabel('Channel 1: Place').selectOption('transmission');
  await page.getByRole('button', { name: 'Take over the changed places' }).click();
  await poll(async () => (await calls(page, 'live.setChannels')).length).toBe(1);
  expect((await calls(page, 'live.setChannels'))[0]).toMatchObject({
    channels: [{ position: 'transmission' }, { position: 'hub-rear-right' }],
  });
  await poll(async () => (await calls(page, 'work.saveRigging')).length).toBe(2);
  expect(await calls(page, 'live.open')).toHaveLength(1);
});

test('a tap check that answered leads on to the next pickup', async () => {
  const page = await open('/setup/12');
  await page.getByRole('combobox', { name: 'Interface' }).selectOption({ index: 1 });
  await page.getByLabel('Channels').selectOption('2');
  await page.getByRole('button', { name: 'Connect' }).click();
  await page.getByRole('button', { name: 'Tap all in turn' }).click();
  await page.getByText('Tap beside the pickup of channel 1.').waitFor();
  await page.evaluate(() => window.fakeMain.answerTap(12, 1));
  await page.getByText('Tap beside the pickup of channel 2.').waitFor();
  expect(await calls(page, 'checks.start')).toMatchObject([
    { visitId: 12, check: { check: 'tap', channel: 1 } },
    { visitId: 12, check: { check: 'tap', channel: 2 } },
  ]);
});

test('a shaker’s value that is none is refused at its field', async () => {
  const page = await open('/setup/12');
  await page.getByRole('combobox', { name: 'Interface' }).selectOption({ index: 1 });
  await page.getByRole('button', { name: 'Connect' }).click();
  await page.getByLabel('Shaker gives, m/s² RMS').fill('5000');
  await page.getByRole('button', { name: 'Calibrate, channel 1' }).click();
  await page.getByRole('alert').filter({ hasText: 'Reference: from 0.1 to 1,000 m/s².' }).waitFor();
  expect(await page.getByLabel('Shaker gives, m/s² RMS').inputValue()).toBe('5000');
});

test('the road card leads the drive in one line of the live view', async () => {
  const page = await open('/visits/12/road');
  await page.getByRole('button', { name: 'Propose the manoeuvres' }).click();
  await page.getByRole('heading', { name: /^Road card: 0 of/ }).waitFor();
  await page.evaluate(() =>
    window.fakeMain.request('live.open', { source: { kind: 'demo' }, visitId: 12, channels: [] }),
  );
  await page.evaluate(() => window.fakeMain.setLive({ visitId: 12 }));
  await page.getByRole('button', { name: 'Start the drive' }).click();
  const strip = page.getByRole('region', { name: 'Road card' });
  await poll(() => strip.textContent()).toMatch(/0 of \d+/);
  await page.keyboard.press('p');
  await poll(() => strip.textContent()).toContain('Prompts are silent');
  await page.keyboard.press('j');
  await poll(() => calls(page, 'roadCard.choose')).toEqual([{ manoeuvreId: null }]);
  await page.keyboard.press('w');
  await poll(async () => (await calls(page, 'roadCard.follow')).at(-1)).toEqual({ visitId: null });
});

test('the report stands in a frame that runs nothing, in its own style', async () => {
  const page = await open('/visits/12/report');
  // Read from the page around it: nothing runs in the frame, not even what a test brings.
  const colour = () =>
    page.locator('iframe').evaluate((frame: HTMLIFrameElement) => {
      const title = frame.contentDocument?.querySelector('h1');
      return title?.textContent === 'Report on a noise' ? getComputedStyle(title).color : null;
    });
  await poll(colour).toBe('rgb(1, 2, 3)');
  expect(await page.locator('iframe').getAttribute('sandbox')).not.toContain('allow-scripts');
  await page.getByRole('button', { name: 'Save as PDF' }).click();
  await page.getByText('Saved: /garage/reports/report-12.pdf').waitFor();
});

const STEPS = ['intake', 'road', 'inspection', 'decision'].map((step) => `/visits/12/${step}`);

// axe-core wants to run in every frame, which the report's forbids: what stands around it is looked at without it.
test('the report’s screen has no serious fault', async () => {
  const page = await open('/settings');
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.evaluate(() => {
    window.fakeMain.refuse['report.preview'] = { message: 'The disk is full; make room for the report.' };
  });
  await goTo(page, '/visits/12/report');
  await page.getByRole('alert').filter({ hasText: 'The disk is full' }).waitFor();
  await expectAccessible(page);
});

describe.each([...STEPS, '/setup/12', '/settings'])('%s', (route) => {
  test.each(['day', 'night'] as const)(
    'has no serious fault for those who cannot see it well, by %s',
    async (theme) => {
      const page = await open(route, { theme });
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.waitForTimeout(300);
      await expectAccessible(page);
    },
  );

  test('is reached by scrolling down at 200 % zoom, nothing sideways', async () => {
    const page = await open(route, { width: 640, height: 400 });
    await page.getByRole('heading', { level: 1 }).waitFor();
    await page.waitForTimeout(300);
    const sideways = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(sideways).toBeLessThanOrEqual(0);
  });
});

test('nothing was said on the console', () => {
  // The test's own preload wants into the report's frame as well, and is refused there.
  const ours = screens.complaints.filter((text) => !text.includes("script execution in 'about:srcdoc'"));
  expect(ours).toEqual([]);
});
