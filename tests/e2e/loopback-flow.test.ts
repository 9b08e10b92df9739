import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bundle, out } from '../../build/bundle.ts';
import { openGarage } from '../../db/open.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { type Loopback, serveLoopback } from '../../electron/host/serve.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import { seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import type { RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';
import { connectVisit, heard, levels, recordingState, screen, startVisit } from './hands.ts';

/** The main job with the demo drive, in an installed browser on the loopback host, by keyboard. */

let dataFolder: string;
let app: App;
let loopback: Loopback;
let browser: Browser;
let page: Page;
const complaints: string[] = [];

async function ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(english(reply.told));
  return reply.value as RequestOutput<N>;
}

beforeAll(async () => {
  await bundle();
  dataFolder = await mkdtemp(join(tmpdir(), 'rumblepath-flow-'));
  const garage = openGarage(join(dataFolder, 'garage.db'));
  seedDemoGarage(garage);
  garage.close();
  app = await openApp({ dataFolder });
  loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  await page.goto(loopback.url);
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await loopback?.close();
  await app?.close();
  await rm(dataFolder, { recursive: true });
});

it('takes the token out of the address', async () => {
  await screen(page, 'Vehicles').waitFor();
  expect(page.url()).not.toContain('token');
});

it('finds the returning car and starts a visit', async () => {
  await startVisit(page, '00417', 'Whine from the rear, louder than last year.');
});

it('shows the levels of the demo drive', async () => {
  await page.getByRole('radio', { name: /Demo drive/ }).press('Space');
  await connectVisit(page);
  await expect.poll(() => levels(page), { timeout: 10_000 }).toHaveLength(8);
  await expect
    .poll(async () => (await levels(page)).every((level) => level > 0), { timeout: 10_000 })
    .toBe(true);
  const before = await levels(page);
  await expect.poll(() => levels(page), { timeout: 5000 }).not.toEqual(before);
});

it('changes the channel heard by number, by arrow and back to the one before', async () => {
  for (const [key, channel] of [
    ['3', 3],
    ['1', 1],
    ['f', 3],
    ['f', 1],
    ['ArrowDown', 2],
    ['ArrowUp', 1],
    ['8', 8],
  ] as const) {
    await page.keyboard.press(key);
    await expect.poll(() => heard(page), { message: key }).toEqual([channel]);
    expect((await ask('live.state', null)).heard).toBe(channel);
  }
});

it('records the drive with a mark', async () => {
  await page.keyboard.press('r');
  await expect.poll(() => recordingState(page)).toContain('Recording');
  await new Promise((resolve) => setTimeout(resolve, 6000));
  await page.keyboard.press('Space');
  await expect.poll(() => recordingState(page)).toContain('1 mark');
  await page.keyboard.press('r');
  await expect.poll(() => recordingState(page)).toContain('Not recording');
});

it('goes on with the live view after the page was loaded again', async () => {
  await page.reload();
  await screen(page, /Live/).waitFor({ state: 'attached' });
  await expect.poll(async () => (await levels(page)).every((level) => level > 0)).toBe(true);
});

it('has the visit in the history, with the sound that was recorded', async () => {
  const [row] = await ask('vehicles.search', { text: '00417' });
  const { visits } = await ask('vehicles.page', { vehicleId: row!.id });
  const { runs } = await ask('visits.get', { visitId: visits[0]!.id });
  expect(runs).toMatchObject([{ state: 'complete', gaps: [], marks: [{ at_s: expect.any(Number) }] }]);
  const [run] = runs;
  expect(run!.frames / run!.sampleRate_Hz).toBeGreaterThan(5.5);
  const wav = await openWav(join(dataFolder, 'recordings', run!.file));
  expect(wav).toMatchObject({
    frames: run!.frames,
    format: { channels: 8, sampleRate_Hz: run!.sampleRate_Hz },
  });
  await wav.close();
});

it('shows the visit again and plays it', async () => {
  await page.getByRole('link', { name: 'Demo estate car' }).press('Enter');
  await screen(page, 'Vehicles').waitFor();
  // In the list, which counts its visits; the visit under way, which may be there sooner, stands above it.
  await page.getByRole('link', { name: /RP-E 00417.*\d visits?, / }).press('Enter');
  await screen(page, 'Demo estate car').waitFor();
  await page.getByRole('link', { name: /louder than last year/ }).press('Enter');
  await screen(page, /^Visit of/).waitFor();

  await page.keyboard.press('Space');
  await expect.poll(async () => (await ask('live.state', null)).phase).toBe('playing');
  await page.getByRole('button', { name: /Stop/ }).waitFor();
  // Nobody is faster than this between two keys.
  await new Promise((resolve) => setTimeout(resolve, 200));
  await page.keyboard.press('5');
  await expect.poll(async () => (await ask('live.state', null)).heard).toBe(5);
  await page.keyboard.press('Space');
  await expect.poll(async () => (await ask('live.state', null)).phase).not.toBe('playing');
});

it('said nothing on the console all the while', () => {
  expect(complaints).toEqual([]);
});
