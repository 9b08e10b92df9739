import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, chromium, type Page } from 'playwright-core';
import { build } from 'vite';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openGarage } from '../../db/open.ts';
import { MANIFEST } from '../../electron/backup/manifest.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { type Loopback, serveLoopback } from '../../electron/host/serve.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import { seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import type { Visit } from '../../shared/contract/garage.ts';
import { english } from '../../shared/messages/tell.ts';
import { screen } from './hands.ts';

/** The car that came back: its page, two visits compared, what is due, and the garage's safety; by keyboard. */

let folder: string;
let app: App;
let loopback: Loopback;
let browser: Browser;
let page: Page;
const complaints: string[] = [];

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-returning-'));
  const rendererDir = join(folder, 'renderer');
  await build({
    configFile: join(import.meta.dirname, '../../build/vite.renderer.config.ts'),
    logLevel: 'warn',
    build: { outDir: rendererDir, emptyOutDir: true },
  });
  const garage = openGarage(join(folder, 'garage.db'));
  seedDemoGarage(garage);
  garage.close();
  app = await openApp({ dataFolder: folder });
  loopback = await serveLoopback(app, { rendererDir });
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  // A context of its own, as axe wants it.
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    // What the main side refused is shown to the user, and asked for by these tests.
    if (message.type() === 'error' && !message.text().startsWith('RequestError'))
      complaints.push(message.text());
  });
  await page.goto(loopback.url);
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await loopback?.close();
  await app?.close();
  await rm(folder, { recursive: true });
});

const answers = () => page.getByRole('region', { name: 'Since the earlier visits' });
const go = (route: string) =>
  page.evaluate((to) => {
    location.hash = to;
  }, route);

async function openVan(): Promise<void> {
  await go('/');
  await screen(page, 'Vehicles').waitFor();
  await page.getByRole('searchbox').fill('00731');
  await page.getByRole('status').filter({ hasText: '1 vehicle' }).waitFor({ state: 'attached' });
  await page.getByRole('searchbox').press('ArrowDown');
  await page.keyboard.press('Enter');
  await screen(page, 'white panel van').waitFor();
}

it('answers on one page: whether it gets worse, how fast, what was done, when to look again', async () => {
  await openVan();
  await answers().getByText('Yes', { exact: true }).waitFor();
  const text = (await answers().textContent())!;
  expect(text).toContain('Ring gear mesh 1× at the rear differential on the left keeps rising.');
  expect(text).toMatch(/It grows by [\d.]+ dB per 10,000 km \(90 % interval/);
  expect(text).toContain('Left to be watched on 4 May 2026: rear differential');
  expect(text).toContain('15 Oct 2026');
  await answers()
    .getByRole('img', { name: /^Level of ring gear mesh 1×/ })
    .waitFor();
});

it('follows another figure, and the date instead of the odometer', async () => {
  await answers().getByLabel('Against').selectOption('date');
  await answers()
    .getByText(/dB per year/)
    .waitFor();
  const figure = answers().getByLabel('Figure followed');
  const wheel = await figure.locator('option', { hasText: 'wheel 1×' }).first().getAttribute('value');
  await figure.selectOption(wheel!);
  await answers()
    .getByRole('img', { name: /^Level of wheel 1×/ })
    .waitFor();
  // The answer stays that of the watched part.
  await answers()
    .getByText(/^Ring gear mesh 1×.*keeps rising/)
    .waitFor();
});

it('takes a level at which the shop acts, and refuses nonsense at the field', async () => {
  await openVan();
  const field = answers().getByLabel(/^Act at/);
  await field.fill('loud');
  await field.press('Enter');
  await answers().getByText('This is not a number.').waitFor();
  expect(await field.inputValue()).toBe('loud');
  await field.fill('132,5');
  await field.press('Enter');
  await answers().getByText('Set for this vehicle; empty returns to the shop’s rule.').waitFor();
  await answers()
    .getByText(/is expected at \d{3},000 km/)
    .waitFor();
});

it('compares two visits like with like, and lays their spectra over each other', async () => {
  await page.getByRole('link', { name: 'Compare two visits' }).press('Enter');
  await screen(page, 'Two visits compared').waitFor();
  await page.getByLabel('Earlier visit').selectOption({ label: '5 Sept 2022' });
  const table = page.getByRole('table');
  await table.getByRole('row', { name: /^ring gear mesh 1×.*more/ }).waitFor();
  await page.getByRole('img', { name: /Both spectra over the turns of a wheel/ }).waitFor();
  expect(await table.getByRole('row').count()).toBeGreaterThan(10);
  await page.getByLabel('Only what differs by more than its uncertainty').press('Space');
  expect(await table.getByRole('row').count()).toBeLessThan(8);
});

it('says why recordings that are gone cannot be heard', async () => {
  await page.getByRole('button', { name: /5 Sept 2022/ }).focus();
  await page.keyboard.press('1');
  await page.getByText(/^The recording demo-watched-\d\.wav is not kept any more/).waitFor();
  await page.keyboard.press('Escape');
});

it('lists the car as due, and opens it from there', async () => {
  await page.getByRole('link', { name: 'Due', exact: true }).press('Enter');
  await screen(page, 'Cars due for a check').waitFor();
  await page.getByLabel('Within').selectOption('365');
  await page.getByRole('link', { name: /white panel van/ }).press('Enter');
  await screen(page, 'white panel van').waitFor();
});

it('notes what was done: nonsense is told at its field, and after a repair the trend begins anew', async () => {
  await page.getByRole('button', { name: 'Note what was done' }).press('Enter');
  await page.getByLabel('Done').selectOption('repaired');
  await page.getByLabel('Note', { exact: true }).fill('new gear set');
  const km = page.getByLabel('or at, km');
  await km.fill('a lot');
  await km.press('Enter');
  await page.getByText('This is not a number.').waitFor();
  expect(await km.inputValue()).toBe('a lot');
  await km.fill('200000');
  await km.press('Enter');
  await answers()
    .getByText(/^Repaired on 4 May 2026: rear differential \(new gear set\)/)
    .waitFor();
  await answers().getByText('before the repair').waitFor();
  await answers()
    .getByText(/A trend needs at least three comparable visits/)
    .waitFor();
});

it('backs up the garage, finds what is no backup, and shows what the policy would delete', async () => {
  await page.getByRole('link', { name: 'Backup', exact: true }).press('Enter');
  await screen(page, 'Backup and what is kept').waitFor();
  const [backup, restore] = await page.getByLabel('Folder').all();
  const target = join(folder, 'a backup');
  await backup!.fill(target);
  await backup!.press('Enter');
  await page.getByText(/✓ \d+ files?, .* in /).waitFor();
  expect(existsSync(join(target, MANIFEST))).toBe(true);

  await restore!.fill(join(folder, 'renderer'));
  await restore!.press('Enter');
  await page.getByText(/is not a complete backup/).waitFor();
  await restore!.fill(target);
  await restore!.press('Enter');
  await page.getByText(/✓ The backup is complete and sound/).waitFor();

  await page.getByLabel('Those of the newest visits of each vehicle').press('Space');
  await page.getByLabel('Newest visits', { exact: true }).fill('none');
  await page.getByRole('button', { name: 'Show what would be deleted' }).press('Enter');
  await page.getByText('This cannot be right; check it.').waitFor();
  await page.getByLabel('Newest visits', { exact: true }).fill('1');
  await page.getByRole('button', { name: 'Show what would be deleted' }).press('Enter');
  await page.getByText(/^Nothing would be deleted\./).waitFor();
});

/** A drive from another shop: two pickups over six seconds. */
async function bundleFromElsewhere(
  name: string,
  vehicle: object,
  startedAt = '2026-06-01T08:00:00Z',
): Promise<string> {
  const path = join(folder, name);
  mkdirSync(path);
  const writer = await WavWriter.create(join(path, 'run-1.wav'), { channels: 2, sampleRate_Hz: 16_000 });
  const samples = [0.2, 0.1].map((peak) =>
    Float32Array.from({ length: 6 * 16_000 }, (_, i) => peak * Math.sin(0.05 * i)),
  );
  writer.write(samples, 6 * 16_000);
  await writer.close();
  const channels = ['hub-rear-left', 'hub-rear-right'].map((position, i) => ({
    channel: i + 1,
    role: 'vibration',
    position,
    fullScale_m_s2: 100,
  }));
  const run = { file: 'run-1.wav', startedAt, channels, speed: null, segments: [] };
  const visit = { formatVersion: 1, vehicle: { layout: 'rwd', ...vehicle }, runs: [run] };
  writeFileSync(join(path, 'visit.json'), JSON.stringify(visit));
  return path;
}
const importForm = () => page.getByRole('region', { name: 'Visits from and for elsewhere' });
async function lookAt(path: string): Promise<void> {
  await importForm().getByLabel('Folder').fill(path);
  await importForm().getByLabel('Folder').press('Enter');
}

it('has no dialog for folders in a browser: their paths are typed', async () => {
  expect(await app.handle('folders.canChoose', null)).toEqual({ ok: true, value: false });
  expect(await page.getByRole('button', { name: 'Choose …' }).count()).toBe(0);
});

it('takes a visit from elsewhere in for a vehicle of the garage, and writes it out again', async () => {
  await lookAt(folder);
  await importForm().getByRole('alert').filter({ hasText: 'choose the folder of a visit bundle' }).waitFor();
  const bundle = await bundleFromElsewhere('from elsewhere', { label: 'Estate', plate: 'RP-E 00417' });
  await lookAt(bundle);
  await importForm().getByText('Estate: 1 run, 1 Jun 2026').waitFor();
  // The only one of that plate is proposed.
  const owner = importForm().getByLabel('The visit belongs to');
  await expect.poll(() => owner.locator('option:checked').textContent()).toContain('RP-E 00417');
  await importForm().getByRole('button', { name: 'Import the visit' }).press('Enter');
  await screen(page, 'Demo estate car').waitFor();
  await page.getByRole('link', { name: /^1 Jun 2026/ }).press('Enter');
  await screen(page, /^Visit of/).waitFor();

  const target = join(folder, 'taken elsewhere');
  await page.getByLabel('Folder').fill(target);
  await page.getByLabel('Folder').press('Enter');
  await page.getByText(`✓ The visit is in ${target}`).waitFor();
  expect(readFileSync(join(target, 'run-1.wav'))).toEqual(readFileSync(join(bundle, 'run-1.wav')));
  // Whose it is stays here.
  expect(readFileSync(join(target, 'visit.json'), 'utf8')).not.toContain('00417');
});

it('takes a visit of an unknown vehicle in for a new one, or for one that is searched for', async () => {
  await go('/keeping');
  await lookAt(await bundleFromElsewhere('nobody’s', { label: 'Blue hatchback' }));
  const owner = importForm().getByLabel('The visit belongs to');
  await expect.poll(() => owner.locator('option:checked').textContent()).toBe('A new vehicle');
  await importForm().getByLabel('Find its vehicle by plate, VIN or name').fill('00731');
  await expect.poll(() => owner.locator('option').count()).toBe(2);
  await importForm().getByRole('button', { name: 'Import the visit' }).press('Enter');
  await screen(page, 'Blue hatchback').waitFor();
  await go('/keeping');
  await screen(page, 'Backup and what is kept').waitFor();
});

it('deletes the recordings that it has shown, and no others', async () => {
  const files: string[] = [];
  let vehicleId: number | null = null;
  for (const [i, month] of ['03', '06', '09'].entries()) {
    const bundle = await bundleFromElsewhere(
      `kept ${i}`,
      { label: 'Grey saloon' },
      `2024-${month}-01T08:00:00Z`,
    );
    const made = await app.handle('bundles.import', { folder: bundle, vehicleId });
    if (!made.ok) throw new Error(english(made.told));
    const { visitId, vehicleId: owner } = made.value as { visitId: number; vehicleId: number };
    vehicleId = owner;
    const visit = await app.handle('visits.get', { visitId });
    files.push((visit as { value: Visit }).value.runs[0]!.file);
  }
  const there = () => files.map((file) => existsSync(join(folder, 'recordings', file)));
  expect(there()).toEqual([true, true, true]);

  // Of the saloon's three visits neither the first nor the newest.
  await page.getByLabel('and all younger than, months').fill('0');
  const saloon = page.getByRole('listitem').filter({ hasText: 'Grey saloon' });
  await expect
    .poll(async () => {
      await page.getByRole('button', { name: 'Show what would be deleted' }).press('Enter');
      return await saloon.count();
    })
    .toBe(1);
  expect(await saloon.textContent()).toContain('1 Jun 2024');
  await page.getByRole('button', { name: 'Delete these recordings' }).press('Enter');
  await page.getByText(/✓ 1 recording deleted, .* free\./).waitFor();
  expect(there()).toEqual([true, false, true]);
  await page.getByText(/^Nothing would be deleted\./).waitFor();
});

it('shows what a support bundle contains, and writes just that', async () => {
  await page.getByRole('button', { name: 'Show what it contains' }).press('Enter');
  const shown = await page.getByLabel('The text that will be written').inputValue();
  expect(shown).toContain('schema');
  expect(shown).not.toContain('RP-V 00731');
  const into = page.getByLabel('Folder').last();
  await into.fill(folder);
  await into.press('Enter');
  await page.getByText(`✓ The text is in ${folder}`).waitFor();
  const [file] = readdirSync(folder).filter((name) => name.startsWith('rumblepath-support-'));
  expect(readFileSync(join(folder, file!), 'utf8').trim()).toBe(shown.trim());
});

it('has no fault that axe finds, by day and by night', async () => {
  const van = page.url();
  expect(van).toContain('keeping');
  await openVan();
  const vehicle = new URL(page.url()).hash.slice(1);
  await page.getByRole('link', { name: 'Compare two visits' }).press('Enter');
  await page.getByRole('table').waitFor();
  const compare = new URL(page.url()).hash.slice(1);
  for (const theme of ['day', 'night']) {
    for (const [route, ready] of [
      [vehicle, () => answers().getByRole('img')],
      [compare, () => page.getByRole('table')],
      ['/due', () => screen(page, 'Cars due for a check')],
      ['/keeping', () => page.getByText('When the shop acts')],
    ] as const) {
      await go(route);
      await ready().first().waitFor();
      const { violations } = await new AxeBuilder({ page }).analyze();
      expect(
        violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`),
        `${route} ${theme}`,
      ).toEqual([]);
    }
    await page.getByRole('button', { name: theme === 'day' ? 'Night' : 'Day', exact: true }).press('Enter');
  }
  expect(complaints).toEqual([]);
}, 60_000);
