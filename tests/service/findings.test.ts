import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { openGarage } from '../../db/open.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { randomScenario, writeScenarioBundle } from '../../seeds/scenarios/index.ts';
import type { AnalysisProgress } from '../../shared/contract/findings-requests.ts';
import type { RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { DIAGNOSIS_METHOD } from '../../shared/diagnosis/findings.ts';
import { english } from '../../shared/messages/tell.ts';

/** The findings behind their requests, on a simulated car whose rear differential sings, 2 runs of 12 s. */

let folder: string;
let app: App;
let visitId: number;
let vehicleId: number;
const progress: AnalysisProgress[] = [];

async function ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(english(reply.told));
  return reply.value as RequestOutput<N>;
}

async function open(): Promise<void> {
  app = await openApp({ dataFolder: join(folder, 'data') });
  app.subscribe((event) => {
    if (event.name === 'findings.progress') progress.push(event.payload);
  });
}

/** What was written only to be heard; no other test writes there. */
const passing = () => readdirSync(join(folder, 'passing'));

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-findings-'));
  mkdirSync(join(folder, 'passing'));
  vi.stubEnv('TMPDIR', join(folder, 'passing'));
  const bundle = join(folder, 'bundle');
  await writeScenarioBundle(
    randomScenario(2, { sampleRate_Hz: 16_000, durationS: 12, pickups: 3, runs: 2, badChannelChance: 0 }),
    bundle,
  );
  await open();
  ({ visitId, vehicleId } = await ask('bundles.import', { folder: bundle, vehicleId: null }));
}, 120_000);

afterAll(async () => {
  await app?.close();
  vi.unstubAllEnvs();
  rmSync(folder, { recursive: true, force: true });
});

it('has nothing before the first analysis, and nothing to play', async () => {
  expect(await ask('findings.get', { visitId })).toBeNull();
  await expect(ask('findings.play', { visitId, place: 'loud' })).rejects.toThrow(/analysed first/);
});

it('keeps nothing of an analysis that was cancelled', async () => {
  const result = ask('findings.analyse', { visitId });
  await expect.poll(() => progress.length, { timeout: 20_000 }).toBeGreaterThan(1);
  await ask('findings.cancel', { visitId });
  expect(await result).toBeNull();
  expect(await ask('findings.get', { visitId })).toBeNull();
  const told = progress.length;
  await setTimeout(200);
  expect(progress.length).toBe(told);
});

it('analyses all runs where they lie, tells how far it is, and keeps what it found', async () => {
  progress.length = 0;
  const [first, second] = await Promise.all([
    ask('findings.analyse', { visitId }),
    ask('findings.analyse', { visitId }),
  ]);
  // Whoever asks meanwhile joins: one analysis, one answer.
  expect(second).toEqual(first);
  const { runs } = await ask('visits.get', { visitId });
  expect(first).toMatchObject({ visitId, runIds: runs.map((run) => run.id), outOfDate: null });
  expect(new Set(first!.findings.spectra.map((s) => s.run))).toEqual(new Set([1, 2]));
  expect(first!.findings.sources[0]).toMatchObject({ source: 'differential-rear' });
  const shares = progress.map((p) => p.share);
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
  expect(shares.at(-1)).toBeGreaterThan(0.9);

  await app.close();
  await open();
  expect(await ask('findings.get', { visitId })).toEqual(first);
}, 60_000);

it('plays what convinced at both places, at one gain, and leaves nothing behind', async () => {
  const { findings } = (await ask('findings.get', { visitId }))!;
  const { loud, quiet } = findings.convincing!;
  const sound = await ask('findings.play', { visitId, place: 'loud' });
  expect(sound.run).toBe(loud.run);
  expect(sound.difference_db).toBeGreaterThan(1);
  expect(await ask('live.state', null)).toMatchObject({
    phase: 'playing',
    visitId,
    heard: 1,
    channels: [{ position: loud.position }, { position: quiet.position }],
  });

  // The meters show it: the same gain at both places leaves the difference as it is.
  const levels = new Promise<number[]>((resolve) => {
    let sums: number[] | null = null;
    let count = 0;
    const stop = app.subscribe((event) => {
      if (event.name !== 'live.levels') return;
      const squares = event.payload.rms.map((x) => x * x);
      sums = sums ? sums.map((s, i) => s + squares[i]!) : squares;
      if (++count < 90) return;
      stop();
      resolve(sums);
    });
  });
  await ask('findings.play', { visitId, place: 'quiet' });
  expect((await ask('live.state', null)).heard).toBe(2);
  const [atLoud, atQuiet] = await levels;
  // Over a part of the loop only, and within a stretch the level moves.
  expect(10 * Math.log10(atLoud! / atQuiet!)).toBeCloseTo(sound.difference_db, -1);

  expect(passing()).toHaveLength(1);
  await ask('live.close', null);
  expect(passing()).toEqual([]);
}, 60_000);

it('takes in what was found by hand and eye', async () => {
  const before = (await ask('findings.get', { visitId }))!;
  const plug = { wanted_Nm: null, done_Nm: null };
  const unit = {
    ...{ unit: 'differential-rear' as const, debris: 'flakes' as const, photoId: null },
    ...{ drained_l: null, refilled_l: null, fillPlugOpenedFirst: null, fluid: '', note: '' },
    ...{ fillPlug: plug, drainPlug: plug },
  };
  await ask('work.saveInspection', { visitId, inspection: { wheels: [], units: [unit], note: '' } });
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBe('facts');

  const after = (await ask('findings.analyse', { visitId }))!;
  const [was, is] = [before, after].map(
    ({ findings }) => findings.sources.find((s) => s.source === 'differential-rear')!,
  );
  expect(is!.probability).toBeGreaterThan(was!.probability);
  const found = is!.evidence.find((e) => e.kind === 'inspection')!;
  expect(english(found.text)).toContain('flakes on the magnet');
}, 60_000);

it('says that findings are out of date when a fact or the method was changed, or a run was added', async () => {
  const { vehicle } = await ask('vehicles.page', { vehicleId });
  const { id: _, createdAt: __, ...input } = vehicle;
  const changed = { ...input, spec: { ...input.spec, rollingCircumference_m: 1.7 } };
  await ask('vehicles.change', { vehicleId, vehicle: changed });
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBe('facts');
  await ask('vehicles.change', { vehicleId, vehicle: input });
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBeNull();

  const garage = openGarage(join(folder, 'data', 'garage.db'));
  const stored = garage.findings.ofVisit(visitId)!;
  garage.findings.keep({ ...stored, madeFrom: stored.madeFrom.replace(DIAGNOSIS_METHOD, 'an older one') });
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBe('method');
  garage.findings.keep(stored);
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBeNull();

  const { runs } = await ask('visits.get', { visitId });
  const { sampleRate_Hz, channels, orderLines } = runs[0]!;
  const added = garage.runs.start({
    visitId,
    startedAt: new Date().toISOString(),
    file: 'a-third-run.wav',
    sampleRate_Hz,
    channels,
    orderLines,
  });
  // Under way it is not part of the visit yet.
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBeNull();
  garage.runs.finish(added.id, 16_000);
  garage.close();
  expect((await ask('findings.get', { visitId }))!.outOfDate).toBe('runs');
  await expect(ask('findings.play', { visitId, place: 'loud' })).rejects.toThrow(/analysed again/);

  // Its recording is gone. A worker finds that out, and the reason comes through whole.
  const { channel } = channels[0]!;
  await expect(ask('runs.spectrum', { runId: added.id, channel, from_s: 0, to_s: 1 })).rejects.toThrow(
    'a-third-run.wav is not there any more.',
  );
  // The others are analysed, and that is said.
  const again = await ask('findings.analyse', { visitId });
  expect(again!.runIds).toHaveLength(3);
  expect(again!.findings.notices.map(english).join(' ')).toContain('Run 3 (run-3.wav) was left out');
}, 60_000);

it('refuses with a sentence where there is nothing to analyse', async () => {
  const { id } = await ask('visits.start', {
    vehicleId,
    startedAt: new Date().toISOString(),
    odometer_km: null,
    complaint: '',
  });
  await expect(ask('findings.analyse', { visitId: id })).rejects.toThrow(/Nothing is recorded/);
  await expect(ask('findings.get', { visitId: 999 })).rejects.toThrow(/not in the garage/);
});
