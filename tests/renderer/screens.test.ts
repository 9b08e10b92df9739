import { AxeBuilder } from '@axe-core/playwright';
import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { RequestName } from '../../shared/contract/requests.ts';
import { type PageOptions, type Screens, startScreens } from './page.ts';

/** The screens as they ship, in Chromium under their content security policy, with a fake main side. */

let screens: Screens;
const pages: Page[] = [];

beforeAll(async () => {
  screens = await startScreens();
}, 120_000);
afterEach(async () => {
  for (const page of pages.splice(0)) await page.context().close();
});
afterAll(() => screens?.close());

async function open(options?: PageOptions): Promise<Page> {
  const page = await screens.open(options);
  pages.push(page);
  return page;
}

async function openLive(options: PageOptions = {}): Promise<Page> {
  const page = await open({ ...options, at: '/live' });
  await page.evaluate(() =>
    window.fakeMain.request('live.open', { source: { kind: 'demo' }, visitId: null, channels: [] }),
  );
  await page.getByRole('button', { name: /^1 Hub, front left/ }).waitFor();
  return page;
}

/** As the technician sees it, line breaks and gaps as one space. */
const read = async (part: Locator) =>
  // biome-ignore lint/performance/useDomNodeTextContent: what is hidden must not count, and this is no DOM node
  (await part.innerText()).replace(/\s+/g, ' ');
/** Two cores are shared with whatever else runs: waits for what must come, not for how fast. */
const poll = <T>(look: () => T | Promise<T>) => expect.poll(look, { timeout: 10_000 });
const calls = (page: Page, name: RequestName) =>
  page.evaluate((n) => window.fakeMain.calls.filter((c) => c.name === n).map((c) => c.input), name);
const heard = (page: Page) => page.locator('button[aria-pressed="true"]').first();
const strip = (page: Page) => page.locator('main > header');

describe('live view', () => {
  test('is driven by keyboard alone', async () => {
    const page = await openLive();
    await page.keyboard.press('3');
    await poll(() => read(heard(page))).toMatch(/3\s*Hub, rear left/);
    await page.keyboard.press('7');
    await poll(() => read(heard(page))).toMatch(/7\s*Rear differential, left/);
    await page.keyboard.press('f');
    await poll(() => read(heard(page))).toMatch(/^3/);
    await page.keyboard.press('ArrowDown');
    await poll(() => read(heard(page))).toMatch(/^4/);
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    await poll(() => read(heard(page))).toMatch(/^2/);

    await page.keyboard.press('r');
    await poll(() => read(strip(page))).toContain('Recording');
    await page.keyboard.press('Space');
    await page.keyboard.press('Space');
    await poll(() => read(strip(page))).toContain('2 marks');
    await page.keyboard.press('d');
    await poll(() => read(strip(page))).toContain('Coast');
    await page.keyboard.press('Shift+D');
    await poll(() => read(strip(page))).toContain('Drive');
    await page.keyboard.press('+');
    await page.keyboard.press('+');
    await page.keyboard.press('-');
    await page.keyboard.press('PageDown');
    await poll(() => read(strip(page))).toContain('78 km/h');
    await page.keyboard.press('b');
    await poll(() => read(strip(page))).toContain('Rumble');
    await page.keyboard.press('Shift+ArrowUp');
    await poll(() => read(strip(page))).toContain('gain +15 dB, all alike');
    await page.keyboard.press('l');
    await poll(() => read(strip(page))).toContain('Sound is off');
    await page.keyboard.press('r');
    await poll(() => read(strip(page))).toContain('Not recording');
  });

  test('typing a speed sets no channel and starts no recording', async () => {
    const page = await openLive();
    await page.keyboard.press('s');
    await page.keyboard.type('64r');
    await page.keyboard.press('Backspace');
    await page.keyboard.press('Enter');
    await poll(() => read(strip(page))).toContain('64 km/h');
    expect(await calls(page, 'live.hear')).toEqual([]);
    expect(await calls(page, 'live.record')).toEqual([]);
    await page.keyboard.press('g');
    await page.keyboard.type('0,82');
    await page.keyboard.press('Enter');
    await poll(() => read(strip(page))).toContain('gear 0.82');
  });

  test('nonsense that was typed stands at its field until it is mended', async () => {
    const page = await openLive();
    await page.keyboard.press('s');
    await page.keyboard.type('900');
    await page.keyboard.press('Enter');
    await strip(page).getByRole('alert').filter({ hasText: '0 to 400 km/h, please.' }).waitFor();
    const field = page.getByLabel('Speed in km/h, Enter to set');
    expect(await field.inputValue()).toBe('900');
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    await page.keyboard.press('Backspace');
    expect(await strip(page).getByRole('alert').count()).toBe(0);
    await page.keyboard.press('Enter');
    await poll(() => calls(page, 'live.speed')).toEqual([{ km_h: 90 }]);
    await page.keyboard.press('g');
    await page.keyboard.type('-1');
    await page.keyboard.press('Enter');
    await strip(page).getByRole('alert').filter({ hasText: 'A number above 0, or nothing.' }).waitFor();
    await page.keyboard.press('Escape');
    expect(await calls(page, 'live.gearRatio')).toEqual([]);
  });

  test('a shop that works in miles reads and types miles', async () => {
    const page = await open({ at: '/settings' });
    await page.getByLabel('Units', { exact: true }).selectOption('imperial');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Saved.').waitFor();
    await page.evaluate(() => {
      location.hash = '/live';
    });
    await page.evaluate(() =>
      window.fakeMain.request('live.open', { source: { kind: 'demo' }, visitId: null, channels: [] }),
    );
    // 87 km/h; a mile is 1.609344 km (international mile of 1959).
    await poll(() => read(strip(page))).toContain('54 mph');
    await page.keyboard.press('s');
    await page.keyboard.type('50');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Speed up by 1 mph' }).click();
    await poll(() => calls(page, 'live.speed')).toEqual([{ km_h: 80.4672 }, { nudge_km_h: 1.609344 }]);
    await page.evaluate(() => {
      location.hash = '/visits/12';
    });
    // 128,400 km.
    await page.getByText(/79,784 mi/).waitFor();
    await page.evaluate(() => {
      location.hash = '/vehicles/new';
    });
    await page.getByLabel('Description').fill('Estate');
    await page.getByLabel('Odometer, mi').fill('100000');
    await page.getByLabel('Odometer, mi').press('Enter');
    await poll(() => calls(page, 'vehicles.add')).toMatchObject([{ spec: { odometer_km: 160_934.4 } }]);
  });

  test('the help lists the keys, takes none of them, and closes with its own key', async () => {
    const page = await openLive();
    await page.keyboard.press('h');
    const help = page.getByRole('dialog', { name: 'Keys' });
    await poll(() => help.isVisible()).toBe(true);
    await page.keyboard.press('r');
    expect(await calls(page, 'live.record')).toEqual([]);
    await page.keyboard.press('h');
    await poll(() => help.isVisible()).toBe(false);
    await page.keyboard.press('r');
    await poll(() => calls(page, 'live.record')).toEqual([{ on: true }]);
  });

  test('the space bar is the screen’s at once when the help has been closed', async () => {
    const page = await openLive();
    await page.keyboard.press('r');
    await poll(() => read(strip(page))).toContain('Recording');
    await page.keyboard.press('h');
    await page.getByRole('dialog', { name: 'Keys' }).waitFor();
    // In one task, as on a busy computer: the closed dialog's button has the focus until the page is drawn again.
    await page.evaluate(() => {
      const help = document.querySelector('dialog')!;
      const button = help.querySelector('button')!;
      button.focus();
      help.close();
      button.dispatchEvent(new KeyboardEvent('keydown', { key: ' ', bubbles: true, cancelable: true }));
    });
    await poll(() => read(strip(page))).toContain('1 mark');
  });

  test('the space bar sets a mark after a row was clicked, and presses a button that was tabbed to', async () => {
    const page = await openLive();
    await page.keyboard.press('r');
    await page.getByRole('button', { name: /^4 Hub/ }).click();
    await page.keyboard.press('Space');
    await poll(() => read(strip(page))).toContain('1 mark');
    await page.getByRole('button', { name: /^6 / }).focus();
    await page.keyboard.press('Space');
    await poll(() => read(heard(page))).toMatch(/^6/);
    expect(await read(strip(page))).toContain('1 mark');
  });

  test('levels, held peaks and units are the ones that the main side sent', async () => {
    const page = await openLive();
    const row = page.getByRole('listitem').filter({ hasText: 'Rear differential, left' }).first();
    const number = async () => Number((await read(row.locator('> span').first())).replace('−', '-'));
    await page.evaluate(() => {
      window.fakeMain.setLive({ meterBand: 'whine' });
    });
    // 500 m/s² full scale; the fixture swings channel 7 by a quarter around 0.021 of it.
    await poll(number).toBeGreaterThan(10.5 * 0.7);
    expect(await number()).toBeLessThan(10.5 * 1.3);
    // The fixture's peaks are 3.6 times its RMS.
    expect(await read(row)).toContain('crest 3.6');
    await page.keyboard.press('u');
    await poll(number).toBeLessThan(1.4);
    await page.keyboard.press('u');
    await poll(number).toBeGreaterThan(20 * Math.log10(10.5 * 0.7e6));
    expect(await read(page.locator('footer'))).toContain('dB re 1e-6 m/s²');
    expect(await read(page.locator('footer'))).toContain('Whine');
  });

  test('without a known full scale there is only dB re full scale', async () => {
    const page = await openLive();
    await page.evaluate(() =>
      window.fakeMain.setLive({
        scale: 'relative',
        channels: [
          { channel: 1, role: 'vibration', position: 'transmission', fullScale_m_s2: null },
          { channel: 2, role: 'vibration', position: 'engine-mount', fullScale_m_s2: 500 },
        ],
      }),
    );
    for (let i = 0; i < 3; i++) {
      await poll(() => read(page.locator('footer'))).toContain('dB re full scale');
      expect(await read(page.locator('main'))).not.toMatch(/RMS m\/s²|RMS g|1e-6/);
      await page.keyboard.press('u');
    }
  });

  test('faults, lost frames and problems stand in words', async () => {
    const page = await openLive();
    await poll(() => read(page.locator('main'))).toContain('Overload: lower the gain');
    await page.evaluate(() =>
      window.fakeMain.setLive({
        lostFrames: 512,
        problem: { id: 'written', values: { text: 'The interface is gone; plug it in again.' } },
      }),
    );
    await poll(() => read(page.getByRole('alert'))).toContain('plug it in again');
    expect(await read(strip(page))).toContain('512 frames lost');
  });

  test('numbers are at least 40 px high with 8 channels at 1280 by 800, and nothing is cut off', async () => {
    const page = await openLive();
    const sizes = await page
      .locator('ol > li > span:first-of-type')
      .evaluateAll((all) => all.map((e) => Number.parseFloat(getComputedStyle(e).fontSize)));
    expect(sizes).toHaveLength(8);
    for (const size of sizes) expect(size).toBeGreaterThanOrEqual(40);
    const footer = await page.locator('footer').boundingBox();
    expect(footer!.y + footer!.height).toBeLessThanOrEqual(800);
    const cut = await page
      .locator('ol > li')
      .evaluateAll((all) => all.filter((e) => e.scrollWidth > e.clientWidth + 1).length);
    expect(cut).toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(
      0,
    );
    const last = await page.locator('ol > li').last().boundingBox();
    const spectrum = await page.getByRole('heading', { name: /Order spectrum/ }).boundingBox();
    expect(last!.y + last!.height).toBeLessThanOrEqual(spectrum!.y);
  });

  test.each([12, 32])('%i channels are all in sight at 1280 by 800', async (count) => {
    const page = await open({ at: '/live' });
    await page.evaluate((n) => {
      const channels = Array.from({ length: n }, (_, i) => ({
        channel: i + 1,
        role: 'vibration' as const,
        position: 'differential-rear-left',
        fullScale_m_s2: 500,
      }));
      const source = { kind: 'device', name: 'Field', channels: n, sampleRate_Hz: 96000, bits: 24 } as const;
      return window.fakeMain.request('live.open', { source, visitId: null, channels });
    }, count);
    const rows = page.locator('ol > li');
    await poll(() => rows.count()).toBe(count);
    await poll(() => read(rows.last().locator('> span').first())).toMatch(/\d/);
    const bottoms = await rows.evaluateAll((all) => all.map((e) => e.getBoundingClientRect().bottom));
    expect(Math.max(...bottoms)).toBeLessThan(800);
    await page.keyboard.press('9');
    await page.keyboard.press('ArrowDown');
    await poll(() => read(heard(page))).toMatch(/^10/);
  });

  test('at 200 % zoom everything is reached by scrolling down, nothing sideways', async () => {
    const page = await openLive({ width: 640, height: 400 });
    await expect.poll(() => read(page.locator('ol > li').last().locator('> span').first())).toMatch(/\d/);
    const sideways = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(sideways).toBeLessThanOrEqual(0);
    await page.locator('footer').scrollIntoViewIfNeeded();
    expect(await page.locator('footer').isVisible()).toBe(true);
  });

  test('at 200 % zoom it is driven as ever: what is heard and recorded is seen, and nothing lies over it', async () => {
    const page = await openLive({ width: 640, height: 400 });
    await page.keyboard.press('8');
    await poll(() => read(heard(page))).toMatch(/^8/);
    await page.keyboard.press('r');
    await poll(() => read(strip(page))).toContain('Recording');
    await page.keyboard.press('Space');
    await poll(() => read(strip(page))).toContain('1 mark');
    // The longest that it becomes.
    await page.evaluate(() =>
      window.fakeMain.setLive({
        recording: { runId: 1, startedAt: '2026-05-04T09:00:00Z', seconds: 3725, marks: 12, freeBytes: null },
      }),
    );
    await poll(() => read(strip(page))).toContain('1:02:0');
    const covered = (parts: Locator) =>
      parts.evaluateAll((elements) =>
        elements
          .filter((element) => element.checkVisibility())
          .filter((element) => {
            element.scrollIntoView({ block: 'center' });
            const { left, right, top, height } = element.getBoundingClientRect();
            return [left + 2, (left + right) / 2, right - 2].some((x) => {
              const there = document.elementFromPoint(x, top + height / 2);
              return !there || !element.contains(there);
            });
          })
          .map((element) => element.textContent),
      );
    expect(await strip(page).locator('b').count()).toBe(3);
    expect(await covered(strip(page).locator('b, button'))).toEqual([]);
    expect(await covered(page.locator('ol > li > span:first-child, ol button'))).toEqual([]);
    await page.getByRole('button', { name: /^1 Hub/ }).click();
    await poll(() => read(heard(page))).toMatch(/^1/);
  });

  test('without speed it says how to set one, in place of an order spectrum', async () => {
    const page = await openLive();
    await page.getByRole('heading', { name: /Order spectrum of channel 1/ }).waitFor();
    await page.evaluate(() =>
      window.fakeMain.setLive({
        speed: { from: 'hand', km_h: null, engine_rpm: null, gearRatio: null, gearFrom: null, links: [] },
      }),
    );
    await page.getByText('The speed is not known yet').waitFor();
    await page.keyboard.press('PageUp');
    await page.getByRole('heading', { name: /Order spectrum of channel 1/ }).waitFor();
    expect(await calls(page, 'live.speed')).toEqual([{ nudge_km_h: 10 }]);
  });

  test('levels are drawn without React building elements anew', async () => {
    const page = await openLive();
    await page.waitForTimeout(500);
    const changes = await page.evaluate(
      () =>
        new Promise<{ elements: number; frames: number }>((resolve) => {
          let elements = 0;
          let frames = 0;
          new MutationObserver((list) => {
            for (const m of list) elements += [...m.addedNodes].filter((n) => n instanceof Element).length;
          }).observe(document.querySelector('ol')!, { childList: true, subtree: true });
          window.fakeMain.subscribe((event) => {
            if (event.name === 'live.levels') frames++;
          });
          setTimeout(() => resolve({ elements, frames }), 1500);
        }),
    );
    expect(changes.frames).toBeGreaterThan(20);
    expect(changes.elements).toBe(0);
  });

  test('a refused command is one sentence that Escape takes away', async () => {
    const page = await openLive();
    await page.evaluate(() => {
      window.fakeMain.refuse['live.mark'] = { message: 'A mark belongs to a recording; start one first.' };
    });
    await page.keyboard.press('Space');
    await page.getByText('start one first').waitFor();
    await page.keyboard.press('Escape');
    await poll(() => page.getByText('start one first').count()).toBe(0);
  });

  test('keys can be pressed with a pointer too', async () => {
    const page = await openLive();
    await page.getByRole('button', { name: 'Start or stop the recording' }).click();
    await poll(() => read(strip(page))).toContain('Recording');
    await page.getByRole('button', { name: 'Set a mark' }).click();
    await poll(() => read(strip(page))).toContain('1 mark');
    await page.getByRole('button', { name: 'Speed up by 1 km/h' }).click();
    await poll(() => read(strip(page))).toContain('88 km/h');
  });

  test('a window that comes back in the middle of a drive comes back to the live view', async () => {
    const page = await open();
    await page.getByRole('link', { name: /TE-17/ }).waitFor();
    await page.evaluate(() => {
      history.replaceState(null, '', location.pathname);
    });
    await page.reload();
    await page.getByRole('link', { name: /TE-17/ }).waitFor();
    await page.evaluate(() => sessionStorage.setItem('fakeDriving', 'yes'));
    await page.reload();
    await page.getByRole('button', { name: /^1 Hub, front left/ }).waitFor();
  });

  test('with nothing open it says what to do', async () => {
    const page = await open({ at: '/live' });
    await page.getByRole('main').getByRole('link', { name: 'Set up' }).click();
    await page.getByRole('heading', { name: 'Set up' }).waitFor();
  });
});

describe('vehicles', () => {
  test('are found as typed and opened by arrow keys', async () => {
    const page = await open();
    await page.getByRole('link', { name: /TE-17/ }).waitFor();
    await page.keyboard.type('hum');
    await poll(() => page.getByRole('link', { name: /Estate|Van|Compact/ }).count()).toBe(1);
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Estate, 2.0 diesel' }).waitFor();
    expect(await read(page.getByRole('main'))).toContain('14.2 m/s² at Rear differential, left');
  });

  test('a refused vehicle keeps what was typed and has the message at the field', async () => {
    const page = await open({ at: '/vehicles/new' });
    await page.getByLabel('Plate').fill('KL-204');
    await page.getByLabel('Rolling circumference, m').fill('about two');
    await page.getByRole('button', { name: 'Save' }).click();
    const description = page.getByLabel('Description');
    await poll(() => description.getAttribute('aria-invalid')).toBe('true');
    expect(await page.getByText('This is not a number.').count()).toBe(1);
    expect(await calls(page, 'vehicles.add')).toEqual([]);

    await description.fill('Hatchback');
    await page.getByLabel('Rolling circumference, m').fill('1,95');
    await page.evaluate(() => {
      window.fakeMain.refuse['vehicles.add'] = { message: 'This plate is there already.', field: 'plate' };
    });
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('This plate is there already.').waitFor();
    expect(await page.getByLabel('Plate').inputValue()).toBe('KL-204');
    expect(await description.inputValue()).toBe('Hatchback');

    await page.evaluate(() => delete window.fakeMain.refuse['vehicles.add']);
    await page.getByLabel('Plate').fill('KL-205');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('heading', { name: 'Hatchback' }).waitFor();
    expect((await calls(page, 'vehicles.add')).at(-1)).toMatchObject({
      plate: 'KL-205',
      vin: null,
      spec: { label: 'Hatchback', rollingCircumference_m: 1.95, wheelBearing: null },
    });
  });

  test('a visit is started with the owner’s words and leads to set up', async () => {
    const page = await open({ at: '/vehicles/1' });
    await page.getByRole('button', { name: 'Start a visit' }).click();
    await page.getByRole('heading', { name: 'Complaint and vehicle' }).waitFor();
    await page.keyboard.type('Hums from 60 on');
    await page.getByLabel('Odometer, km').fill('129100');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Set up' }).waitFor();
    expect((await calls(page, 'work.saveIntake'))[0]).toMatchObject({
      visitId: 21,
      intake: { ownerWords: 'Hums from 60 on', odometer_km: 129100 },
    });
  });
});

describe('set up', () => {
  test('pickups are put on places by keyboard and the source opens with them', async () => {
    const page = await open({ at: '/setup/12' });
    await page
      .getByRole('combobox', { name: 'Interface' })
      .selectOption({ label: 'Field interface 8 (8 inputs, ALSA)' });
    await page.getByLabel('Channels').selectOption('3');
    await page.getByRole('button', { name: 'Hub, front left: no pickup' }).focus();
    await page.keyboard.press('1');
    await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(900);
    await page.keyboard.press('2');
    for (const channel of [1, 2, 3])
      await page.getByLabel(`Channel ${channel}: Full scale, m/s²`).fill('500');
    await page.getByRole('button', { name: 'Connect' }).click();
    await page.getByRole('button', { name: 'Live view' }).click();
    await page.getByRole('button', { name: /^1 Hub, front left/ }).waitFor();
    expect((await calls(page, 'live.open'))[0]).toEqual({
      source: { kind: 'device', name: 'Field interface 8', channels: 3, sampleRate_Hz: 48000, bits: 24 },
      visitId: 12,
      channels: [
        { channel: 1, role: 'vibration', position: 'hub-front-left', fullScale_m_s2: 500 },
        { channel: 2, role: 'vibration', position: 'differential-front-left', fullScale_m_s2: 500 },
        { channel: 3, role: 'vibration', position: 'unplaced', fullScale_m_s2: 500 },
      ],
    });
    expect(await read(page.locator('main'))).toContain('After the first metres');
    await page.keyboard.press('c');
    await poll(() => read(page.locator('main'))).not.toContain('After the first metres');
  });

  test('an open source is disconnected here', async () => {
    const page = await openLive();
    await page.getByRole('link', { name: 'Set up' }).click();
    await page.getByRole('button', { name: 'Disconnect' }).click();
    await poll(() => page.getByRole('button', { name: 'Disconnect' }).count()).toBe(0);
    expect(await calls(page, 'live.close')).toHaveLength(1);
  });

  test('a refused source leaves the form standing and says why', async () => {
    const page = await open({ at: '/setup' });
    await page.evaluate(() => {
      window.fakeMain.refuse['live.open'] = { message: 'The interface is in use; close the other program.' };
    });
    await page.getByRole('radio', { name: /Demo drive/ }).check();
    await page.getByRole('button', { name: 'Connect' }).click();
    await page.getByText('The interface is in use; close the other program.').waitFor();
    expect(await page.getByRole('heading', { name: 'Set up' }).isVisible()).toBe(true);
  });

  test('nonsense for a full scale stays at its field and opens nothing', async () => {
    const page = await open({ at: '/setup' });
    await page.getByRole('combobox', { name: 'Interface' }).selectOption({ index: 1 });
    await page.getByLabel('Channel 2: Full scale, m/s²').fill('-3');
    await page.getByRole('button', { name: 'Connect' }).click();
    await page.getByText('This must be a number above zero.').waitFor();
    expect(await calls(page, 'live.open')).toEqual([]);
  });

  test('speed links are opened, show what they tell and what is wrong, and are closed', async () => {
    const page = await open({ at: '/setup' });
    const bus = page.getByRole('group', { name: 'Vehicle bus' });
    const button = (name: string) => bus.getByRole('button', { name });
    expect(await button('Open').isDisabled()).toBe(true);
    await bus.getByLabel('Port').fill('/dev/ttyUSB0');
    await bus.getByLabel('Baud rate').selectOption('115200');
    await bus.getByLabel('Sent first').fill('ATE0; SECOND');
    await button('Open').click();
    await poll(() => read(bus.getByRole('status'))).toBe('63 km/h · engine 1726 1/min');
    expect(await calls(page, 'speed.open')).toEqual([
      { kind: 'bus', port: '/dev/ttyUSB0', baudRate: 115200, firstLines: ['ATE0', 'SECOND'] },
    ]);
    const problem = 'The bus adapter is gone; plug it in again.';
    await page.evaluate((text) => {
      const problem = { id: 'written', values: { text } } as const;
      const link = { kind: 'bus', port: 'COM3', problem, km_h: null, engine_rpm: null } as const;
      const speed = { from: 'hand', km_h: null, engine_rpm: null, gearRatio: null, gearFrom: null } as const;
      window.fakeMain.setLive({ speed: { ...speed, links: [link] } });
    }, problem);
    await poll(() => read(bus.getByRole('status'))).toContain(problem);
    await button('Close').click();
    await poll(() => read(bus.getByRole('status'))).toBe('');
  });

  test('the cautions stand before the drive', async () => {
    const page = await open({ at: '/setup' });
    const text = await read(page.getByRole('main'));
    for (const caution of ['never the driver', 'Leads are tied', 'first metres', 'High-voltage', 'Local law'])
      expect(text).toContain(caution);
  });
});

describe('a reopened visit', () => {
  test('shows its run, plays it from a position, and is listened to with the live keys', async () => {
    const page = await open({ at: '/visits/12' });
    await page.getByRole('button', { name: /^7 Rear differential/ }).waitFor();
    expect(await read(page.getByRole('main'))).toContain('1 gap in the recording: 0.1 s hold silence');
    await page.keyboard.press('7');
    await page.keyboard.press('2');
    await page.keyboard.press('f');
    await poll(() => page.locator('button[aria-pressed="true"]', { hasText: /^7/ }).count()).toBe(1);
    await page.keyboard.press('.');
    await page.keyboard.press('.');
    await page.keyboard.press('Space');
    await expect
      .poll(() => calls(page, 'live.open'))
      .toEqual([expect.objectContaining({ source: { kind: 'run', runId: 102, from_s: 10 } })]);
    await poll(() => calls(page, 'live.hear')).toContainEqual({ channel: 7 });
    await poll(() => page.getByText(/0:1[1-9] \/ 1:00/).count()).toBe(1);
    await page.keyboard.press('3');
    await poll(() => calls(page, 'live.hear')).toContainEqual({ channel: 3 });
    await page.keyboard.press('Space');
    await poll(() => page.getByRole('button', { name: /Play/ }).count()).toBe(1);
  });

  test('lies beside the earlier visit, like with like', async () => {
    const page = await open({ at: '/visits/12' });
    const beside = page.getByRole('region', { name: 'Beside the earlier visit of 2 Jun 2025' });
    await poll(() => read(beside)).toContain('3 of 40 figures differ by more than their uncertainty');
    // The clearest of each place.
    const sentences = await beside.getByRole('listitem').allTextContents();
    expect(sentences).toHaveLength(2);
    expect(sentences[0]).toMatch(
      /^Ring gear mesh 1× at the rear differential .* louder by 8\.0 dB since 2 Jun 2025/,
    );
    expect(sentences[1]).toMatch(/^Ring gear mesh 1× at the rear left hub .* louder by 4\.0 dB/);
    await page.getByText(/^No pickup sat at the gearbox/).waitFor();
    expect(await calls(page, 'visits.compare')).toContainEqual({ earlierVisitId: 11, laterVisitId: 12 });
    expect(await beside.getByRole('link').getAttribute('href')).toBe('#/vehicles/1/compare/11/12');
  });

  test('plays nothing while a recording is under way', async () => {
    const page = await openLive();
    await page.keyboard.press('r');
    await poll(() => read(strip(page))).toContain('Recording');
    await page.evaluate(() => {
      location.hash = '#/visits/12';
    });
    await page.getByRole('button', { name: /Play/ }).click();
    await page.getByText('A recording is under way; stop it before a run is played.').waitFor();
    expect(await calls(page, 'live.open')).toHaveLength(1);
  });
});

describe('every screen', () => {
  const all: [string, string][] = [
    ['vehicles', '/'],
    ['new vehicle', '/vehicles/new'],
    ['vehicle', '/vehicles/1'],
    ['set up', '/setup/12'],
    ['live', '/live'],
    ['visit', '/visits/12'],
  ];

  test.each(all)('%s has no accessibility fault that axe finds, by day and by night', async (name, at) => {
    const page = name === 'live' ? await openLive() : await open({ at });
    await page.waitForTimeout(600);
    const faults = async (axe: AxeBuilder) =>
      (await axe.analyze()).violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`);
    expect(await faults(new AxeBuilder({ page }))).toEqual([]);
    if (name === 'live') await page.keyboard.press('n');
    else await page.getByRole('button', { name: 'Night' }).click();
    await poll(() => page.evaluate(() => document.documentElement.dataset.theme)).toBe('night');
    // Only the colours differ by night.
    expect(await faults(new AxeBuilder({ page }).withRules(['color-contrast']))).toEqual([]);
  });

  test.each(['day', 'night'] as const)('what lies over a screen has none either, by %s', async (theme) => {
    const page = await openLive({ theme });
    const faults = async () =>
      (await new AxeBuilder({ page }).analyze()).violations.map(
        (v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`,
      );
    await page.keyboard.press('r');
    await poll(() => read(strip(page))).toContain('Recording');
    await page.evaluate(() => {
      window.fakeMain.refuse['live.mark'] = { message: 'The disk is full.' };
    });
    await page.keyboard.press('Space');
    await page.getByText('The disk is full.').waitFor();
    expect(await faults()).toEqual([]);
    await page.keyboard.press('h');
    await page.getByRole('dialog', { name: 'Keys' }).waitFor();
    expect(await faults()).toEqual([]);
  });

  test('the content security policy is in the page and nothing has broken it', async () => {
    const page = await openLive();
    const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute('content');
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toContain('unsafe');
    await page.keyboard.press('h');
    expect(await page.evaluate(() => document.fonts.check('16px B612'))).toBe(true);
    expect(screens.complaints.filter((c) => !/^RequestError/.test(c))).toEqual([]);
  });

  test('without the main side there is one sentence, and the token leaves the address', async () => {
    const before = screens.complaints.length;
    const page = await open({ bridge: false, at: 'token=a-secret' });
    await page.getByText('The connection to the measuring side is lost.').waitFor();
    expect(page.url()).not.toContain('a-secret');
    expect(await page.evaluate(() => sessionStorage.getItem('rumblepath.token'))).toBe('a-secret');
    screens.complaints.length = before;
  });

  test('a screen that throws is replaced by one sentence', async () => {
    const page = await openLive();
    const before = screens.complaints.length;
    await page.evaluate(() => {
      Intl.DateTimeFormat = class {
        constructor() {
          throw new Error('broken on purpose');
        }
      } as unknown as typeof Intl.DateTimeFormat;
      location.hash = '#/';
    });
    await page.getByRole('heading', { name: 'This screen failed and cannot go on.' }).waitFor();
    expect(await page.getByRole('button', { name: 'Load again' }).isVisible()).toBe(true);
    screens.complaints.length = before;
  });
});
