import { execFile } from 'node:child_process';
import { mkdir, mkdtemp, readdir, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, chromium, type Locator, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { bundle, out } from '../../build/bundle.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { type Loopback, serveLoopback } from '../../electron/host/serve.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import type { RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';
import { recordingState, screen } from './hands.ts';

/** A whole visit of an invented vehicle, from the complaint to the report in the owner's hand. Keys only. */

// Two cores are shared with whatever else runs.
vi.setConfig({ testTimeout: 120_000 });

const run = promisify(execFile);

let dataFolder: string;
let app: App;
let loopback: Loopback;
let browser: Browser;
let page: Page;
let visitId: number;
const complaints: string[] = [];

async function ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(english(reply.told));
  return reply.value as RequestOutput<N>;
}

async function openProgram(): Promise<void> {
  app = await openApp({ dataFolder });
  loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  page.setDefaultTimeout(15_000);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  await page.goto(loopback.url);
}

async function closeProgram(): Promise<void> {
  await page.context().close();
  await loopback.close();
  await app.close();
}

/** Walks with the Tab key until the part has the focus: what cannot be reached that way is not there for the test. */
async function tabTo(part: Locator, backwards = false): Promise<void> {
  await part.first().waitFor();
  for (let steps = 0; steps < 250; steps++) {
    if (await part.first().evaluate((element) => element === document.activeElement)) return;
    await page.keyboard.press(backwards ? 'Shift+Tab' : 'Tab');
  }
  throw new Error(`The Tab key does not reach ${part}.`);
}

const field = (name: string | RegExp) => page.getByLabel(name, { exact: typeof name === 'string' });
async function type(name: string | RegExp | Locator, text: string): Promise<void> {
  await tabTo(typeof name === 'object' && 'waitFor' in name ? name : field(name));
  await page.keyboard.press('Control+A');
  await page.keyboard.type(text);
}
/** Chooses in a list by typing the beginning of the words. */
async function choose(name: string | RegExp | Locator, words: string): Promise<void> {
  await tabTo(typeof name === 'object' && 'waitFor' in name ? name : field(name));
  await page.keyboard.type(words);
}
async function press(name: string | RegExp): Promise<void> {
  await tabTo(page.getByRole('button', { name, exact: typeof name === 'string' }));
  await page.keyboard.press('Enter');
}

const fault = (text: string | RegExp) => page.getByRole('alert').filter({ hasText: text });

/** No serious fault by axe-core's rules (WCAG 2.2 A and AA among them); by night only the colours are others. */
async function expectAccessible(): Promise<void> {
  const paint = (theme: string) =>
    page.evaluate((to) => {
      document.documentElement.dataset.theme = to;
    }, theme);
  const serious = async (axe: AxeBuilder) =>
    (await axe.analyze()).violations
      .filter((v) => v.impact === 'serious' || v.impact === 'critical')
      .map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`);
  expect(await serious(new AxeBuilder({ page }))).toEqual([]);
  await paint('night');
  expect(await serious(new AxeBuilder({ page }).withRules(['color-contrast']))).toEqual([]);
  await paint('day');
}

beforeAll(async () => {
  await bundle();
  dataFolder = await mkdtemp(join(tmpdir(), 'rumblepath-whole-visit-'));
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  await openProgram();
}, 120_000);

afterAll(async () => {
  await page?.context().close();
  await browser?.close();
  await loopback?.close();
  await app?.close();
  await rm(dataFolder, { recursive: true, force: true });
});

it('takes the shop’s settings', async () => {
  await screen(page, 'Vehicles').waitFor();
  await tabTo(page.getByRole('link', { name: 'Settings' }), true);
  await page.keyboard.press('Enter');
  await screen(page, 'Settings').waitFor();
  await type('Name', 'Workshop at the Weir');
  await type('Address', 'Mill Lane 3');
  await type('Currency', 'Pounds');
  await type('Labour rate, net per hour', '80');
  await type('Tax, %', '20');
  await page.keyboard.press('Enter');
  await fault('Currency: three capital letters').waitFor();
  await expectAccessible();
  await tabTo(field('Currency'), true);
  await page.keyboard.press('Control+A');
  await page.keyboard.type('GBP');
  await page.keyboard.press('Enter');
  await page.getByText('Saved.').waitFor();
  expect((await ask('settings.get', null)).settings).toMatchObject({
    shop: { name: 'Workshop at the Weir', address: 'Mill Lane 3' },
    currency: 'GBP',
    labourRate_per_h: 80,
    tax_percent: 20,
  });
});

it('takes the complaint and what is known of the vehicle', async () => {
  await tabTo(page.getByRole('link', { name: 'Vehicles' }), true);
  await page.keyboard.press('Enter');
  await press('Start a visit');
  await screen(page, 'Complaint and vehicle').waitFor();
  // The cursor stands in the first field.
  await page.keyboard.type('A whine from the rear when pulling, since the winter.');
  await type('Heard from, km/h', '90');
  await type('Heard up to, km/h', '60');
  await choose('Loudest when', 'Pulling');
  await type('Description', 'Invented estate car');
  await type('Plate', 'WV 318');
  // Its check digit should be an X (49 CFR 565.15: worked example, from memory).
  await type('VIN', '1M8GDM9A1KP042788');
  await page.getByText('The check digit should be X').waitFor();
  await type('Odometer, km', 'about 90000');
  await page.keyboard.press('Enter');
  await fault('Speed to: it must not be below the speed from.').waitFor();
  await fault('Odometer: a number is needed.').waitFor();
  await expectAccessible();
});

it('goes on after the program was closed in mid-visit, with everything as it was typed', async () => {
  const [visit] = await ask('work.unfinished', null);
  visitId = visit!.visitId;
  // What was typed is kept within a moment.
  await expect
    .poll(async () => (await ask('work.get', { visitId })).drafts.intake)
    .toMatchObject({ odometer_km: 'about 90000', heard: { speedTo_km_h: '60' } });
  await closeProgram();
  await openProgram();
  await screen(page, 'Complaint and vehicle').waitFor();
  expect(await field('Owner’s words').inputValue()).toBe(
    'A whine from the rear when pulling, since the winter.',
  );
  expect(await field('Odometer, km').inputValue()).toBe('about 90000');
  await type('Heard from, km/h', '60');
  await type('Heard up to, km/h', '90');
  await type('VIN', '1M8GDM9AXKP042788');
  await page.getByText('The check digit fits.').waitFor();
  await type('Odometer, km', '90000');
  await type('Tyre size', '205/55 R16');
  await choose('Driven wheels', 'Rear');
  await choose('Electric drive', 'No');
  await type('Cylinders', '4');
  await press(/^Save and go on/);
  await screen(page, 'Set up').waitFor();
  expect((await ask('work.get', { visitId })).intake).toMatchObject({
    heard: { speedFrom_km_h: 60, speedTo_km_h: 90, torque: 'drive' },
    plate: 'WV 318',
    odometer_km: 90_000,
    driveline: { layout: 'rwd', cylinders: 4, electricDrive: false },
  });
});

it('connects the pickups, with the cautions ticked and the noise floor measured', async () => {
  const demo = page.getByRole('radio', { name: /Demo drive/ });
  await tabTo(page.getByRole('radio', { checked: true }));
  if (!(await demo.isChecked())) await page.keyboard.press('ArrowDown');
  await expect.poll(() => demo.isChecked()).toBe(true);
  await expectAccessible();
  const boxes = page.getByRole('checkbox');
  for (let i = 0; i < (await boxes.count()); i++) {
    await tabTo(boxes.nth(i));
    await page.keyboard.press('Space');
    await expect.poll(() => boxes.nth(i).isChecked()).toBe(true);
  }
  await press('Connect');
  await page.getByRole('heading', { name: 'Checks before the drive' }).waitFor({ timeout: 20_000 });
  await press('Noise floor');
  await expect
    .poll(async () => (await ask('work.get', { visitId })).checks.map((c) => c.result.check), {
      timeout: 30_000,
    })
    .toContain('noiseFloor');
  await expectAccessible();
  const { rigging } = await ask('work.get', { visitId });
  expect(rigging.channels).toHaveLength(8);
  expect(rigging.cautionsTicked).toHaveLength(6);
  await press('Go on: Road');
});

it('proposes a road card and is led along it', async () => {
  await screen(page, 'On the road').waitFor();
  await type('Highest speed allowed, km/h', '5');
  await page.keyboard.press('Enter');
  await fault('Speed limit: from 20 to 250 km/h.').waitFor();
  await type('Highest speed allowed, km/h', '100');
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: /^Road card: 0 of/ }).waitFor();
  await expectAccessible();
  await press('Start the drive');
  await screen(page, /Live/).waitFor({ state: 'attached' });
  await page.keyboard.press('r');
  await expect.poll(() => recordingState(page)).toContain('Recording');
  await expect.poll(() => page.getByRole('region', { name: 'Road card' }).textContent()).toMatch(/\d of \d+/);
  await expectAccessible();
  await new Promise((resolve) => setTimeout(resolve, 25_000));
  await page.keyboard.press('r');
  await expect.poll(() => recordingState(page)).toContain('Not recording');
});

it('says what the measurement shows', async () => {
  await tabTo(page.getByRole('link', { name: 'Find the source' }));
  await page.keyboard.press('Enter');
  await screen(page, 'Findings').waitFor();
  await expect
    .poll(async () => (await ask('findings.get', { visitId }))?.findings.verdict ?? null, { timeout: 90_000 })
    .not.toBeNull();
  await expectAccessible();
  await press('Go on: Inspection');
});

it('keeps a photo of the magnet, and refuses what is none at its field', async () => {
  await screen(page, 'Inspection').waitFor();
  const axle = page.getByRole('group', { name: 'Rear differential' });
  const picture = axle.getByRole('img', { name: 'Photo of the magnet' });
  const hand = async (path: string) => {
    // Asked for early: the browser is told a moment later that its own window shall not open.
    const chooser = page.waitForEvent('filechooser');
    await tabTo(axle.getByRole('button', { name: 'Photo of the magnet: Add a photo' }), true);
    await page.keyboard.press('Enter');
    await (await chooser).setFiles(path);
  };
  const folder = join(dataFolder, 'camera');
  await mkdir(folder);
  const nonsense = join(folder, 'magnet.jpg');
  await writeFile(nonsense, 'This says that it is a picture.');
  await hand(nonsense);
  await axle.getByRole('alert').filter({ hasText: 'This file is no picture that can be shown.' }).waitFor();
  const huge = join(folder, 'film.png');
  await writeFile(huge, '');
  await truncate(huge, 70_000_000);
  await hand(huge);
  await axle.getByRole('alert').filter({ hasText: 'This file is larger than 64 MB' }).waitFor();
  expect(await picture.count()).toBe(0);
  expect((await ask('work.get', { visitId })).attachments).toEqual([]);

  const photo = join(folder, 'photo.png');
  await page.screenshot({ path: photo });
  await hand(photo);
  await picture.waitFor();
  expect(await axle.getByRole('alert').count()).toBe(0);
  expect(await picture.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(1280);
  const { attachments } = await ask('work.get', { visitId });
  expect(attachments).toMatchObject([{ visitId, name: 'photo.png', mediaType: 'image/jpeg' }]);
  // By another reader than the program's: it is a picture of that size.
  const [file] = await readdir(join(dataFolder, 'attachments'));
  const { stdout } = await run('file', [join(dataFolder, 'attachments', file!)]);
  expect(stdout).toMatch(/JPEG image data.*1280x800/);
});

it('keeps what eyes and hands find, and stops a vehicle that must not be driven', async () => {
  await screen(page, 'Inspection').waitFor();
  const rear = page.getByRole('group', { name: 'Rear left' });
  await choose(rear.getByLabel('Play'), 'Clear');
  await page.getByRole('heading', { name: 'DO NOT DRIVE' }).waitFor();
  // The list takes what is typed within a second for one word.
  await page.waitForTimeout(1200);
  await choose(rear.getByLabel('Play'), 'None');
  await expect.poll(() => page.getByRole('heading', { name: 'DO NOT DRIVE' }).count()).toBe(0);
  await choose(rear.getByLabel('Turned by hand'), 'Smooth');
  const axle = page.getByRole('group', { name: 'Rear differential' });
  await choose(axle.getByLabel('On the magnet of the drain plug'), 'Fine');
  await choose(axle.getByLabel('Fill plug opened first'), 'Yes');
  await type(axle.getByLabel('Drained, l'), '1.2');
  await type(axle.getByLabel('Refilled, l'), 'as much');
  const drainPlug = axle.getByRole('group', { name: 'Drain plug' });
  await type(drainPlug.getByLabel('Maker’s torque, Nm'), '35');
  await type(drainPlug.getByLabel('Torque done, Nm'), '35');
  await page.keyboard.press('Enter');
  await fault('Fluid refilled: a number is needed.').waitFor();
  await type(axle.getByLabel('Refilled, l'), '0,9');
  await page.getByText(/0\.30 l less went in than came out/).waitFor();
  await type(axle.getByLabel('Refilled, l'), '1,2');
  await expect.poll(() => page.getByText(/less went in than came out/).count()).toBe(0);
  await page.getByText(/fine grey paste on the magnet, which is normal wear/).waitFor();
  await expectAccessible();
  await press(/^Save and go on/);
  await screen(page, 'Decision').waitFor();
  const { inspection, attachments } = await ask('work.get', { visitId });
  const rearAxle = inspection.units.find((u) => u.unit === 'differential-rear');
  expect(rearAxle).toMatchObject({ debris: 'finePaste', photoId: attachments[0]!.id });
});

it('shows the options side by side with their reckoning', async () => {
  await screen(page, 'Decision').waitFor();
  await choose('Part in question', 'Rear d');
  const replace = page.getByRole('region', { name: /^Replace/ });
  await tabTo(replace.getByRole('button', { name: 'Add a part' }));
  await page.keyboard.press('Enter');
  await type(replace.getByLabel('Part or material'), 'Rear axle drive, reconditioned');
  await type(replace.getByLabel('Price each, net, GBP'), '900');
  await type(replace.getByLabel('Labour, hours'), '5');
  const watch = page.getByRole('region', { name: /^Service and watch/ });
  await type(watch.getByLabel('Labour, hours'), '1');
  // 900 and 5 h at 80, and a fifth on top.
  await replace.getByText('£1,560.00').first().waitFor();
  await replace.getByText('5 h × £80.00').waitFor();
  // Nobody has said how likely a later repair is: the program does not either.
  await watch
    .getByText(/this shop has no history of it: the cost lies between £96.00 and £1,656.00/)
    .waitFor();
  await type(watch.getByLabel('Chance within the distance, %'), '250');
  await page.keyboard.press('Enter');
  await fault(/^⚠ Chance/).waitFor();
  await type(watch.getByLabel('Chance within the distance, %'), '25');
  // 96 now, and a quarter of 1,560 later.
  await watch.getByText('£486.00').first().waitFor();
  await choose('The owner chooses', 'Service');
  await type('or at, km', '100000');
  await type('Reason, in the owner’s words', 'He wants to see whether it grows.');
  await expectAccessible();
  await press(/^Save and go on/);
});

it('puts the report into the owner’s hand', async () => {
  await screen(page, 'Report').waitFor();
  // Read from the page around it: nothing runs in the frame, not even what a test brings.
  const frame = page.locator('iframe');
  const shown = () => frame.evaluate((f: HTMLIFrameElement) => f.contentDocument?.body.textContent ?? '');
  await expect.poll(shown, { timeout: 60_000 }).toContain('Workshop at the Weir');
  await press('Save as HTML');
  await page.getByText(/Saved: .*\.html/).waitFor();
  await press('Save as PDF');
  await page.getByText(/Saved: .*\.pdf/).waitFor({ timeout: 60_000 });

  const folder = join(dataFolder, 'reports');
  const name = (await readdir(folder)).find((file) => file.endsWith('.pdf'))!;
  const { stdout } = await run('pdftotext', ['-layout', join(folder, name), '-']);
  const text = stdout.replace(/\s+/g, ' ');
  for (const words of [
    'Workshop at the Weir',
    'Mill Lane 3',
    'WV 318',
    '1M8GDM9AXKP042788',
    'A whine from the rear when pulling, since the winter.',
    '£1,560.00',
    '£486.00',
    '100,000 km',
    'He wants to see whether it grows.',
  ])
    expect(text).toContain(words);
  const { stdout: info } = await run('pdfinfo', [join(folder, name)]);
  const pages = Number(/^Pages:\s+(\d+)$/m.exec(info)?.[1]);
  expect(pages).toBeGreaterThan(0);
  expect(pages).toBeLessThanOrEqual(2);
  const pictures = join(dataFolder, 'pictures');
  await mkdir(pictures);
  await run('pdftoppm', ['-r', '60', '-png', join(folder, name), join(pictures, 'page')]);
  const files = await readdir(pictures);
  expect(files).toHaveLength(pages);
  // A white page of this size is a few hundred bytes long.
  for (const file of files) expect((await stat(join(pictures, file))).size).toBeGreaterThan(10_000);
});

it('finishes the visit', async () => {
  await press('Finish the visit');
  await page.getByRole('button', { name: 'Take the visit up again' }).waitFor();
  expect(await ask('work.unfinished', null)).toEqual([]);
});

it('said nothing on the console all the while', () => {
  expect(complaints).toEqual([]);
});
