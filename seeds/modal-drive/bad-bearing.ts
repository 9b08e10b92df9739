import { type BearingRates, bearingRates } from '../../shared/driveline/bearing.ts';
import type { BearingDimensions } from '../../shared/driveline/runningGear.ts';
import type { Random } from '../road-drive/random.ts';
import {
  added,
  at,
  type Course,
  cosine,
  harmonicsOf,
  impacts,
  type Mode,
  phase,
  pickWeighted,
  ringing,
  roughness,
  shapedNoise,
  shapeOf,
  signalOf,
  swell,
  toLevel,
  waveOf,
} from './signals.ts';

/** Damaged rolling bearings of the modal drive, on whatever shaft. */

export type Damage = 'outer' | 'inner' | 'element' | 'worn';

export interface Turning {
  readonly turns: Float64Array;
  readonly rates: BearingRates;
  readonly load: Course;
  readonly pace: Course;
}

/** Impacts of spalls, noise that swells with each passing element, and the hum of a wavy track; wear has more of the latter two. */
export function drawBadBearing(
  kinds: readonly (readonly [Damage, number])[],
  [least_Hz, most_Hz]: readonly [number, number],
  random: Random,
): (turning: Turning, random: Random) => Float32Array {
  const damage = pickWeighted(kinds, random);
  const modes = Array.from(
    { length: random.integer(3, 6) },
    (): Mode => [
      random.logRange(least_Hz, most_Hz),
      random.range(0.02, 0.07),
      random.range(0.3, 1),
      random.range(0, 2 * Math.PI),
    ],
  );
  const spalls = random.chance(0.45) ? 1 : random.integer(2, 4);
  const defects = Array.from(
    { length: spalls },
    (_, k) => (k === 0 ? [0, 1] : [random.range(0.1, 0.9), random.range(0.3, 0.9)]) as [number, number],
  );
  const f0 = random.range(400, 2500);
  const rough = shapeOf((f) => roughness(f, f0) / (1 + (f / 7000) ** 4));
  const worn = damage === 'worn';
  const loadExponent = random.range(0.8, 2);
  const zone = random.range(0.4, 0.95);
  const start = phase(random);
  const slip = 1 + random.normal(0, 0.003);
  const jitter = random.range(0.004, 0.018) * (worn ? 2 : 1);
  const growth = random.range(0.8, 1.6);
  const fall = random.range(0.4, 1.2);
  const wave = waveOf(harmonicsOf(6, random, (k) => random.range(0.4, 1) / k ** fall));
  const shares = worn
    ? ([
        [0.25, 0.5],
        [0.5, 0.9],
        [0.4, 0.9],
      ] as const)
    : ([
        [0.8, 1],
        [0.1, 0.5],
        [0.1, 0.5],
      ] as const);
  const [blows, noise, hum] = shares.map(([least, most]) => random.range(least, most));
  return ({ turns, rates, load, pace }, run) => {
    const frames = turns.length;
    const rate = damage === 'element' ? rates.elementStrike : damage === 'inner' ? rates.inner : rates.outer;
    const order = rate * slip;
    const loaded = load.map((x) => x ** loadExponent);
    const inLoad = (turned: number): number => {
      if (damage === 'inner') return 1 - zone + 1.8 * zone * Math.max(0, cosine(turned + start)) ** 1.3;
      return damage === 'element' ? 0.45 + 0.55 * cosine(turned * rates.cage + start) ** 2 : 1;
    };
    const strength = (i: number, turned: number) => at(loaded, i) * at(pace, i) ** growth * inLoad(turned);
    const ring = ringing(impacts(turns, { order, jitter, strength, defects }, run), modes);
    const carrier = damage === 'inner' ? 1 : rates.cage;
    const hiss = shapedNoise(frames, rough, run);
    for (let i = 0; i < frames; i++) {
      const turned = turns[i]!;
      hiss[i] =
        hiss[i]! * (1 + 0.8 * cosine(turned * order + start) * (0.6 + 0.4 * cosine(turned * carrier)));
    }
    swell(
      hiss,
      loaded.map((x, k) => x * pace[k]! ** growth),
    );
    const tones = signalOf(frames, (i) => wave(order * turns[i]!));
    swell(
      tones,
      loaded.map((x, k) => x * pace[k]! ** 1.5),
    );
    return added(toLevel(ring, blows!), toLevel(hiss, noise!), toLevel(tones, hum!));
  };
}

/** Elements as large as they may be for their number, at most that share of the pitch diameter. */
export function bearingOf(elements: number, share: number): BearingRates {
  const widest = Math.min(share, 0.98 * Math.sin(Math.PI / elements));
  const bearing: BearingDimensions = {
    rollingElements: elements,
    elementDiameter_mm: 100 * widest,
    pitchDiameter_mm: 100,
    contactAngle_deg: 0,
  };
  return bearingRates(bearing);
}
