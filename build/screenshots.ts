/**
 * `npm run screenshots`: every screen of the real program on the demo garage, at two sizes, by day and by night,
 * to build/out/screenshots; with words behind it, those only whose names hold one of them. To be looked at: would you
 * use it in a car?
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
import { english } from '../shared/messages/tell.ts';
import { bundle, out } from './bundle.ts';

const SIZES = [
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
];
const THEMES = ['day', 'night'] as const;
const folder = join(out, 'screenshots');
const wanted = process.argv.slice(2);

async function ask<N extends RequestName>(
  app: App,
  name: N,
  input: RequestInput<N>,
): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${english(reply.told)}`);
  return reply.value as RequestOutput<N>;
}

const pause = (seconds: number) => new Promise((resolve) => setTimeout(resolve, seconds * 1000));

/** A visit of the returning car as far as the decision, with one recorded run, and the demo drive open once more. */
async function prepare(app: App, vehicleId: number): Promise<number> {
  const { visitId, intake } = await ask(app, 'work.begin', { vehicleId });
  await ask(app, 'work.saveIntake', {
    visitId,
    intake: {
      ...intake,
      ownerWords: 'Whine from the rear, louder than last year.',
      heard: { ...intake.heard, speedFrom_km_h: 60, speedTo_km_h: 90, torque: 'drive' },
    },
  });
  await ask(app, 'live.open', { source: { kind: 'demo' }, visitId, channels: [] });
  const { channels } = await ask(app, 'live.state', null);
  await ask(app, 'work.saveRigging', {
    visitId,
    rigging: {
      interfaceName: null,
      channels: channels.flatMap((c) =>
        c.role === 'vibration'
          ? [{ channel: c.channel, position: c.position, pickup: null, relative: false }]
          : [],
      ),
      tachos: [],
      cautionsTicked: ['passenger', 'leadsTied'],
    },
  });
  await ask(app, 'roadCard.propose', { visitId, open: null, neutralAllowed: false, limit_km_h: 100 });
  await ask(app, 'roadCard.follow', { visitId });
  await ask(app, 'live.record', { on: true });
  await pause(8);
  await ask(app, 'live.mark', { text: 'bridge joint' });
  await pause(4);
  await ask(app, 'live.record', { on: false });
  const plug = { wanted_Nm: 35, done_Nm: 35 };
  await ask(app, 'work.saveInspection', {
    visitId,
    inspection: {
      wheels: [{ wheel: 'rear-left', play: 'none', drag: 'smooth', tyreWear: 'even', note: '' }],
      units: [
        {
          unit: 'differential-rear',
          debris: 'finePaste',
          photoId: null,
          drained_l: 1.2,
          refilled_l: 0.9,
          fillPlugOpenedFirst: true,
          fluid: '',
          fillPlug: plug,
          drainPlug: plug,
          note: '',
        },
      ],
      note: '',
    },
  });
  const { settings } = await ask(app, 'settings.get', null);
  await ask(app, 'settings.save', {
    settings: {
      ...settings,
      shop: { ...settings.shop, name: 'Workshop at the Weir', address: 'Mill Lane 3' },
      labourRate_per_h: 80,
      tax_percent: 20,
      interfaces: [{ name: 'Field interface 8', fullScale_V: 5 }],
      pickupSets: [
        {
          name: 'Red case',
          pickups: ['R1', 'R2', 'R3'].map((name) => ({
            name,
            sensitivity_mV_per_m_s2: 10.2,
            calibrations: [],
          })),
        },
      ],
    },
  });
  const { decision } = await ask(app, 'work.get', { visitId });
  const { replace, test, nothing } = decision.options;
  await ask(app, 'work.saveDecision', {
    visitId,
    decision: {
      ...decision,
      source: 'differential-rear',
      options: {
        replace: {
          ...replace,
          cost: { parts: [{ name: 'Axle drive, reconditioned', quantity: 1, unitPrice: 900 }], labour_h: 5 },
        },
        watch: { cost: { parts: [], labour_h: 1 }, later: { probability: 0.25, from: 'technician' } },
        test,
        nothing,
      },
      levelHasRisen: false,
      chosen: 'watch',
      nextCheck: { date: null, odometer_km: 150_000 },
    },
  });
  return visitId;
}

/** The same visit's inspection and decision as they stand with play at a wheel. */
async function withPlay(app: App, visitId: number, page: Page): Promise<void> {
  const { inspection } = await ask(app, 'work.get', { visitId });
  const found = inspection.wheels.map((wheel) => ({ ...wheel, play: 'clear' as const }));
  await ask(app, 'work.saveInspection', { visitId, inspection: { ...inspection, wheels: found } });
  await page.reload();
  await page.getByRole('heading', { name: 'DO NOT DRIVE' }).waitFor();
  await ask(app, 'work.saveInspection', { visitId, inspection });
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
  { name: 'intake', route: `/visits/${visitId}/intake` },
  { name: 'setup', route: `/setup/${visitId}` },
  {
    name: 'setup-checks',
    route: `/setup/${visitId}`,
    act: (page) => page.getByRole('heading', { name: 'Checks before the drive' }).scrollIntoViewIfNeeded(),
  },
  { name: 'road-card', route: `/visits/${visitId}/road` },
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
  { name: 'inspection', route: `/visits/${visitId}/inspection` },
  {
    name: 'inspection-plugs',
    route: `/visits/${visitId}/inspection`,
    act: (page) => page.getByRole('heading', { name: 'Fluids and plugs' }).scrollIntoViewIfNeeded(),
  },
  { name: 'decision', route: `/visits/${visitId}/decision` },
  {
    name: 'decision-options',
    route: `/visits/${visitId}/decision`,
    act: (page) => page.evaluate(() => scrollTo(0, 420)),
  },
  {
    name: 'decision-stop',
    route: `/visits/${visitId}/decision`,
    act: (page) => withPlay(app, visitId, page),
  },
  {
    name: 'report',
    route: `/visits/${visitId}/report`,
    act: (page) => page.locator('iframe').waitFor(),
  },
  { name: 'settings', route: '/settings' },
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
        if (wanted.length > 0 && !wanted.some((word) => name.includes(word))) continue;
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
