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
import { seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import type { RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';

/** A shop that works in German, with the demo garage's cars: what the screens and the owner's report say. */

/** English words that no German sentence of ours holds. */
const ENGLISH =
  /\b(the|of|and|is|are|not|by|from|with|than|has|been|at|to|for|noise|wheel|front|rear|left|right|louder|mesh|bearing|tyre|gearbox|visit|channel|clear|between)\b/i;
/** A decimal point where German has a comma; groups of thousands, days and version numbers have points in German too. */
const DECIMAL_POINT = /(?<![\d.,])(0\.\d+|\d+\.\d{1,2})(?![\d.])/;

let dataFolder: string;
let app: App;
let loopback: Loopback;
let browser: Browser;
let page: Page;
/** The first visit of the returning car. */
let visitId: number;
/** A van with six visits. */
let watched: { vehicleId: number; visits: readonly number[] };
/** What its users have typed in, in English: it stays as it was typed. */
let own: string[];

async function ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${english(reply.told)}`);
  return reply.value as RequestOutput<N>;
}

beforeAll(async () => {
  await bundle();
  dataFolder = await mkdtemp(join(tmpdir(), 'rumblepath-german-'));
  const garage = openGarage(join(dataFolder, 'garage.db'));
  const { returningVehicleId } = seedDemoGarage(garage);
  const visitsOf = (id: number) => garage.vehicles.page(id).visits.map((v) => v.id);
  visitId = visitsOf(returningVehicleId).at(-1)!;
  const van = garage.vehicles.search('panel van 00731')[0]!.id;
  watched = { vehicleId: van, visits: visitsOf(van) };
  own = garage.vehicles.search('').flatMap(({ id }) => {
    const { vehicle, visits: all } = garage.vehicles.page(id);
    const typed = all.flatMap((v) => [v.complaint, ...garage.outcomes.ofVehicle(id).map((o) => o.note)]);
    return [vehicle.spec.label, vehicle.ownerNote, ...typed];
  });
  garage.close();
  app = await openApp({ dataFolder });
  const { settings } = await ask('settings.get', null);
  await ask('settings.save', { settings: { ...settings, language: 'de' } });
  loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  // A computer with a voice for each language, and an ear for what it says.
  await page.addInitScript(() => {
    const voices = ['en-GB', 'de-DE'].map((lang) => ({ lang, localService: true }));
    const said: string[] = [];
    Object.assign(globalThis, {
      said,
      SpeechSynthesisUtterance: class {
        lang = '';
        voice = null;
        text: string;
        constructor(text: string) {
          this.text = text;
        }
      },
    });
    Object.defineProperty(globalThis, 'speechSynthesis', {
      value: {
        getVoices: () => voices,
        cancel: () => {},
        speak: ({ lang, text }: { lang: string; text: string }) => said.push(`${lang}: ${text}`),
      },
    });
  });
  await page.goto(loopback.url);
  await page.getByRole('heading', { level: 1, name: 'Fahrzeuge' }).waitFor();
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await loopback?.close();
  await app?.close();
  await rm(dataFolder, { recursive: true });
});

/** Lines with English words or numbers in them, apart from what users have typed. */
function englishIn(text: string): string[] {
  const ours = own.filter((o) => o.trim()).reduce((rest, o) => rest.replaceAll(o.trim(), '…'), text);
  return ours.split('\n').filter((line) => ENGLISH.test(line) || DECIMAL_POINT.test(line));
}

/** Goes to a screen and reads all of it, names and titles too. */
async function read(route: string, title: string | RegExp): Promise<string> {
  await page.evaluate((to) => {
    location.hash = to;
  }, route);
  await page.getByRole('heading', { name: title }).first().waitFor();
  await page.waitForLoadState('networkidle');
  for (const closed of await page.locator('details:not([open]) > summary').all()) await closed.click();
  const named = await page.evaluate(() =>
    [...document.querySelectorAll('[aria-label], [title], [placeholder]')].flatMap((e) =>
      ['aria-label', 'title', 'placeholder'].map((name) => e.getAttribute(name) ?? ''),
    ),
  );
  return [await shown(), ...named].join('\n');
}

const shown = async (): Promise<string> => (await page.locator('body').allInnerTexts()).join('\n');

it('hears the findings of the demo visit in German: verdict, evidence of every part, next step', async () => {
  const { findings } = (await ask('findings.analyse', { visitId }))!;
  expect(findings.sources[0]!.source).toBe('differential-rear');
  const text = await read(`/visits/${visitId}/findings`, 'Teile, das wahrscheinlichste zuerst');
  expect(englishIn(text)).toEqual([]);
  for (const part of await page.locator('li button[aria-expanded]').all()) {
    await part.click();
    expect(englishIn(await shown())).toEqual([]);
  }
  await page.locator('li button[aria-expanded]').first().click();
  expect(await shown()).toMatch(/Der Ton der Tellerradzähne hinten|Das Geräusch/);
}, 120_000);

it('walks through the visit in German: intake, pickups, road card, inspection with its stops, decision', async () => {
  const { inspection } = await ask('work.get', { visitId });
  const wheel = { play: 'clear' as const, drag: 'rough' as const, tyreWear: 'cupped' as const, note: '' };
  const plug = { wanted_Nm: 35, done_Nm: 50 };
  await ask('work.saveInspection', {
    visitId,
    inspection: {
      ...inspection,
      wheels: [{ wheel: 'rear-left', ...wheel }],
      units: [
        {
          ...{ unit: 'differential-rear' as const, debris: 'chips' as const, photoId: null, fluid: '' },
          ...{ drained_l: 1.2, refilled_l: 0.8, fillPlugOpenedFirst: false, note: '' },
          ...{ fillPlug: { ...plug, wanted_Nm: null }, drainPlug: plug },
        },
      ],
    },
  });
  await ask('roadCard.propose', { visitId, open: null, neutralAllowed: true, limit_km_h: 100 });
  await ask('work.skip', { visitId, step: 'decision', skipped: true });
  const texts = [
    await read(`/visits/${visitId}/intake`, 'Beanstandung und Fahrzeug'),
    await read(`/setup/${visitId}`, 'Einrichten'),
    await read(`/visits/${visitId}/road`, /Fahrkarte/),
    await read(`/visits/${visitId}/inspection`, 'Prüfung'),
    await read(`/visits/${visitId}/decision`, 'Entscheidung'),
    await read(`/visits/${visitId}`, /Besuch/),
  ];
  for (const text of texts) expect(englishIn(text)).toEqual([]);
  expect(texts[0]).toContain('Sie geben den möglichen Ursachen ihre erste, schwache Reihenfolge');
  expect(texts[1]).toContain('Der Beifahrer bedient dieses Programm, nie der Fahrer.');
  expect(texts[3]).toContain('Deutliches Spiel am Rad hinten links: Nicht fahren');
  expect(texts[2]).toContain('mit leichtem Gas halten');
}, 60_000);

it('says of a returning car in German how it compares and whether it gets worse', async () => {
  const { vehicleId, visits } = watched;
  const texts = [
    await read('/', 'Fahrzeuge'),
    await read(`/vehicles/${vehicleId}`, 'Seit den früheren Besuchen'),
    await read(`/vehicles/${vehicleId}/compare/${visits.at(-1)}/${visits[0]}`, 'Unterschiede'),
    await read('/due', 'Zur Prüfung fällige Fahrzeuge'),
  ];
  for (const text of texts) expect(englishIn(text)).toEqual([]);
  expect(texts[1]).toMatch(/Es steigt weiter: .*[\s\S]*Es wächst um/);
  expect(texts[2]).toContain('unterscheiden sich um mehr als ihre Unsicherheit');
}, 60_000);

it('leads the drive of a vehicle without a name in German, on the screen and by voice', async () => {
  const drive = await ask('work.begin', { vehicleId: null });
  await ask('live.open', { source: { kind: 'demo' }, visitId: drive.visitId, channels: [] });
  await ask('roadCard.propose', {
    visitId: drive.visitId,
    open: null,
    neutralAllowed: false,
    limit_km_h: 100,
  });
  const text = await read('/live', /Live/);
  await ask('roadCard.follow', { visitId: drive.visitId });
  await ask('live.record', { on: true });
  const said = () => page.evaluate(() => (globalThis as unknown as { said: string[] }).said);
  await expect
    .poll(said, { timeout: 20_000 })
    .toContain('de-DE: 80 Kilometer pro Stunde mit leichtem Fuß halten.');
  const driven = await shown();
  await ask('live.record', { on: false });
  await ask('live.close', null);
  for (const t of [text, driven, await read('/', 'Fahrzeuge')]) {
    expect(englishIn(t)).toEqual([]);
    expect(t).toContain('Fahrzeug noch ohne Namen');
  }
  expect((await said()).filter((sentence) => ENGLISH.test(sentence))).toEqual([]);
}, 60_000);

it('refuses in German: at the field, for a folder, and as a notice of what the main side says', async () => {
  await read(`/visits/${visitId}/intake`, 'Beanstandung und Fahrzeug');
  const odometer = page.getByLabel('Kilometerstand, km');
  await odometer.fill('-5');
  await page.getByRole('button', { name: 'Sichern', exact: true }).click();
  await page.getByText('⚠ Kilometerstand: von 0 bis 3.000.000 km.').waitFor();
  await odometer.fill('120000');

  await read('/keeping', 'Sicherung und was aufbewahrt wird');
  const bundles = page.getByRole('region', { name: 'Besuche von und für anderswo' });
  await bundles.getByLabel('Ordner').fill(join(dataFolder, 'nowhere'));
  await bundles.getByRole('button', { name: 'Bündel ansehen' }).click();
  await page.getByText('ist nicht da; den Ordner eines Besuchsbündels wählen').waitFor();

  await page.evaluate(() => {
    location.hash = '/vehicles/987654';
  });
  await page.getByText('Dieses Fahrzeug ist nicht im Bestand.').first().waitFor();
  expect(englishIn(await shown())).toEqual([]);
}, 60_000);

it('gives the owner a report in German', async () => {
  await page.evaluate((to) => {
    location.hash = to;
  }, `/visits/${visitId}/report`);
  await page.locator('iframe').waitFor();
  const { html } = await ask('report.preview', { visitId });
  const said = html.replace(/<style>.*?<\/style>/s, '').replace(/<[^>]+>/g, '\n');
  expect(said).toContain('Warum');
  expect(englishIn(said)).toEqual([]);
}, 60_000);
