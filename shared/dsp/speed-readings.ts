import { rateAt, type ShaftMotion } from './speed-motion.ts';
import type { SmoothSpeed } from './speed-smooth.ts';

/** Speed readings as a receiver or a vehicle bus gives them: slow, rounded, late. */
export type SpeedReadings = {
  /** Not falling, in s on the recording's clock. */
  readonly t_s: ArrayLike<number>;
  /** In the unit in which they were rounded. */
  readonly value: ArrayLike<number>;
  /** Turning rate of the reference shaft in Hz per unit of `value`, by the nominal geometry. */
  readonly hzPerUnit: number;
};

/** Readings are at most this late, s; a receiver that predicts may even be a little early. */
export const LATENESS_S = { least: -0.3, most: 2.5 } as const;
/** Receivers and vehicle buses are usually about this late, s (common practice). */
export const USUAL_LATENESS_S = { mean: 1, sigma: 0.5 } as const;
/** A share of readings this large may be anything: dropped out, repeated, jumped. */
const OUTLIERS = 0.02;

/**
 * Scale and lateness of the readings against the motion found. A rounded reading says that the true value lies in
 * an interval, which is far sharper than its standard deviation; whether it was rounded or cut off (as buses often
 * do) is decided by which fits. Mean and standard deviation over a grid of the posterior.
 * @param motionSigma relative standard deviation of the motion's rate
 * @returns null when fewer than three readings lie within the motion at every lateness
 */
export function compareReadings(
  readings: SpeedReadings,
  smooth: SmoothSpeed,
  motion: ShaftMotion,
  motionSigma: number,
) {
  const first = motion.t_s[0]!;
  const last = motion.t_s[motion.t_s.length - 1]!;
  const t: number[] = [];
  const value: number[] = [];
  for (let k = 0; k < readings.t_s.length; k++) {
    const at = readings.t_s[k]!;
    if (at - LATENESS_S.most < first || at - LATENESS_S.least > last) continue;
    t.push(at);
    value.push(readings.value[k]!);
  }
  if (t.length < 3) return null;
  const latenesses = range(LATENESS_S.least, LATENESS_S.most, 0.05);
  const rates = latenesses.map((lateness) => t.map((at) => rateAt(motion, at - lateness)));
  const scatter = Math.min(
    ...rates.map((hz) => {
      const factor = slope(hz, value);
      return rms(value.map((v, k) => v - factor * hz[k]!));
    }),
  );
  // Readings that are not rounded scatter like a normal distribution: an interval of no width with wide edges.
  const half = 0.5 * smooth.quantum;
  const level = rms(value);
  const soft = Math.max(motionSigma * level, half > 0 ? 0.1 * half : scatter, 1e-9);
  const spread = (half + soft) / level;

  const posterior = (offset: number) => {
    const places: { factor: number; lateness: number; log: number }[] = [];
    latenesses.forEach((lateness, l) => {
      const hz = rates[l]!;
      const middle = slope(
        hz,
        value.map((v) => v + offset),
      );
      const belief = -0.5 * ((lateness - USUAL_LATENESS_S.mean) / USUAL_LATENESS_S.sigma) ** 2;
      for (const relative of range(1 - spread, 1 + spread, spread / 25)) {
        const factor = middle * relative;
        let log = belief;
        for (let k = 0; k < hz.length; k++) {
          // How far outside the interval of the reading the prediction lies, in units of the soft edge.
          const outside = (Math.abs(factor * hz[k]! - value[k]! - offset) - half) / soft;
          if (outside <= 0) continue;
          log +=
            outside < 4
              ? Math.log((1 - OUTLIERS) * Math.exp(-0.5 * outside * outside) + OUTLIERS)
              : LOG_OUTLIERS;
        }
        places.push({ factor, lateness, log });
      }
    });
    return summary(places);
  };
  const rounded = posterior(0);
  const cutOff = half > 0 ? posterior(half) : rounded;
  const best = cutOff.evidence > rounded.evidence + CUT_OFF_EVIDENCE ? cutOff : rounded;
  return {
    readingFactor: best.factor * readings.hzPerUnit,
    readingFactorSigma: Math.hypot(best.factorSigma, motionSigma * best.factor) * readings.hzPerUnit,
    lateness_s: best.latenessSigma < KNOWN_LATENESS_SIGMA_S ? best.lateness : null,
  };
}

/** Means and standard deviations of a posterior given on a grid, with the logarithm of its sum. */
function summary(places: readonly { factor: number; lateness: number; log: number }[]) {
  const most = places.reduce((a, b) => Math.max(a, b.log), Number.NEGATIVE_INFINITY);
  const weights = places.map(({ log }) => Math.exp(log - most));
  const total = weights.reduce((a, b) => a + b, 0);
  const mean = (of: (i: number) => number): number =>
    weights.reduce((sum, w, i) => sum + w * of(i), 0) / total;
  const factor = mean((i) => places[i]!.factor);
  const lateness = mean((i) => places[i]!.lateness);
  return {
    factor,
    lateness,
    factorSigma: Math.sqrt(mean((i) => (places[i]!.factor - factor) ** 2)),
    latenessSigma: Math.sqrt(mean((i) => (places[i]!.lateness - lateness) ** 2)),
    evidence: most + Math.log(total),
  };
}

/** Log odds that the readings must show before they are taken as cut off instead of rounded. */
const CUT_OFF_EVIDENCE = 3;
const LOG_OUTLIERS = Math.log(OUTLIERS);
/** The lateness is reported when its standard deviation is below this, s. */
const KNOWN_LATENESS_SIGMA_S = 0.3;

function range(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
}

function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / Math.max(1, values.length));
}

/** Slope of the line through the origin that fits best. */
function slope(x: readonly number[], y: readonly number[]): number {
  let cross = 0;
  let power = 0;
  for (let k = 0; k < x.length; k++) {
    cross += x[k]! * y[k]!;
    power += x[k]! * x[k]!;
  }
  return cross / power;
}
