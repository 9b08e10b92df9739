import { gearOrders } from '../driveline/gear.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import { median } from '../dsp/levels.ts';
import {
  bestFiring,
  type Comb,
  clearest,
  knowsCylinders,
  LEAST_MARGIN,
  type Outstanding,
  outstanding,
  SAME,
  score,
  showsHalfTurns,
} from './engine-comb.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { ShaftTurns } from './shaft-turns.ts';
import type { SpeedGrade } from './speed.ts';

/**
 * How fast an engine turns can be heard (`engine-comb.ts`). Where nobody counted the teeth of the final drive, or nobody
 * noted the gear, that tells what is missing.
 */

/** Final drives of cars and vans (common practice, from memory). */
const RATIOS = [2.3, 6] as const;
/** Gears times final drive. */
const TURNS = [1.2, 18] as const;
/** Where the comb must also tell how many cylinders there are, or the gear, it must be so much clearer. */
const MORE_TO_TELL = 1.5;
/**
 * One car has one final drive, and where nothing told the speed's scale it is off by about as much in every run: how far
 * the ratio may seem to differ between runs of one grade.
 */
const FROM_RUN_TO_RUN = 0.01;
/** A stretch whose own comb is not clear may have one that is clear elsewhere, if its best is no better than by this. */
const NEARLY = 1;

/** The channels with the turns of crankshaft and propshaft filled in where the engine tells them. */
export function withCrankHeard(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
): readonly ChannelMeasure[] {
  const runs = [...new Set(channels.map((c) => c.run))].map((run) => {
    const own = channels.filter((c) => c.run === run && c.grade !== 'rough');
    const stretches = asks(vehicle, own) ? outstanding(own) : [];
    return { run, grade: own[0]?.grade, stretches, comb: ratioHeard(vehicle, stretches, RATIOS) };
  });
  const sureAt = (grade: SpeedGrade | undefined): number[] =>
    runs.flatMap((r) => (r.comb?.clear && r.grade === grade ? [r.comb.turns] : []));
  const heard = new Map(
    runs.map(({ run, grade, stretches, comb }) => {
      const ratio = comb?.clear ? comb.turns : ratioNear(vehicle, stretches, sureAt(grade));
      return [run, turnsOfRun(vehicle, stretches, ratio)];
    }),
  );
  return channels.map((c) => ({
    ...c,
    stretches: c.stretches.map((measure, i) => {
      const shafts = heard.get(c.run)!.get(i);
      return shafts ? { ...measure, stretch: { ...measure.stretch, shafts } } : measure;
    }),
  }));
}

/** The runs in which the engine told what the vehicle data did not. */
export function runsWithEngineHeard(
  before: readonly ChannelMeasure[],
  after: readonly ChannelMeasure[],
): Set<number> {
  const told = after.filter(({ stretches }, c) =>
    stretches.some(({ stretch }, s) => stretch.shafts !== before[c]!.stretches[s]!.stretch.shafts),
  );
  return new Set(told.map((c) => c.run));
}

/** Whether there is an engine and something that only it can tell. */
function asks(vehicle: RunningGear, channels: readonly ChannelMeasure[]): boolean {
  if (vehicle.electricDrive === true) return false;
  const stretches = channels[0]?.stretches ?? [];
  return rearShare(vehicle) !== null || stretches.some((s) => s.stretch.shafts.crank === null);
}

/**
 * By the stretches' places in the run.
 * @param ratio of the final drive whose teeth are unknown; null when it was not heard
 */
function turnsOfRun(
  vehicle: RunningGear,
  stretches: readonly Outstanding[],
  ratio: number | null,
): Map<number, ShaftTurns> {
  const missing = stretches.filter((s) => s.stretch.shafts.crank === null);
  return new Map([
    ...drivenByRear(vehicle, stretches),
    ...(ratio === null ? [] : behind(vehicle, ratio, missing)),
    ...inUnknownGears(
      vehicle,
      missing.filter((s) => s.stretch.gearRatio === null),
    ),
  ]);
}

/** The rear final drive's ratio against the front one's, where both are known and unequal; else null. */
function rearShare({ layout, finalDrive }: RunningGear): number | null {
  const { front, rear } = finalDrive ?? {};
  if (layout !== 'awd' || !front || !rear) return null;
  const share = gearOrders(rear).ratio / gearOrders(front).ratio;
  return Math.abs(share - 1) < SAME ? null : share;
}

/**
 * A gearbox that drives both axles through unequal final drives turns with one of them: the front one, unless the
 * engine is heard to say otherwise.
 */
function drivenByRear(vehicle: RunningGear, stretches: readonly Outstanding[]): [number, ShaftTurns][] {
  const share = rearShare(vehicle);
  if (share === null) return [];
  const known = stretches.filter((s) => s.stretch.shafts.crank !== null);
  const fits = (factor: number): number =>
    inEachGear(known, (s) =>
      bestFiring(vehicle, (firing) => score(s, factor * s.stretch.shafts.crank!, firing)),
    );
  if (!(fits(share) > fits(1) + LEAST_MARGIN)) return [];
  return known.map(({ at, stretch: { shafts } }) => [
    at,
    {
      ...shafts,
      crank: share * shafts.crank!,
      gearboxInput: share * shafts.gearboxInput!,
      gearboxOutput: share * shafts.gearboxOutput!,
    },
  ]);
}

/** The final drive's ratio from all stretches of a run whose gear is known. */
function ratioHeard(
  vehicle: RunningGear,
  stretches: readonly Outstanding[],
  range: readonly [number, number],
): Comb | null {
  const geared = stretches.filter((s) => s.stretch.shafts.crank === null && s.stretch.gearRatio !== null);
  if (geared.length === 0) return null;
  return clearest(vehicle, range, knowsCylinders(vehicle) ? 1 : MORE_TO_TELL, (turns, firing) =>
    inEachGear(geared, (s) => score(s, turns * s.stretch.gearRatio!, firing)),
  );
}

/** The ratio of a run that is not sure by itself, near that of the surer ones. */
function ratioNear(
  vehicle: RunningGear,
  stretches: readonly Outstanding[],
  sure: readonly number[],
): number | null {
  if (sure.length === 0) return null;
  const usual = median(sure);
  const near = [usual * (1 - FROM_RUN_TO_RUN), usual * (1 + FROM_RUN_TO_RUN)] as const;
  return ratioHeard(vehicle, stretches, near)?.turns ?? null;
}

/** Shafts behind a final drive of that ratio. */
function behind(
  vehicle: RunningGear,
  ratio: number,
  stretches: readonly Outstanding[],
): [number, ShaftTurns][] {
  return stretches.flatMap(({ at, stretch: { shafts, gearRatio } }): [number, ShaftTurns][] => {
    if (gearRatio === null) return [];
    const crank = ratio * gearRatio;
    const propshaft = shafts.propshaft ?? (vehicle.layout === 'rwd' ? ratio : null);
    return [[at, { crank, propshaft, gearboxInput: crank, gearboxOutput: ratio }]];
  });
}

/** Without the gear the cylinders must be known: too many combs fit otherwise. */
function inUnknownGears(vehicle: RunningGear, ungeared: readonly Outstanding[]): [number, ShaftTurns][] {
  if (!knowsCylinders(vehicle)) return [];
  const combs = ungeared.map((s) =>
    clearest(vehicle, TURNS, MORE_TO_TELL, (turns, firing) => score(s, turns, firing)),
  );
  const isSure = (s: Outstanding, comb: Comb | null): comb is Comb =>
    comb?.clear === true && showsHalfTurns(s, comb.turns);
  const sure = combs.flatMap((comb, i) => (isSure(ungeared[i]!, comb) ? [comb.turns] : []));
  return ungeared.flatMap((s, i): [number, ShaftTurns][] => {
    const comb = combs[i];
    if (!comb) return [];
    const nearlyBest = (turns: number): boolean =>
      bestFiring(vehicle, (firing) => score(s, turns, firing)) > comb.score - NEARLY;
    const turns = isSure(s, comb) ? comb.turns : sure.find(nearlyBest);
    return turns === undefined ? [] : [[s.at, { ...s.stretch.shafts, crank: turns, gearboxInput: turns }]];
  });
}

/** Stretches in one gear show the same lines again: only another gear is another witness. */
function inEachGear(stretches: readonly Outstanding[], scoreOf: (s: Outstanding) => number): number {
  let sum = 0;
  for (const gear of new Set(stretches.map((s) => s.stretch.gearRatio))) {
    const alike = stretches.filter((s) => s.stretch.gearRatio === gear);
    for (const s of alike) sum += scoreOf(s) / alike.length;
  }
  return sum;
}
