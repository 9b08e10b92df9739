import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import type { VisitScenario } from '../../seeds/road-drive/scenario.ts';
import { demoScenario } from '../../seeds/scenarios/demo.ts';
import { gearFor } from '../../seeds/scenarios/drive-profile.ts';
import { returningScenario } from '../../seeds/scenarios/returning.ts';
import { writeScenarioBundle } from '../../seeds/scenarios/write-bundle.ts';
import type {
  AppEvent,
  EventPayload,
  RequestInput,
  RequestName,
  RequestOutput,
} from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';

/** What the simulator promises: one tenth of severity is about 1.4 dB of gear noise. */
const DB_PER_SEVERITY = 14;
const KM_PER_YEAR = 17_500;
const YEARS = [0, 1, 2, 3];

/** Half a minute of the demo car: up to speed, a pull, a lift-off; two pickups. */
function shortScenario(severity: number): VisitScenario {
  const first = demoScenario();
  const gearRatio = gearFor(first.vehicle, 75, 2000);
  const phase = (
    duration_s: number,
    state: 'drive' | 'coast' | null,
    endSpeed_km_h: number,
    torque: number,
  ) => ({
    duration_s,
    state,
    endSpeed_km_h,
    torque,
    lateral: 0,
    gearRatio,
  });
  const drive = [phase(8, null, 72, 0.8), phase(16, 'drive', 77, 0.5), phase(9, 'coast', 71, -0.4)];
  const placement = ['hub-rear-left', 'differential-rear-left'];
  return {
    ...first,
    fault: { ...first.fault, severity },
    runs: [{ ...first.runs[0]!, placement, drive }],
  };
}

let app: App;
let folder: string;

async function ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${english(reply.told)}`);
  return reply.value as RequestOutput<N>;
}

/** The payload of the next event of a name. */
function nextEvent<N extends AppEvent['name']>(name: N): Promise<EventPayload<N>> {
  return new Promise((resolve) => {
    const end = app.subscribe((event) => {
      if (event.name !== name) return;
      end();
      resolve(event.payload as EventPayload<N> & PromiseLike<EventPayload<N>>);
    });
  });
}

/** Imports a bundle and waits until its run has left its measures. */
async function visit(bundle: string, vehicleId: number | null) {
  const measured = nextEvent('runs.measured');
  const made = await ask('bundles.import', { folder: bundle, vehicleId });
  expect(await measured).toMatchObject(made);
  return made;
}

async function carOf(
  name: string,
  severityPerYear: number,
): Promise<{ vehicleId: number; visits: number[] }> {
  const first = shortScenario(0.2);
  let vehicleId: number | null = null;
  const visits: number[] = [];
  for (const yearsLater of YEARS) {
    const severity = 0.2 + severityPerYear * yearsLater;
    const scenario =
      yearsLater === 0 ? first : returningScenario(first, { yearsLater, severity, kmPerYear: KM_PER_YEAR });
    const bundle = join(folder, `${name}-${yearsLater}`);
    writeScenarioBundle(scenario, bundle);
    const made = await visit(bundle, vehicleId);
    vehicleId = made.vehicleId;
    visits.push(made.visitId);
  }
  return { vehicleId: vehicleId!, visits };
}

let worn: Awaited<ReturnType<typeof carOf>>;
let unchanged: Awaited<ReturnType<typeof carOf>>;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-returning-'));
  const dataFolder = join(folder, 'data');
  mkdirSync(dataFolder);
  app = await openApp({ dataFolder });
  worn = await carOf('worn', 0.2);
  unchanged = await carOf('unchanged', 0);
}, 240_000);
afterAll(async () => {
  await app?.close();
  rmSync(folder, { recursive: true, force: true });
});

test('a worn car: its known growth lies within the interval, and the page says so', async () => {
  const { answer, shown, measuring } = await ask('vehicles.wear', {
    vehicleId: worn.vehicleId,
    series: null,
  });
  expect(measuring).toBe(0);
  expect(shown!.key).toMatch(
    /^orderLevel \| differential-rear \| ring gear mesh 1× \| differential-rear-left \| drive/,
  );
  expect(shown!.points).toHaveLength(YEARS.length);
  const trend = shown!.againstOdometer;
  if (trend.kind !== 'fitted') throw new Error(english(trend.sentence));
  const truth = (0.2 * DB_PER_SEVERITY * 10_000) / KM_PER_YEAR;
  expect(trend.growth.low).toBeLessThan(truth);
  expect(trend.growth.high).toBeGreaterThan(truth);
  expect(trend.growth.perUnit_db).toBeGreaterThan(0.4);
  expect(english(answer.worse)).toContain('Ring gear mesh 1× at the rear differential on the left');
  expect(english(answer.lookAgain)).toBe('No next check was agreed.');
});

test('an unchanged car, clamped anew every year, is not called worse', async () => {
  const { answer, shown, series } = await ask('vehicles.wear', {
    vehicleId: unchanged.vehicleId,
    series: null,
  });
  expect(answer.verdict).toBe('noChangeShown');
  const trend = shown!.againstOdometer;
  if (trend.kind !== 'fitted') throw new Error(english(trend.sentence));
  expect(trend.growth.low).toBeLessThan(0);
  expect(trend.growth.high).toBeGreaterThan(0);
  expect(series.filter((s) => s.rising)).toEqual([]);
});

test('after a repair the part begins anew, and what was agreed stands on the page and in the due list', async () => {
  const { vehicleId, visits } = worn;
  await ask('outcomes.set', {
    visitId: visits[1]!,
    outcome: {
      done: 'repaired',
      source: 'differential-rear',
      note: 'new gear set',
      nextCheckOn: '2026-01-10',
      nextCheckAt_km: 200_000,
    },
  });
  const { answer, shown } = await ask('vehicles.wear', { vehicleId, series: null });
  expect(shown!.points.map((p) => p.beforeRepair)).toEqual([true, true, false, false]);
  expect(answer.verdict).toBe('tooFew');
  expect(english(answer.lastTime)).toContain('rear differential (new gear set)');
  expect(english(answer.lookAgain)).toContain('10 Jan 2026');
  const due = await ask('garage.due', { withinDays: 3660 });
  expect(due.map((d) => d.vehicleId)).toEqual([vehicleId]);
  expect(await ask('vehicles.search', { text: 'rear differential' })).toMatchObject([{ id: vehicleId }]);
  await ask('outcomes.set', { visitId: visits[1]!, outcome: null });
});

test('the level that the shop sets for a vehicle moves the forecast', async () => {
  const { vehicleId } = worn;
  const wear = await ask('vehicles.wear', { vehicleId, series: null });
  const { key, limit, points } = wear.shown!;
  expect(limit).toEqual({ level_db: points[0]!.level_db + 6, set: 'byRise' });
  const level_db = points[3]!.level_db + 1;
  await ask('vehicles.setWearLimit', { vehicleId, series: key, level_db });
  const set = await ask('vehicles.wear', { vehicleId, series: key });
  expect(set.shown!.limit!.set).toBe('forThisVehicle');
  expect(set.shown!.limit!.level_db).toBeCloseTo(level_db, 6);
  await ask('vehicles.setWearLimit', { vehicleId, series: key, level_db: null });
  await ask('garage.setWearRise', { rise_db: 9 });
  expect((await ask('vehicles.wear', { vehicleId, series: key })).shown!.limit!.level_db).toBeCloseTo(
    points[0]!.level_db + 9,
    6,
  );
});

test('the first and the last visit are compared, laid over each other in orders, and heard in turn', async () => {
  const [earlierVisitId, , , laterVisitId] = worn.visits;
  const comparison = await ask('visits.compare', {
    earlierVisitId: earlierVisitId!,
    laterVisitId: laterVisitId!,
  });
  const mesh = comparison.differences.find(
    (d) => d.label === 'ring gear mesh 1×' && d.position === 'differential-rear-left' && d.state === 'drive',
  )!;
  // Three years of wear, within what clamping anew and the repeats leave open.
  expect(Math.abs(mesh.difference_db - 0.6 * DB_PER_SEVERITY)).toBeLessThan(mesh.uncertainty_db);
  expect(mesh.change).toBe('louder');

  const { position: _, ...ground } = comparison.ground.find(
    (g) => g.position === 'differential-rear-left' && g.state === 'drive',
  )!;
  const { earlier, later } = await ask('visits.overlay', ground);
  const levelAt41 = (s: NonNullable<typeof earlier>) => {
    const centre = Math.round(41 / s.step);
    return Math.max(...s.rms_m_s2.slice(centre - 3, centre + 4));
  };
  // The mesh stands at the ring gear's 41 teeth in both, whatever the tyres and the speed were.
  for (const spectrum of [earlier!, later!]) {
    const beside = Math.max(
      ...[39, 43].map((order) => spectrum.rms_m_s2[Math.round(order / spectrum.step)]!),
    );
    expect(levelAt41(spectrum)).toBeGreaterThan(3 * beside);
  }
  expect(levelAt41(later!)).toBeGreaterThan(levelAt41(earlier!));

  await ask('live.listen', { on: false, gain_db: 14 });
  await ask('visits.hearBoth', ground);
  // A second and a half: a single thirtieth of a second says little.
  const power = [0, 0];
  for (let n = 0; n < 45; n++) {
    const { rms } = await nextEvent('live.levels');
    for (const c of [0, 1]) power[c]! += rms[c]! ** 2 / 45;
  }
  const state = await ask('live.state', null);
  expect(state).toMatchObject({ phase: 'playing', heard: 1, listening: { gain_db: 14 }, scale: 'absolute' });
  expect(state.channels.map((c) => c.role === 'vibration' && c.position)).toEqual([
    'differential-rear-left',
    'differential-rear-left',
  ]);
  const level = state.channels.map(
    (c, i) => Math.sqrt(power[i]!) * ((c.role === 'vibration' && c.fullScale_m_s2) || 0),
  );
  expect(level[1]!).toBeGreaterThan(1.3 * level[0]!);
  await ask('live.hear', { channel: 2 });
  expect((await ask('live.state', null)).heardBefore).toBe(1);
  await ask('live.close', null);
});

test('a pickup moved by one position, and another pickup of unknown sensitivity, are refused with their reasons', async () => {
  const bundle = join(folder, 'worn-3');
  const text = await readFile(join(bundle, 'visit.json'), 'utf8');
  const json = JSON.parse(text);
  const [hub, differential] = json.runs[0].channels;
  differential.position = 'differential-rear-right';
  hub.pickup = 'B';
  hub.fullScale_m_s2 = null;
  await writeFile(join(bundle, 'visit.json'), JSON.stringify(json));
  const { visitId } = await visit(bundle, worn.vehicleId);
  const { differences, refused } = await ask('visits.compare', {
    earlierVisitId: worn.visits[3]!,
    laterVisitId: visitId,
  });
  expect(differences).toEqual([]);
  expect(refused.map((r) => [r.positions, r.reason])).toEqual([
    [['hub-rear-left'], 'sensitivity'],
    [['differential-rear-right'], 'placement'],
    [['differential-rear-left'], 'placement'],
  ]);
});
