import { butterworthLowpass, SosFilter } from './sos.ts';
import { motionFromSpeed, rateAt, type ShaftMotion } from './speed-motion.ts';
import { type LowRate, type Observation, observe, rateGrid } from './speed-observe.ts';
import { compareReadings, LATENESS_S, type SpeedReadings, USUAL_LATENESS_S } from './speed-readings.ts';
import { type SmoothSpeed, scatterOf, smoothCourse, smoothSpeed } from './speed-smooth.ts';
import { assertFinite, assertPositive } from './validation.ts';

/** The vibration told the speed. */
export type RefinedSpeed = {
  readonly kind: 'refined';
  readonly motion: ShaftMotion;
  /** Reading over true speed, lateness taken out: the true rolling circumference is this times the nominal one. */
  readonly readingFactor: number;
  readonly readingFactorSigma: number;
  /** How late the readings came, s; null when the speed changed too little to tell. */
  readonly lateness_s: number | null;
  /** Probability that the orders followed are the right ones, 0 to 1. */
  readonly confidence: number;
  /** Those of the given orders that stood out along the course. */
  readonly supportedBy: readonly number[];
  /** Lines up to about this order stay one line wide: low orders alone do not tell the speed sharply. */
  readonly sharpUpToOrder: number;
};

/** It did not, and why. */
export type UnrefinedSpeed = {
  readonly kind: 'notRefined';
  /** `noLines`: the expected orders do not stand out from the noise, or others fit as well. */
  readonly reason: 'hardlyMoved' | 'ordersTooHigh' | 'tooShort' | 'noLines';
  readonly confidence: number;
  /** The smoothed readings, as good as they are; null when the vehicle stood. */
  readonly motion: ShaftMotion | null;
};

export type SpeedRefinement = RefinedSpeed | UnrefinedSpeed;

/** The true speed lies within this share of the reading, apart from lateness. */
const LARGEST_DEVIATION = 0.04;
/** Frequencies above this are not followed: gear mesh of road vehicles lies below (common practice). */
const HIGHEST_HZ = 2500;
/** Probability above which the result is used. */
const LEAST_CONFIDENCE = 0.75;
/** A single line may belong to another part that turns nearly alike: then at most this much is believed. */
const LONE_LINE_CONFIDENCE = 0.8;
/** Lowest turning rate that is followed, Hz: about 5 km/h. */
const SLOWEST_HZ = 0.7;

/** Error of the motion found, in orders of the highest line that carried it (measured on simulated sweeps). */
const MOTION_SIGMA_ORDERS = 0.012;
/** A line is one line wide in a usual spectrum up to about this many times the order that carried the course. */
const SHARP_BEYOND = 2.5;

/**
 * Finds the true course of the speed from the vibration itself: several orders of one shaft, on all channels, are
 * followed jointly. So a 41-tooth mesh stays one line wide without a tacho.
 *
 * First a scale and a lateness for the whole run are searched (they explain nearly all of the error), then the
 * remaining course frame by frame with the Viterbi algorithm, in ever finer passes over angle-resampled signals.
 * The score of a place is its log likelihood ratio, line against noise, over the local median of the spectrum.
 * @param channels time signals of equal rate and clock, any units; in single precision they are searched in single
 *   precision, five times as fast, and `loadSingleFft()` must have been awaited
 * @param orders orders of the shaft where lines are expected (gear mesh is the most telling), at least one
 * @returns the motion with factor, lateness and confidence, or the reason why it cannot be told
 * @throws RangeError for no channel, no order, NaN or infinity
 */
export function refineSpeed(
  channels: readonly (Float32Array | Float64Array)[],
  sampleRate_Hz: number,
  readings: SpeedReadings,
  orders: readonly number[],
): SpeedRefinement {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(readings.hzPerUnit, 'hzPerUnit');
  if (channels.length === 0) throw new RangeError('channels is empty; at least one is needed');
  if (orders.length === 0) throw new RangeError('orders is empty; at least one is needed');
  assertFinite(orders, 'orders');
  for (const order of orders) assertPositive(order, 'order');

  const smooth = smoothSpeed(readings.t_s, readings.value);
  const prior = turningPart(smooth, readings.hzPerUnit);
  if (!prior) return { kind: 'notRefined', reason: 'hardlyMoved', confidence: 0, motion: null };
  const fail = (reason: UnrefinedSpeed['reason'], confidence: number): UnrefinedSpeed => ({
    kind: 'notRefined',
    reason,
    confidence,
    motion: prior,
  });

  const fastest = prior.hz.reduce((a, b) => Math.max(a, b), 0);
  const followed = orders.filter(
    (o) => o * fastest * (1 + LARGEST_DEVIATION) < Math.min(HIGHEST_HZ, 0.4 * sampleRate_Hz),
  );
  if (followed.length === 0) return fail('ordersTooHigh', 0);
  const top = Math.max(...followed);
  const low = lowRate(channels, sampleRate_Hz, 1.2 * top * fastest);

  // Pass 1: one scale and one lateness for the whole run, then the course around them.
  const first = observe(low, prior, followed, 12, rateGrid(largestRatio(prior), 0.0005));
  if (!first) return fail('tooShort', 0);
  const found = searchScaleAndLateness(first, prior);
  const supportedBy = found.supportedBy.map((o) => followed[o]!);
  const confidence = found.confidence * (supportedBy.length > 1 ? 1 : LONE_LINE_CONFIDENCE);
  if (supportedBy.length === 0 || confidence < LEAST_CONFIDENCE) {
    return fail('noLines', confidence);
  }
  const guided = first.frames.map(
    (t) => found.scale * (rateAt(prior, t + found.lateness_s) / rateAt(prior, t)),
  );
  let motion = corrected(prior, first.frames, follow(first, guided, 0.012, 0.002));

  // Later passes: finer steps and then longer frames, since the lines now hardly move within a frame.
  for (const pass of [
    { turns: 12, halfWidth: 0.006, step: 0.0002, change: 0.001 },
    { turns: 20, halfWidth: 0.003, step: 0.0001, change: 0.0005 },
  ]) {
    const grid = rateGrid(pass.halfWidth, pass.step);
    const observed = observe(low, motion, followed, pass.turns, grid);
    if (!observed) break;
    const centre = observed.frames.map(() => 1);
    motion = corrected(motion, observed.frames, follow(observed, centre, pass.halfWidth, pass.change));
  }
  const highest = Math.max(...supportedBy);
  const comparison = compareReadings(readings, smooth, motion, MOTION_SIGMA_ORDERS / highest);
  if (!comparison) return fail('tooShort', 0);
  return {
    kind: 'refined',
    motion,
    confidence,
    supportedBy,
    sharpUpToOrder: SHARP_BEYOND * highest,
    ...comparison,
  };
}

/** The longest stretch of the smoothed readings in which the shaft turns. */
function turningPart(smooth: SmoothSpeed, hzPerUnit: number): ShaftMotion | null {
  let best = { from: 0, to: 0 };
  let from = 0;
  for (let i = 0; i <= smooth.value.length; i++) {
    if (i < smooth.value.length && smooth.value[i]! * hzPerUnit >= SLOWEST_HZ) continue;
    if (i - from > best.to - best.from) best = { from, to: i };
    from = i + 1;
  }
  if (best.to - best.from < 10) return null;
  return motionFromSpeed(
    smooth.t_s.slice(best.from, best.to),
    smooth.value.slice(best.from, best.to).map((v) => v * hzPerUnit),
  );
}

/** How far from 1 the ratio of true to read rate can be, scale and lateness together. */
function largestRatio(prior: ShaftMotion): number {
  let largest = 0;
  for (let i = 0; i < prior.t_s.length; i++) {
    const ratio = rateAt(prior, prior.t_s[i]! + LATENESS_S.most) / prior.hz[i]!;
    largest = Math.max(largest, Math.abs(ratio - 1));
  }
  return Math.min(0.25, LARGEST_DEVIATION + largest);
}

/** Channels with only what lies below `highest_Hz`. A delay of a millisecond does not matter here. */
function lowRate(
  channels: readonly (Float32Array | Float64Array)[],
  sampleRate_Hz: number,
  highest_Hz: number,
): LowRate {
  const factor = Math.max(1, Math.floor(sampleRate_Hz / (3 * highest_Hz)));
  return {
    channels: channels.map((x) => decimated(x, sampleRate_Hz, highest_Hz, factor)),
    sampleRate_Hz: sampleRate_Hz / factor,
    precision: channels.every((x) => x instanceof Float32Array) ? 'single' : 'double',
  };
}

function decimated(
  x: Float32Array | Float64Array,
  sampleRate_Hz: number,
  highest_Hz: number,
  factor: number,
): Float64Array {
  if (factor === 1) {
    assertFinite(x, 'channels');
    return Float64Array.from(x);
  }
  const filter = new SosFilter(butterworthLowpass(6, 1.2 * highest_Hz, sampleRate_Hz));
  const block = factor * 1024;
  const filtered = new Float64Array(block);
  const samples = new Float64Array(Math.ceil(x.length / factor));
  for (let at = 0; at < x.length; at += block) {
    const part = x.subarray(at, at + block);
    filter.process(part, filtered);
    for (let i = 0; i < part.length; i += factor) samples[(at + i) / factor] = filtered[i]!;
  }
  return samples;
}

/**
 * Half-overlapped frames, neighbouring bins and channels that hear the same line are not independent: the sum of the
 * scores overstates what is known by about this factor (common practice, on the safe side).
 */
const SCORE_DEPENDENCE = 4;
/** An order whose summed score along the course exceeds this stands out. */
const SUPPORT_SCORE = 3 * SCORE_DEPENDENCE;
/** Two courses closer than this are the same finding. */
const SAME_COURSE = 0.003;

function searchScaleAndLateness(observed: Observation, prior: ShaftMotion) {
  const { frames, grid, score } = observed;
  const scaleSteps = Math.round(LARGEST_DEVIATION / grid.step);
  const middle = frames.length >> 1;
  let best = { scale: 1, lateness_s: 0, total: Number.NEGATIVE_INFINITY };
  // By the ratio in the middle of the run: in a steady or exponential sweep many pairs of scale and lateness give
  // the same course, and only a different course is a different finding.
  const byCourse = new Map<number, number>();
  let place = 0;
  for (let lateness_s = LATENESS_S.least; lateness_s <= LATENESS_S.most + 1e-9; lateness_s += 0.1) {
    const ratio = frames.map((t) => rateAt(prior, t + lateness_s) / rateAt(prior, t));
    const belief = -0.5 * ((lateness_s - USUAL_LATENESS_S.mean) / USUAL_LATENESS_S.sigma) ** 2;
    for (let s = -scaleSteps; s <= scaleSteps; s++) {
      const scale = 1 + s * grid.step;
      let total = belief;
      let course = 0;
      for (let f = 0; f < frames.length; f++) {
        const i = Math.round((scale * ratio[f]! - 1) / grid.step) + grid.centre;
        if (f === middle) course = i;
        if (i >= 0 && i < grid.size) total += score[f]![i]!;
      }
      byCourse.set(course, Math.max(byCourse.get(course) ?? Number.NEGATIVE_INFINITY, total));
      if (total > best.total) {
        best = { scale, lateness_s, total };
        place = course;
      }
    }
  }
  let near = 0;
  let all = 0;
  for (const [course, total] of byCourse) {
    const weight = Math.exp((total - best.total) / SCORE_DEPENDENCE);
    all += weight;
    if (Math.abs(course - place) * grid.step <= SAME_COURSE) near += weight;
  }
  // Against "no line at all", whose score is 0 by construction.
  const present = 1 / (1 + byCourse.size * Math.exp(-best.total / SCORE_DEPENDENCE));
  const { scale, lateness_s } = best;
  const course = frames.map(
    (t) =>
      Math.round(((scale * rateAt(prior, t + lateness_s)) / rateAt(prior, t) - 1) / grid.step) + grid.centre,
  );
  const supportedBy = observed.byOrder.flatMap((rows, o) => {
    const total = rows.reduce((sum, row, f) => sum + (row[course[f]!] ?? 0), 0);
    return total > SUPPORT_SCORE ? [o] : [];
  });
  return { scale, lateness_s, supportedBy, confidence: (near / all) * present };
}

/**
 * The most probable course of the relative rate near `centre`: Viterbi, a change of `typicalChange` from frame to
 * frame costing one half.
 */
function follow(
  observed: Observation,
  centre: readonly number[],
  halfWidth: number,
  typicalChange: number,
): Float64Array {
  const { frames, grid, score } = observed;
  const reach = Math.round(halfWidth / grid.step);
  const width = 2 * reach + 1;
  const furthest = Math.ceil((4 * typicalChange) / grid.step);
  const at = (f: number, j: number): number => {
    const i = Math.round((centre[f]! - 1) / grid.step) + grid.centre + j - reach;
    return i >= 0 && i < grid.size ? score[f]![i]! : 0;
  };
  let total = Float64Array.from({ length: width }, (_, j) => at(0, j));
  const from: Int32Array[] = [];
  for (let f = 1; f < frames.length; f++) {
    const next = new Float64Array(width);
    const source = new Int32Array(width);
    for (let j = 0; j < width; j++) {
      let best = Number.NEGATIVE_INFINITY;
      for (let k = Math.max(0, j - furthest); k <= Math.min(width - 1, j + furthest); k++) {
        const value = total[k]! - 0.5 * (((j - k) * grid.step) / typicalChange) ** 2;
        if (value > best) {
          best = value;
          source[j] = k;
        }
      }
      next[j] = best + at(f, j);
    }
    total = next;
    from.push(source);
  }
  let j = total.reduce((best, value, i) => (value > total[best]! ? i : best), 0);
  const path = new Float64Array(frames.length);
  for (let f = frames.length - 1; f >= 0; f--) {
    const below = at(f, Math.max(0, j - 1));
    const here = at(f, j);
    const above = at(f, Math.min(width - 1, j + 1));
    const curvature = below - 2 * here + above;
    const part = curvature < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (below - above)) / curvature)) : 0;
    path[f] = Math.round((centre[f]! - 1) / grid.step) * grid.step + 1 + (j - reach + part) * grid.step;
    if (f > 0) j = from[f - 1]![j]!;
  }
  return path;
}

/** A frame's relative rate is never surer than this. */
const LEAST_RATIO_SIGMA = 3e-5;

/** The motion with its rate multiplied by a smooth course through the relative rates found in the frames. */
function corrected(motion: ShaftMotion, frames: readonly number[], ratio: Float64Array): ShaftMotion {
  const { t_s, hz } = motion;
  if (frames.length < 3) {
    const mean = ratio.reduce((a, b) => a + b, 0) / ratio.length;
    return motionFromSpeed(
      t_s,
      hz.map((v) => v * mean),
    );
  }
  const smooth = smoothCourse(frames, ratio, Math.max(scatterOf(ratio), LEAST_RATIO_SIGMA));
  const start = smooth.t_s[0]!;
  const step = smooth.t_s[1]! - start;
  const last = smooth.value.length - 1;
  return motionFromSpeed(
    t_s,
    hz.map((v, i) => {
      const place = Math.max(0, Math.min(last, (t_s[i]! - start) / step));
      const k = Math.min(last - 1, Math.floor(place));
      return v * (smooth.value[k]! + (place - k) * (smooth.value[k + 1]! - smooth.value[k]!));
    }),
  );
}
