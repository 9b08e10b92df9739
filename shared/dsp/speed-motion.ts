import { assertFinite, assertPositive, assertSameLength } from './validation.ts';

/**
 * How a shaft turned: at each knot the time, the turns made so far and the turning rate. Between knots the turns are
 * the cubic that fits both ends (Hermite), so angle and rate are continuous.
 */
export type ShaftMotion = {
  /** Rising, in s, at least two. */
  readonly t_s: Float64Array;
  /** Turns (not radians) since some start; rising. */
  readonly turns: Float64Array;
  /** Turning rate in Hz, above zero. */
  readonly hz: Float64Array;
};

function assertRising(values: ArrayLike<number>, name: string): void {
  for (let i = 1; i < values.length; i++) {
    if (!(values[i]! > values[i - 1]!)) {
      throw new RangeError(
        `${name}: value ${i} is ${values[i]} after ${values[i - 1]}; the values must rise`,
      );
    }
  }
}

/**
 * The motion of a shaft whose rate runs linearly between knots.
 * @param t_s rising times in s, at least two
 * @param hz turning rates in Hz, above zero
 * @throws RangeError for unequal lengths, NaN, infinity, times that do not rise, rates not above zero
 */
export function motionFromSpeed(t_s: ArrayLike<number>, hz: ArrayLike<number>): ShaftMotion {
  assertSameLength(t_s, hz, 't_s', 'hz');
  if (t_s.length < 2) throw new RangeError(`a shaft motion needs at least two knots, got ${t_s.length}`);
  assertFinite(t_s, 't_s');
  assertFinite(hz, 'hz');
  assertRising(t_s, 't_s');
  const turns = new Float64Array(t_s.length);
  for (let i = 0; i < hz.length; i++) {
    if (!(hz[i]! > 0)) throw new RangeError(`hz: value ${i} is ${hz[i]}; the shaft must turn`);
    if (i > 0) turns[i] = turns[i - 1]! + 0.5 * (hz[i]! + hz[i - 1]!) * (t_s[i]! - t_s[i - 1]!);
  }
  return { t_s: Float64Array.from(t_s), turns, hz: Float64Array.from(hz) };
}

/** The motion of a shaft that turns `factor` times for each turn of the given one. */
export function geared(motion: ShaftMotion, factor: number): ShaftMotion {
  assertPositive(factor, 'factor');
  return {
    t_s: motion.t_s,
    turns: motion.turns.map((x) => x * factor),
    hz: motion.hz.map((x) => x * factor),
  };
}

/** Index of the interval that holds `t`, at or after `from`; the last one for later times. */
function advance(t_s: Float64Array, t: number, from: number): number {
  let i = from;
  const last = t_s.length - 2;
  while (i < last && t >= t_s[i + 1]!) i++;
  return i;
}

/**
 * Turns of the shaft at equally spaced times (samples of a recording).
 * @param start_s time of the first sample; times outside the motion continue at its first or last rate
 * @param sampleRate_Hz samples per second
 * @param count number of samples
 */
export function turnsAtSamples(
  motion: ShaftMotion,
  start_s: number,
  sampleRate_Hz: number,
  count: number,
): Float64Array {
  const { t_s, turns, hz } = motion;
  const out = new Float64Array(count);
  const first = t_s[0]!;
  const end = t_s.length - 1;
  let i = 0;
  for (let n = 0; n < count; n++) {
    const t = start_s + n / sampleRate_Hz;
    if (t <= first) out[n] = turns[0]! + (t - first) * hz[0]!;
    else if (t >= t_s[end]!) out[n] = turns[end]! + (t - t_s[end]!) * hz[end]!;
    else {
      i = advance(t_s, t, i);
      out[n] = hermite(motion, i, t);
    }
  }
  return out;
}

function hermite(motion: ShaftMotion, i: number, t: number): number {
  const { t_s, turns, hz } = motion;
  const h = t_s[i + 1]! - t_s[i]!;
  const u = (t - t_s[i]!) / h;
  const step = turns[i + 1]! - turns[i]!;
  const a = hz[i]! * h;
  const b = hz[i + 1]! * h;
  return turns[i]! + u * (a + u * (3 * step - 2 * a - b + u * (a + b - 2 * step)));
}

function hermiteRate(motion: ShaftMotion, i: number, t: number): number {
  const { t_s, turns, hz } = motion;
  const h = t_s[i + 1]! - t_s[i]!;
  const u = (t - t_s[i]!) / h;
  const step = turns[i + 1]! - turns[i]!;
  const a = hz[i]! * h;
  const b = hz[i + 1]! * h;
  return (a + u * (2 * (3 * step - 2 * a - b) + u * 3 * (a + b - 2 * step))) / h;
}

/** Turning rate in Hz at any time; outside the motion its first or last rate. */
export function rateAt(motion: ShaftMotion, t: number): number {
  const { t_s, hz } = motion;
  if (t <= t_s[0]!) return hz[0]!;
  if (t >= t_s[t_s.length - 1]!) return hz[hz.length - 1]!;
  let lo = 0;
  let hi = t_s.length - 1;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (t_s[mid]! <= t) lo = mid;
    else hi = mid;
  }
  return hermiteRate(motion, lo, t);
}

/**
 * The times at which the shaft has made `first`, `first + step`, … turns.
 * @param count how many; all must lie within the motion's knots
 * @returns times in s, to about 1e-12 turns
 * @throws RangeError when the turns leave the motion
 */
export function timesOfTurns(motion: ShaftMotion, first: number, step: number, count: number): Float64Array {
  const { t_s, turns } = motion;
  const last = first + (count - 1) * step;
  const end = turns.length - 1;
  if (count > 0 && !(first >= turns[0]! && last <= turns[end]! + 1e-9 && step > 0)) {
    throw new RangeError(`turns ${first} to ${last} lie outside the motion (${turns[0]} to ${turns[end]})`);
  }
  const out = new Float64Array(count);
  let i = 0;
  for (let n = 0; n < count; n++) {
    const target = first + n * step;
    while (i < end - 1 && target >= turns[i + 1]!) i++;
    let lo = t_s[i]!;
    let hi = t_s[i + 1]!;
    const span = turns[i + 1]! - turns[i]!;
    // The last step once more is nearly right already; where a knot lies between, as far as at a constant rate.
    let t = n > 1 ? 2 * out[n - 1]! - out[n - 2]! : lo;
    if (!(t > lo && t < hi)) t = lo + ((hi - lo) * Math.min(span, Math.max(0, target - turns[i]!))) / span;
    // Newton within a shrinking bracket: the cubic need not be monotone when a knot's rate is noisy.
    for (let iteration = 0; iteration < 60; iteration++) {
      const excess = hermite(motion, i, t) - target;
      if (Math.abs(excess) < 1e-12) break;
      if (excess > 0) hi = t;
      else lo = t;
      const next = t - excess / hermiteRate(motion, i, t);
      t = next > lo && next < hi ? next : 0.5 * (lo + hi);
    }
    out[n] = t;
  }
  return out;
}
