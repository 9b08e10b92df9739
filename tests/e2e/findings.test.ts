import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bundle, out } from '../../build/bundle.ts';
import { openGarage } from '../../db/open.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { type Loopback, serveLoopback } from '../../electron/host/serve.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import type { KeptFindings } from '../../shared/contract/findings-requests.ts';
import type { RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';
import { screen } from './hands.ts';

/** The findings of the demo garage's returning car in the running program, in an installed browser, by keyboard. */

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
const kept = async (): Promise<KeptFindings> => (await ask('findings.get', { visitId }))!;
const live = () => ask('live.state', null);
const serious = async (): Promise<string[]> => {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' ')}`);
};
const openPart = () => page.locator('button[aria-expanded="true"]');

beforeAll(async () => {
  await bundle();
  dataFolder = await mkdtemp(join(tmpdir(), 'rumblepath-findings-'));
  const garage = openGarage(join(dataFolder, 'garage.db'));
  const { returningVehicleId } = seedDemoGarage(garage);
  // The first visit: the earlier of the two.
  visitId = garage.vehicles.page(returningVehicleId).visits.at(-1)!.id;
  garage.close();
  app = await openApp({ dataFolder });
  loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  const context = await browser.newContext({
    viewport: { width: 1280, height: 800 },
    reducedMotion: 'reduce',
  });
  page = await context.newPage();
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  await page.goto(loopback.url);
  await screen(page, 'Vehicles').waitFor();
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await loopback?.close();
  await app?.close();
  await rm(dataFolder, { recursive: true });
});

it('is one key away from the visit', async () => {
  await page.evaluate((to) => {
    location.hash = to;
  }, `/visits/${visitId}`);
  await screen(page, /^Visit of/).waitFor();
  await page.getByRole('link', { name: /Find the source/ }).waitFor();
  await page.keyboard.press('a');
  await screen(page, 'Findings').waitFor();
});

it('shows how far the analysis is, and stops it by key', async () => {
  await page.getByRole('progressbar', { name: 'Progress of the analysis' }).waitFor();
  expect(await serious()).toEqual([]);
  await page.keyboard.press('Escape');
  await page.getByText('The analysis was cancelled').waitFor();
  expect(await ask('findings.get', { visitId })).toBeNull();
  expect(await serious()).toEqual([]);
});

it('analyses the demo visit and says in a sentence what makes the noise', async () => {
  await page.keyboard.press('a');
  const title = page.getByRole('heading', { name: 'Parts, most probable first' });
  await title.waitFor({ timeout: 100_000 });
  const { findings } = await kept();
  await page.getByText(english(findings.summary), { exact: true }).waitFor();
  // The demo's truth: its rear differential.
  expect(findings.sources[0]!.source).toBe('differential-rear');
  await expect.poll(() => openPart().textContent()).toContain('Rear differential');
  for (const { text } of findings.sources[0]!.evidence) await page.getByText(english(text)).first().waitFor();
  expect(await serious()).toEqual([]);
}, 120_000);

it('puts the level of what convinced on every place, in words as well', async () => {
  const { convincing } = (await kept()).findings;
  const map = page.getByRole('group', { name: 'Vehicle from above' });
  for (const { channel, level_db, heard } of convincing!.levels) {
    const level = String(Math.round(level_db)).replace('-', '−');
    const words = heard
      ? `channel ${channel}: ${level} dB`
      : `channel ${channel}: not heard, below ${level} dB`;
    expect(await map.getByRole('button', { name: words, exact: false }).count(), words).toBe(1);
  }
  await page.keyboard.press('e');
  await page.getByText('Whole drive, full band').waitFor();
  expect(await map.getByRole('button', { name: /channel \d: \d+ dB/ }).count()).toBe(8);
  await page.keyboard.press('e');
});

it('walks over the parts and the channels by key', async () => {
  const { sources } = (await kept()).findings;
  const parts = await page.getByRole('listitem').locator('button[aria-expanded]').count();
  expect(parts).toBe(Math.max(1, sources.filter((s) => s.probability >= 0.02).length));
  if (parts > 1) {
    await page.keyboard.press('ArrowDown');
    await expect.poll(() => openPart().textContent()).not.toContain('Rear differential');
    await page.keyboard.press('ArrowUp');
  }
  await expect.poll(() => openPart().textContent()).toContain('Rear differential');

  await page.keyboard.press('3');
  await page.getByRole('img', { name: 'Order spectrum of Hub, rear left' }).waitFor();
  await page.keyboard.press('8');
  await page.getByRole('img', { name: /Order spectrum of Transmission/ }).waitFor();
  await page.keyboard.press('h');
  await page.getByRole('dialog').getByText('Flip between the loud and the faint place').waitFor();
  await page.keyboard.press('Escape');
  // Until it is gone the keys belong to it.
  await page.getByRole('dialog').waitFor({ state: 'hidden' });
});

it('plays what convinced, flips between the two places, and stops', async () => {
  const { loud, quiet } = (await kept()).findings.convincing!;
  await page.getByRole('button', { name: /Play what convinced me/ }).waitFor();
  await page.keyboard.press('Space');
  await expect.poll(async () => (await live()).phase, { timeout: 30_000 }).toBe('playing');
  expect(await live()).toMatchObject({
    heard: 1,
    channels: [{ position: loud.position }, { position: quiet.position }],
  });
  await page.getByRole('button', { pressed: true, name: /where it is loud/ }).waitFor();
  await page.getByText(/\d+ dB stronger at the first place/).waitFor();
  expect(await serious()).toEqual([]);

  await page.keyboard.press('f');
  await page.getByRole('button', { pressed: true, name: /where it is faint/ }).waitFor();
  expect((await live()).heard).toBe(2);
  await page.keyboard.press('f');
  await expect.poll(async () => (await live()).heard).toBe(1);
  await page.keyboard.press('Space');
  await expect.poll(async () => (await live()).phase).toBe('idle');
}, 60_000);

it('is readable by night', async () => {
  await page.keyboard.press('n');
  await expect.poll(() => page.evaluate(() => document.documentElement.dataset.theme)).toBe('night');
  expect(await serious()).toEqual([]);
  await page.keyboard.press('n');
});

it('keeps the findings, and says when they are out of date', async () => {
  const visit = await ask('visits.get', { visitId });
  const { vehicle } = await ask('vehicles.page', { vehicleId: visit.vehicleId });
  const { id: _, createdAt: __, ...input } = vehicle;
  await ask('vehicles.change', {
    vehicleId: visit.vehicleId,
    vehicle: { ...input, spec: { ...input.spec, rollingCircumference_m: 1.9 } },
  });
  const { analysedAt } = await kept();
  await page.reload();
  await screen(page, 'Findings').waitFor();
  await page.getByText(/were changed after these findings/).waitFor();
  expect((await kept()).analysedAt).toBe(analysedAt);
});

it('leads to the set-up with the proposed places', async () => {
  const { nextPlacement, verdict } = (await kept()).findings;
  if (nextPlacement.length === 0) {
    expect(['pinpointed', 'nothingAbnormal']).toContain(verdict);
    await page.getByRole('heading', { name: 'Next: look at the part' }).waitFor();
    return;
  }
  for (const { why } of nextPlacement) await page.getByText(english(why)).first().waitFor();
  await page.keyboard.press('p');
  await screen(page, 'Set up').waitFor();
  const rig = await page.evaluate(
    () => JSON.parse(localStorage.getItem('rumblepath.screen')!).state.rig.channels,
  );
  expect(rig.slice(0, nextPlacement.length).map((c: { position: string }) => c.position)).toEqual(
    nextPlacement.map((next) => next.position),
  );
});

it('is one key away when a recording has ended', async () => {
  const { vehicleId } = await ask('visits.get', { visitId });
  const startedAt = new Date().toISOString();
  const { id } = await ask('visits.start', { vehicleId, startedAt, odometer_km: null, complaint: '' });
  await ask('live.open', { source: { kind: 'demo' }, visitId: id, channels: [] });
  await page.evaluate(() => {
    location.hash = '/live';
  });
  await screen(page, /Live/).waitFor({ state: 'attached' });
  await page.keyboard.press('r');
  await expect.poll(async () => (await live()).recording?.seconds ?? 0).toBeGreaterThan(2);
  // While the recording goes on the key means nothing.
  await page.keyboard.press('a');
  expect((await live()).recording).not.toBeNull();
  await page.keyboard.press('r');
  await page.getByRole('link', { name: 'Find the source' }).waitFor();
  await page.keyboard.press('a');
  await screen(page, 'Findings').waitFor();
  await expect
    .poll(() => ask('findings.get', { visitId: id }), { timeout: 30_000 })
    .toMatchObject({ visitId: id, outOfDate: null });
}, 60_000);

it('said nothing on the console all the while', () => {
  expect(complaints).toEqual([]);
});
