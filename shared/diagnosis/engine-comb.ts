import { firingOrder } from '../driveline/engine.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import type { ChannelMeasure } from './measure-run.ts';
import { noiseCurve } from './spectrum-noise.ts';
import type { Stretch } from './stretches.ts';

/**
 * An engine's firing, with the whole and half turns between, is a comb of lines that no other part makes. A comb is
 * judged by which of its lines are there, not by how high they are: natural logs of how much more probable they are
 * with it than by chance.
 */

/** Speeds at which engines are driven. */
const ENGINE_HZ = [11, 80] as const;
/** From one try to the next. */
const STEP = 1.001;
/** Cylinders that are tried when nobody counted them. */
const USUAL_CYLINDERS = [4, 6, 3, 8, 5] as const;

/** A line is there when it stands so far out of the noise around it, dB. */
const STANDS_OUT_DB = 6;
/** What counts of a line one bin beside it: so that the comb's middle is found. */
const BESIDE = 0.7;
/** Low multiples of a wheel are tyres and wheels, and tell nothing of the engine. */
const WHEEL_MULTIPLES = 8;
/** Chances that a healthy or a rough engine shows its firing, 2, 3 and 4 times it, whole and half turns. */
const FIRING_SHOWS = [0.9, 0.8, 0.7, 0.6] as const;
const WHOLE_TURN_SHOWS = 0.6;
const HALF_TURN_SHOWS = 0.35;
/** Two combs nearer than this are one. */
export const SAME = 0.02;
/** The best comb must be this much more probable than chance, and than all others. */
const LEAST_SCORE = 10;
export const LEAST_MARGIN = 5;

/** One stretch as all its pickups hear it together. */
export type Outstanding = {
  readonly at: number;
  readonly stretch: Stretch;
  readonly step: number;
  /** For each bin 1 where a line is, less beside it, 0 where none is, NaN where the wheels' own would be. */
  readonly line: Float64Array;
  /** The share of all bins on or beside a line. */
  readonly byChance: number;
};
export type Comb = { readonly turns: number; readonly score: number; readonly clear: boolean };

export const knowsCylinders = ({ engine }: RunningGear): boolean => (engine?.cylinders ?? null) !== null;

const cylindersOf = (vehicle: RunningGear): readonly number[] => {
  const known = vehicle.engine?.cylinders ?? null;
  return known === null ? USUAL_CYLINDERS : [known];
};

export const bestFiring = (vehicle: RunningGear, scoreOf: (firing: number) => number): number =>
  Math.max(...cylindersOf(vehicle).map((cylinders) => scoreOf(firingOrder(cylinders))));

/**
 * The best of all turns of a range; null when nothing can be tried.
 * @param asked how much clearer than usual it must be
 */
export function clearest(
  vehicle: RunningGear,
  range: readonly [number, number],
  asked: number,
  scoreOf: (turns: number, firing: number) => number,
): Comb | null {
  const tried: { turns: number; score: number }[] = [];
  for (let turns = range[0]; turns <= range[1]; turns *= STEP) {
    const score = bestFiring(vehicle, (firing) => scoreOf(turns, firing));
    if (Number.isFinite(score)) tried.push({ turns, score });
  }
  if (tried.length === 0) return null;
  const { turns, score } = tried.reduce((a, b) => (b.score > a.score ? b : a));
  const rival = Math.max(...tried.filter((t) => Math.abs(t.turns / turns - 1) > SAME).map((t) => t.score));
  const clear = score > asked * LEAST_SCORE && rival < score - asked * LEAST_MARGIN;
  return { turns, score, clear };
}

/** How much more probable a stretch's lines are with this comb than by chance; minus infinity when no engine turns so. */
export function score({ stretch, step, line, byChance }: Outstanding, turns: number, firing: number): number {
  const engine_Hz = (stretch.wheel_Hz ?? Number.NaN) * turns;
  if (!(engine_Hz > ENGINE_HZ[0] && engine_Hz < ENGINE_HZ[1])) return Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (let half = 1; half <= 2 * FIRING_SHOWS.length * firing; half++) {
    const firings = half / (2 * firing);
    const fires = Number.isInteger(firings);
    if (firings > 2 && !fires) continue;
    const there = line[Math.round((half * turns) / 2 / step)] ?? Number.NaN;
    if (Number.isNaN(there)) continue;
    const shows = fires ? FIRING_SHOWS[firings - 1]! : half % 2 === 0 ? WHOLE_TURN_SHOWS : HALF_TURN_SHOWS;
    sum += there > 0 ? there * Math.log(shows / byChance) : Math.log((1 - shows) / (1 - byChance));
  }
  return sum;
}

/** Each stretch of one run. `channels` are the run's. */
export function outstanding(channels: readonly ChannelMeasure[]): Outstanding[] {
  const stretches = channels[0]?.stretches ?? [];
  return stretches.flatMap(({ stretch }, i): Outstanding[] => {
    const spectra = channels.flatMap((c) => c.stretches[i]!.orders ?? []);
    const first = spectra[0];
    if (!first || stretch.wheel_Hz === null) return [];
    const { step } = first;
    const last = Math.min(first.power.length, Math.ceil(HIGHEST_ORDER / step));
    const line = new Float64Array(last);
    for (const spectrum of spectra) {
      const noise = noiseCurve(spectrum);
      const { power } = spectrum;
      for (let k = 2; k < last - 1; k++) {
        const isPeak = power[k]! >= power[k - 1]! && power[k]! > power[k + 1]!;
        if (!isPeak || 10 * Math.log10(power[k]! / noise[k]!) < STANDS_OUT_DB) continue;
        line[k] = 1;
        line[k - 1] = Math.max(line[k - 1]!, BESIDE);
        line[k + 1] = Math.max(line[k + 1]!, BESIDE);
      }
    }
    const lines = line.reduce((sum, there) => sum + Math.ceil(there), 0);
    const byChance = Math.min(0.5, Math.max(0.02, lines / last));
    for (let order = 1; order <= WHEEL_MULTIPLES; order++) {
      const k = Math.round(order / step);
      line.fill(Number.NaN, k - 1, k + 2);
    }
    return [{ at: i, stretch, step, line, byChance }];
  });
}

/** Engines have few lines above, in turns of a wheel. */
const HIGHEST_ORDER = 100;

/**
 * A comb of whole and half turns is also one of quarter turns of an engine twice as fast. Only the half turns
 * themselves tell which: most of the lowest must be there.
 */
export function showsHalfTurns({ line, step }: Outstanding, turns: number): boolean {
  const halves = LOWEST_HALVES.map((half) => line[Math.round((half * turns) / 2 / step)] ?? Number.NaN);
  const known = halves.filter((there) => !Number.isNaN(there));
  return 2 * known.filter((there) => there > 0).length >= known.length && known.length > 1;
}

const LOWEST_HALVES = [1, 3, 5, 7] as const;
