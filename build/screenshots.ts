/**
 * `npm run screenshots`: every screen of the real program on the demo garage, at two sizes, by day and by night,
 * to build/out/screenshots. To be looked at: would you use it in a car?
 */
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { openGarage } from '../db/open.ts';
import { findBrowser, sandboxSwitches } from '../electron/host/browser.ts';
import { serveLoopback } from '../electron/host/serve.ts';
import type { App } from '../electron/service/app.ts';
import { openApp } from '../electron/service/open-app.ts';
import { seedDemoGarage } from '../seeds/garage/demo-garage.ts';
import type { VehiclePage } from '../shared/contract/garage.ts';
import type { RequestInput, RequestName, RequestOutput } from '../shared/contract/requests.ts';
import { bundle, out } from './bundle.ts';

const SIZES = [
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
];
const THEMES = ['day', 'night'] as const;
const folder = join(out, 'screenshots');

async function ask<N extends RequestName>(
  app: App,
  name: N,
  input: RequestInput<N>,
): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${reply.message}`);
  return reply.value as RequestOutput<N>;
}

const pause = (seconds: number) => new Promise((resolve) => setTimeout(resolve, seconds * 1000));

/** A visit of the returning car with one recorded run, and the demo drive open once more. */
async function prepare(app: App, vehicleId: number): Promise<number> {
  const { id } = await ask(app, 'visits.start', {
    vehicleId,
    startedAt: new Date().toISOString(),
    odometer_km: null,
    complaint: 'Whine from the rear, louder than last year.',
  });
  await ask(app, 'live.open', { source: { kind: 'demo' }, visitId: id, channels: [] });
  await ask(app, 'live.record', { on: true });
  await pause(8);
  await ask(app, 'live.mark', { text: 'bridge joint' });
  await pause(4);
  await ask(app, 'live.record', { on: false });
  return id;
}

interface Shot {
  readonly name: string;
  readonly route: string;
  /** What is done on the screen before its picture is taken. */
  readonly act?: (page: Page) => Promise<unknown>;
}

const shots = (vehicleId: number, visitId: number, watched: VehiclePage, app: App): Shot[] => [
  { name: 'vehicles', route: '/' },
  { name: 'vehicle-new', route: '/vehicles/new' },
  { name: 'vehicle', route: `/vehicles/${vehicleId}` },
  {
    name: 'visit-start',
    route: `/vehicles/${vehicleId}`,
    act: (page) => page.getByRole('button', { name: 'Start a visit' }).click(),
  },
  { name: 'setup', route: `/setup/${visitId}` },
  { name: 'live', route: '/live' },
  {
    name: 'live-recording',
    route: '/live',
    act: async (page) => {
      await ask(app, 'live.record', { on: true });
      await page.waitForTimeout(2500);
    },
  },
  {
    name: 'live-keys',
    route: '/live',
    act: async (page) => {
      await ask(app, 'live.record', { on: false });
      await page.keyboard.press('h');
    },
  },
  { name: 'visit', route: `/visits/${visitId}` },
  { name: 'vehicle-watched', route: `/vehicles/${watched.vehicle.id}` },
  {
    name: 'compare',
    route: `/vehicles/${watched.vehicle.id}/compare/${watched.visits.at(-1)!.id}/${watched.visits[0]!.id}`,
  },
  { name: 'due', route: '/due' },
  { name: 'backup', route: '/keeping' },
  {
    name: 'findings',
    route: `/visits/${visitId}/findings`,
    act: (page) => page.getByRole('heading', { name: 'Parts, most probable first' }).waitFor(),
  },
  {
    name: 'findings-foot',
    route: `/visits/${visitId}/findings`,
    act: (page) => page.evaluate(() => scrollTo(0, document.body.scrollHeight)),
  },
];

async function photograph(browser: Browser, url: string, list: Shot[]): Promise<void> {
  const { origin, hash } = new URL(url);
  for (const viewport of SIZES) {
    for (const theme of THEMES) {
      const page = await browser.newPage({ viewport });
      await page.addInitScript((chosen) => {
        localStorage.setItem('rumblepath.screen', JSON.stringify({ state: { theme: chosen }, version: 0 }));
      }, theme);
      await page.goto(`${origin}/${hash}`);
      for (const { name, route, act } of list) {
        await page.evaluate((to) => {
          location.hash = to;
        }, route);
        await page.waitForTimeout(1200);
        await act?.(page);
        await page.waitForTimeout(300);
        await page.screenshot({
          path: join(folder, `${name}-${viewport.width}x${viewport.height}-${theme}.png`),
        });
      }
      await page.close();
    }
  }
}

await bundle();
await rm(folder, { recursive: true, force: true });
await mkdir(folder, { recursive: true });
const dataFolder = await mkdtemp(join(tmpdir(), 'rumblepath-screenshots-'));
const garage = openGarage(join(dataFolder, 'garage.db'));
const { returningVehicleId } = seedDemoGarage(garage);
const watched = garage.vehicles.page(garage.vehicles.search('panel van 00731')[0]!.id);
garage.close();

const app = await openApp({ dataFolder });
const loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
const executablePath = findBrowser();
if (executablePath === undefined) throw new Error('Neither Chromium nor Chrome is installed.');
const browser = await chromium.launch({ executablePath, args: sandboxSwitches() });
try {
  const visitId = await prepare(app, returningVehicleId);
  await photograph(browser, loopback.url, shots(returningVehicleId, visitId, watched, app));
  console.log(`The pictures are in ${folder}.`);
} finally {
  await browser.close();
  await loopback.close();
  await app.close();
  await rm(dataFolder, { recursive: true });
}
