import { execFile } from 'node:child_process';
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { ElectronApplication, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bundle, out, programEntries, root } from '../../build/bundle.ts';
import { openGarage } from '../../db/open.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import { seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import { english } from '../../shared/messages/tell.ts';
import { type Display, startDisplay } from './display.ts';
import { connectVisit, heard, levels, recordingState, screen, startVisit } from './hands.ts';
import { type ShellApp, shellApp } from './shell-app.ts';
import { VirtualInterface } from './virtual-interface.ts';

/** The main job in the real window: eight channels out of a virtual interface, captured by PortAudio. */

const CHANNELS = 8;
/** Peak of the sine on channel 1 and the step down from each channel to the next. */
const LOUDEST = 0.5;
const STEP_dB = 3;
const peakOf = (channel: number) => LOUDEST * 10 ** ((-STEP_dB * (channel - 1)) / 20);
/** A sine's RMS is 3.01 dB below its peak. */
const rmsOf_dB = (channel: number) => 20 * Math.log10(peakOf(channel) / Math.SQRT2);

let audio: VirtualInterface;
let display: Display;
let shell: ShellApp;
let electron: ElectronApplication;
let page: Page;
let folder: string;

async function makeTones(file: string): Promise<void> {
  const tones = Array.from({ length: CHANNELS }, (_, i) => ['sine', String(300 + 110 * i)]).flat();
  const gains = Array.from({ length: CHANNELS }, (_, i) => `${i + 1}v${peakOf(i + 1)}`);
  const wish = ['-n', '-r', '48000', '-c', String(CHANNELS), '-b', '32', '-e', 'floating-point', file];
  await promisify(execFile)('sox', [...wish, 'synth', '300', ...tones, 'remix', ...gains]);
}

beforeAll(async () => {
  await bundle();
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-electron-'));
  const tones = join(folder, 'tones.wav');
  await makeTones(tones);
  [audio, display] = await Promise.all([VirtualInterface.start({ channels: CHANNELS }), startDisplay()]);
  await audio.play(tones);

  shell = await shellApp(join(root, 'electron/shell/main.ts'), join(out, 'renderer'), programEntries());
  await mkdir(shell.dataFolder);
  const garage = openGarage(join(shell.dataFolder, 'garage.db'));
  seedDemoGarage(garage);
  garage.close();
  electron = await shell.launch({ ...audio.env, DISPLAY: display.DISPLAY });
  page = await electron.firstWindow();
}, 240_000);

afterAll(async () => {
  await shell?.remove();
  display?.close();
  await audio?.stop();
  if (folder) await rm(folder, { recursive: true });
});

it('starts a visit and connects the interface', async () => {
  await startVisit(page, '00417', 'Recorded in the window.');
  await page.getByRole('combobox', { name: 'Interface' }).selectOption({ value: VirtualInterface.INPUT });
  await page.getByRole('combobox', { name: 'Channels' }).selectOption(String(CHANNELS));
  await connectVisit(page);
});

it('shows every channel at its level', async () => {
  const furthest_dB = async () =>
    Math.max(...(await levels(page)).map((level, i) => Math.abs(level - rmsOf_dB(i + 1))));
  // The full band's edges take nothing from these tones, and the screen shows tenths.
  await expect.poll(furthest_dB, { timeout: 15_000 }).toBeLessThan(0.15);
  expect(await levels(page)).toHaveLength(CHANNELS);
});

it('changes the channel heard by key', async () => {
  await page.keyboard.press('4');
  await expect.poll(() => heard(page)).toEqual([4]);
  await page.keyboard.press('6');
  await expect.poll(() => heard(page)).toEqual([6]);
  await page.keyboard.press('f');
  await expect.poll(() => heard(page)).toEqual([4]);
});

it('records, and has the sound of every channel in the file', async () => {
  await page.keyboard.press('r');
  await expect.poll(() => recordingState(page)).toContain('Recording');
  await new Promise((resolve) => setTimeout(resolve, 3000));
  await page.keyboard.press('r');
  await expect.poll(() => recordingState(page)).toContain('Not recording');

  const reply = await page.evaluate(async () => {
    const bridge = window.rumblepath!;
    const found = await bridge.request('vehicles.search', { text: '00417' });
    if (!found.ok) throw new Error(english(found.told));
    const page = await bridge.request('vehicles.page', {
      vehicleId: (found.value as { id: number }[])[0]!.id,
    });
    if (!page.ok) throw new Error(english(page.told));
    const visitId = (page.value as { visits: { id: number }[] }).visits[0]!.id;
    return await bridge.request('visits.get', { visitId });
  });
  expect(reply).toMatchObject({ ok: true, value: { runs: [{ state: 'complete', gaps: [] }] } });
  const { file } = (reply as { value: { runs: { file: string }[] } }).value.runs[0]!;
  const wav = await openWav(join(shell.dataFolder, 'recordings', file));
  expect(wav.format).toMatchObject({ channels: CHANNELS, sampleRate_Hz: 48_000 });
  expect(wav.frames).toBeGreaterThan(2.5 * 48_000);
  await wav.close();
});

it('shows the visit again', async () => {
  await page.getByRole('link', { name: 'Demo estate car' }).press('Enter');
  await screen(page, 'Vehicles').waitFor();
  // In the list, which counts its visits; the visit under way, which may be there sooner, stands above it.
  await page.getByRole('link', { name: /RP-E 00417.*\d visits?, / }).press('Enter');
  await page.getByRole('link', { name: /Recorded in the window/ }).press('Enter');
  await screen(page, /^Visit of/).waitFor();
  await page.getByRole('button', { name: /Play/ }).waitFor();
});
