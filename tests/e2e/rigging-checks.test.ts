import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { bundle, out } from '../../build/bundle.ts';
import { openGarage } from '../../db/open.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { type Loopback, serveLoopback } from '../../electron/host/serve.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { forkWithNode } from '../../native/portaudio/child-link.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import { seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import type { KnownPosition } from '../../shared/driveline/words.ts';
import { defaultSettings } from '../../shared/visit-work/settings.ts';
import { add, RATE, restNoise, tapResponses, tone } from '../live/checks/signals.ts';
import { levels, screen, startVisit } from './hands.ts';
import { VirtualInterface } from './virtual-interface.ts';

/**
 * The checks before the drive, from the set-up screen: known signals are played into an eight-channel interface and
 * captured by PortAudio, and the screen says what they are.
 */

// The slowest check alone takes fifteen seconds.
vi.setConfig({ testTimeout: 90_000 });

const CHANNELS = 8;
/** Four pickups that leave inputs free between them. */
const RIG = [
  { channel: 1, position: 'hub-rear-left', pickup: 'Pickup A' },
  { channel: 3, position: 'hub-rear-right', pickup: 'Pickup B' },
  { channel: 6, position: 'differential-rear-left', pickup: 'Pickup C' },
  { channel: 8, position: 'transmission', pickup: 'Pickup D' },
] as const satisfies { channel: number; position: KnownPosition; pickup: string }[];
const PLACES = RIG.map((r) => r.position);
/** On the shaker; the others have data sheets. */
const UNCALIBRATED = 6;
const REST_RMS = 5e-5;
const VEHICLE_SEED = 1;

let folder: string;
let audio: VirtualInterface;
let app: App;
let loopback: Loopback;
let browser: Browser;
let page: Page;

const rest = (seconds: number) => RIG.map(({ channel }) => restNoise(seconds, REST_RMS, `rest ${channel}`));

/** Plays what the four pickups give; what was played before ends. */
async function play(signals: readonly Float32Array[]): Promise<void> {
  await audio.silence();
  const file = join(folder, 'signals.wav');
  await rm(file, { force: true });
  const frames = signals[0]!.length;
  const none = new Float32Array(frames);
  const planes = Array.from({ length: CHANNELS }, (_, i) => {
    const at = RIG.findIndex(({ channel }) => channel === i + 1);
    return at < 0 ? none : signals[at]!;
  });
  const writer = await WavWriter.create(file, { channels: CHANNELS, sampleRate_Hz: RATE });
  for (let from = 0; from < frames; from += RATE) {
    const length = Math.min(RATE, frames - from);
    if (
      !writer.write(
        planes.map((p) => p.subarray(from, from + length)),
        length,
      )
    )
      await writer.drain();
  }
  await writer.close();
  await audio.play(file);
}

/** Taps at places of the vehicle, every three seconds; `leads` says from which place each pickup's lead really comes. */
function taps(places: readonly KnownPosition[], leads: readonly KnownPosition[]): Float32Array[] {
  const EVERY_S = 3;
  const signals = rest(EVERY_S * (places.length + 2));
  for (const [k, place] of places.entries()) {
    const responses = tapResponses(VEHICLE_SEED, place, PLACES);
    for (const [c, lead] of leads.entries())
      add(
        signals[c]!,
        responses[PLACES.indexOf(lead as (typeof PLACES)[number])]!,
        EVERY_S * (k + 1) * RATE,
        0.2,
      );
  }
  return signals;
}

const panel = () => page.getByRole('region', { name: 'Checks before the drive' });
const check = (name: string) => panel().getByRole('button', { name, exact: true });
const says = (text: string | RegExp) =>
  panel().getByRole('listitem').filter({ hasText: text }).last().waitFor({ timeout: 40_000 });

beforeAll(async () => {
  await bundle();
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-checks-'));
  const garage = openGarage(join(folder, 'garage.db'));
  seedDemoGarage(garage);
  garage.close();
  audio = await VirtualInterface.start({ channels: CHANNELS });
  app = await openApp({ dataFolder: folder, forkChild: forkWithNode({ ...process.env, ...audio.env }) });
  // 10 V over 50 mV per m/s²: full scale is 200 m/s².
  const pickups = RIG.map(({ channel, pickup }) => ({
    name: pickup,
    sensitivity_mV_per_m_s2: channel === UNCALIBRATED ? null : 50,
    calibrations: [],
  }));
  const settings = {
    ...defaultSettings(),
    interfaces: [{ name: VirtualInterface.INPUT, fullScale_V: 10 }],
    pickupSets: [{ name: 'Case 1', pickups }],
  };
  expect(await app.handle('settings.save', { settings })).toMatchObject({ ok: true });
  loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  page.setDefaultTimeout(20_000);
  await page.goto(loopback.url);
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await loopback?.close();
  await app?.close();
  await audio?.stop();
  await rm(folder, { recursive: true, force: true });
});

/** Puts a pickup on its place on the vehicle by its number. */
async function place(channel: number, position: KnownPosition): Promise<void> {
  await page.locator(`[data-place="${position}"]`).focus();
  await page.keyboard.press(String(channel));
  // Two digits in quick succession are one number.
  await page.waitForTimeout(900);
}

it('connects four pickups that were put on the vehicle by their numbers', async () => {
  await startVisit(page, '00417', 'Checked before the drive.');
  await page.getByRole('combobox', { name: 'Interface' }).selectOption({ value: VirtualInterface.INPUT });
  await page.getByRole('combobox', { name: 'Channels' }).selectOption(String(CHANNELS));
  for (let channel = 1; channel <= CHANNELS; channel++) {
    const rigged = RIG.find((r) => r.channel === channel);
    if (rigged) {
      await place(channel, rigged.position);
      await page.getByLabel(`Channel ${channel}: Pickup`, { exact: true }).selectOption(rigged.pickup);
    } else await page.getByLabel(`Channel ${channel}: Use`, { exact: true }).selectOption('none');
  }
  await play(rest(60));
  await page.getByRole('button', { name: 'Connect', exact: true }).press('Enter');
  await panel().waitFor({ timeout: 30_000 });
});

it('names the channels that are noisy or dead at rest, and is content when all are quiet', async () => {
  const signals = rest(10);
  add(signals[1]!, restNoise(10, 0.01, 'noisy'), 0);
  signals[3]!.fill(0);
  await play(signals);
  await check('Noise floor').press('Enter');
  await says('⚠ The noise floor of channels 3, 8 needs a look.');
  await says(/Channel 3 is noisy at rest \(.*\): check lead, earth and gain\./);
  await says('Channel 8 gives nothing at all: check its lead and supply.');

  await play(rest(10));
  await check('Noise floor').press('Enter');
  await says('✓ All channels are quiet at rest.');
});

it('warns when another channel answers the tap, and follows when the places are swapped', async () => {
  const swapped: KnownPosition[] = [
    'hub-rear-right',
    'hub-rear-left',
    'differential-rear-left',
    'transmission',
  ];
  await play(taps(['hub-rear-left', 'hub-rear-left', 'hub-rear-left'], swapped));
  await check('Tap, channel 1').press('Enter');
  await says(/^⚠ Channel 3 answered, not 1: .*Swap the leads, or the channels in the placement\.$/);

  await place(1, 'hub-rear-right');
  await place(3, 'hub-rear-left');
  await page.getByRole('button', { name: 'Take over the changed places' }).press('Enter');
  await play(taps(['hub-rear-right', 'hub-rear-left', 'differential-rear-left', 'transmission'], swapped));
  await check('Tap all in turn').press('Enter');
  for (const { channel } of RIG) await says(new RegExp(`^✓ Channel ${channel} answered, as it should`));
});

it('finds the lead that crackles when it is moved, and no other', async () => {
  const signals = rest(25);
  for (let k = 0; k < 20; k++)
    add(signals[1]!, restNoise(0.15, 0.05, `crackle ${k}`), Math.round((3 + k) * RATE));
  await play(signals);
  await check('Leads').press('Enter');
  await says('⚠ The leads of channel 3 need a look.');
  await says(/Channel 3 .*(loose|drop|crackl)/);
});

it('tells a pickup that is wired the other way', async () => {
  // A push towards the base is a positive half-wave first, and the pickup rings off.
  const knock = Float32Array.from(
    { length: 2000 },
    (_, i) => Math.exp(-i / 200) * Math.sin((2 * Math.PI * 1500 * i) / RATE),
  );
  for (const [sign, words] of [
    [-1, /^⚠ Channel 8 is turned round/],
    [1, /^✓ Channel 8 points the usual way/],
  ] as const) {
    const signals = rest(12);
    for (let s = 3; s < 11; s += 1.5) add(signals[3]!, knock, s * RATE, 0.2 * sign);
    await play(signals);
    await check('Polarity, channel 8').press('Enter');
    await says(words);
  }
});

it('takes the full scale from a reference shaker, and measures with it', async () => {
  const onShaker = (hz: number, rms: number) => {
    const signals = rest(40);
    add(signals[2]!, tone(40, hz, rms), 0);
    return signals;
  };
  const button = check(`Calibrate, channel ${UNCALIBRATED}`);
  await panel().getByLabel('Shaker gives, m/s² RMS').fill('much');
  await button.press('Enter');
  await panel().getByRole('alert').filter({ hasText: 'Reference: a number is needed.' }).waitFor();
  await panel().getByLabel('Shaker gives, m/s² RMS').fill('10');

  await play(onShaker(50, 0.02));
  await button.press('Enter');
  await says(/^⚠ Channel 6 hears 50\.0 Hz/);

  // 1000 rad/s is 159.155 Hz; with 10 m/s² at 0.04 of full scale, full scale is 250 m/s².
  await play(onShaker(159.155, 0.04));
  await button.press('Enter');
  await says(/^✓ Channel 6: full scale is/);
  await panel().getByRole('button', { name: 'Keep for Pickup C' }).press('Enter');
  await page.getByRole('row', { name: /^6 / }).getByText('by shaker').waitFor();
  const reply = await app.handle('settings.get', null);
  expect(reply.ok).toBe(true);
  const { settings } = (reply as { value: { settings: ReturnType<typeof defaultSettings> } }).value;
  const [kept] = settings.pickupSets[0]!.pickups.find((p) => p.name === 'Pickup C')!.calibrations;
  expect(kept).toMatchObject({ interfaceName: VirtualInterface.INPUT, channel: UNCALIBRATED });
  // Within 0.05 dB.
  expect(Math.abs(20 * Math.log10(kept!.fullScale_m_s2 / 250))).toBeLessThan(0.05);

  // ISO 1683 refers acceleration levels to 1e-6 m/s²: 10 m/s² are 140 dB. The screen shows tenths.
  await page.getByRole('button', { name: 'Live view' }).press('Enter');
  await screen(page, /Live/).waitFor({ state: 'attached' });
  const shown = async () => (await levels(page))[RIG.findIndex((r) => r.channel === UNCALIBRATED)]!;
  await expect.poll(async () => Math.abs((await shown()) - 10)).toBeLessThan(0.15);
  await page.keyboard.press('u');
  await page.keyboard.press('u');
  await expect.poll(async () => Math.abs((await shown()) - 140)).toBeLessThan(0.15);
});
