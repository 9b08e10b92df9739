import {
  factorPentadiagonal,
  inverseDiagonal,
  type PentadiagonalFactor,
  solvePentadiagonal,
} from './banded.ts';
import { assertFinite, assertSameLength } from './validation.ts';

/** A smooth speed with its uncertainty, in the unit of the readings. */
export type SmoothSpeed = {
  /** Equally spaced, in s on the readings' clock. */
  readonly t_s: Float64Array;
  readonly value: Float64Array;
  /** Standard deviation from rounding and scatter; it knows nothing of lateness or a wrong scale. */
  readonly sigma: Float64Array;
  /** Step to which the readings were rounded; 0 when they show none. */
  readonly quantum: number;
};

const STEP_S = 0.1;

/** Least standard deviation of a reading relative to the mean speed: no receiver or bus is better (common practice). */
const LEAST_SIGMA = 5e-4;

/**
 * A smooth speed from slow, rounded readings: the most probable course of a speed whose acceleration changes at
 * random, with as much change as the readings themselves show (a smoothing spline whose weight maximises the
 * marginal likelihood: Wahba, Ann. Stat. 13, 1985; Kohn & Ansley, SIAM J. Sci. Stat. Comput. 8, 1987).
 * @param t_s times of the readings in s, not falling
 * @param readings at least three, in any unit; the step of their rounding must still be visible
 * @throws RangeError for unequal lengths, fewer than three readings, less than STEP_S in all, NaN or infinity
 */
export function smoothSpeed(t_s: ArrayLike<number>, readings: ArrayLike<number>): SmoothSpeed {
  assertSameLength(t_s, readings, 't_s', 'readings');
  assertFinite(t_s, 't_s');
  assertFinite(readings, 'readings');
  if (readings.length < 3)
    throw new RangeError(`${readings.length} speed readings: at least three are needed`);
  const quantum = roundingStep(readings);
  const mean = Array.from(readings).reduce((sum, v) => sum + Math.abs(v), 0) / readings.length;
  const noise = quantum > 0 ? quantum / Math.sqrt(12) : scatterOf(readings);
  const course = smoothCourse(t_s, readings, Math.max(noise, LEAST_SIGMA * mean, 1e-9));
  const rounding = roundingVariance(t_s, readings, quantum, course.t_s);
  const sigma = course.sigma.map((s, i) => Math.sqrt(s * s + rounding[i]!));
  return { ...course, sigma, quantum };
}

/**
 * The smooth course behind noisy values; see `smoothSpeed`.
 * @param sigma standard deviation of one value
 */
export function smoothCourse(
  t_s: ArrayLike<number>,
  values: ArrayLike<number>,
  sigma: number,
): Omit<SmoothSpeed, 'quantum'> {
  const n = values.length;
  const start = t_s[0]!;
  const span = t_s[n - 1]! - start;
  if (!(span >= STEP_S)) throw new RangeError(`the values span ${span} s: they need at least ${STEP_S} s`);
  const size = Math.max(4, Math.ceil(span / STEP_S) + 1);
  const data = normalEquations(t_s, values, start, size, sigma);

  let best: { factor: PentadiagonalFactor; value: Float64Array; cost: number } | null = null;
  // Half-decades of the variance of the second difference per step, from brutal driving to nearly none.
  for (let exponent = 0; exponent >= -8; exponent -= 0.5) {
    const weight = 1 / (sigma * sigma * 10 ** exponent);
    const factor = factorPentadiagonal(withSmoothness(data, weight));
    // Stiffer than a double can tell from a straight line.
    if (!factor) break;
    const value = solvePentadiagonal(factor, Float64Array.from(data.right));
    // -2 log of the marginal likelihood, up to a constant.
    let cost = -(size - 2) * Math.log(weight);
    for (let i = 0; i < size; i++) cost += Math.log(factor.pivot[i]!);
    for (let i = 0; i + 2 < size; i++) cost += weight * (value[i]! - 2 * value[i + 1]! + value[i + 2]!) ** 2;
    for (let k = 0; k < n; k++)
      cost += ((values[k]! - onGrid(value, (t_s[k]! - start) / STEP_S)) / sigma) ** 2;
    if (!best || cost < best.cost) best = { factor, value, cost };
  }
  return {
    t_s: Float64Array.from({ length: size }, (_, i) => start + i * STEP_S),
    value: best!.value,
    sigma: inverseDiagonal(best!.factor).map(Math.sqrt),
  };
}

function onGrid(value: Float64Array, place: number): number {
  const i = Math.min(value.length - 2, Math.floor(place));
  return value[i]! + (place - i) * (value[i + 1]! - value[i]!);
}

/** Readings this near, in s, share their rounding error when they do not change. */
const ROUNDING_MEMORY_S = 5;

/**
 * Rounding errors average out only while the reading changes: a steady 82.3 reads 82 for ever. The variance of one
 * rounding is divided by the number of different stretches of equal readings nearby.
 */
function roundingVariance(
  t_s: ArrayLike<number>,
  readings: ArrayLike<number>,
  quantum: number,
  grid_s: Float64Array,
): Float64Array {
  const changes: number[] = [];
  for (let k = 1; k < readings.length; k++) if (readings[k] !== readings[k - 1]) changes.push(t_s[k]!);
  const variance = new Float64Array(grid_s.length);
  let from = 0;
  let to = 0;
  for (let i = 0; i < variance.length; i++) {
    const t = grid_s[i]!;
    while (to < changes.length && changes[to]! <= t + ROUNDING_MEMORY_S) to++;
    while (from < to && changes[from]! < t - ROUNDING_MEMORY_S) from++;
    variance[i] = (quantum * quantum) / 12 / (to - from + 1);
  }
  return variance;
}

/** The step that all readings are multiples of, or 0 when there is none. */
function roundingStep(readings: ArrayLike<number>): number {
  const distinct = [...new Set(Array.from(readings))].sort((a, b) => a - b);
  const largest = Math.max(...distinct.map(Math.abs));
  for (const decimal of [1, 0.1, 0.01]) {
    if (distinct.every((v) => isMultiple(v, decimal))) return decimal;
  }
  let smallest = Number.POSITIVE_INFINITY;
  for (let i = 1; i < distinct.length; i++) smallest = Math.min(smallest, distinct[i]! - distinct[i - 1]!);
  // Rounded in another unit (mph, knots): the readings are then multiples of their closest spacing.
  const rounded =
    distinct.length > 1 && smallest > 1e-3 * largest && distinct.every((v) => isMultiple(v, smallest));
  return rounded ? smallest : 0;
}

function isMultiple(value: number, step: number): boolean {
  const ratio = value / step;
  return Math.abs(ratio - Math.round(ratio)) < 0.01;
}

/** Standard deviation of independent noise on a smooth course, from the median of second differences. */
export function scatterOf(values: ArrayLike<number>): number {
  const differences: number[] = [];
  for (let i = 2; i < values.length; i++) {
    differences.push(Math.abs(values[i]! - 2 * values[i - 1]! + values[i - 2]!));
  }
  differences.sort((a, b) => a - b);
  // 1.4826: from the median of absolute values to a normal distribution's σ; √6: σ of 1, -2, 1.
  return (1.4826 * (differences[differences.length >> 1] ?? 0)) / Math.sqrt(6);
}

type NormalEquations = { main: Float64Array; first: Float64Array; right: Float64Array };

/** Sums over the readings for a speed that is linear between the points of the grid. */
function normalEquations(
  t_s: ArrayLike<number>,
  readings: ArrayLike<number>,
  start: number,
  size: number,
  sigma: number,
): NormalEquations {
  const main = new Float64Array(size);
  const first = new Float64Array(size - 1);
  const right = new Float64Array(size);
  const weight = 1 / (sigma * sigma);
  for (let k = 0; k < readings.length; k++) {
    const place = (t_s[k]! - start) / STEP_S;
    if (!(place >= 0)) throw new RangeError(`t_s: value ${k} lies before the first; times must not fall`);
    const i = Math.min(size - 2, Math.floor(place));
    const u = place - i;
    main[i] = main[i]! + weight * (1 - u) ** 2;
    main[i + 1] = main[i + 1]! + weight * u * u;
    first[i] = first[i]! + weight * u * (1 - u);
    right[i] = right[i]! + weight * (1 - u) * readings[k]!;
    right[i + 1] = right[i + 1]! + weight * u * readings[k]!;
  }
  return { main, first, right };
}

/** Adds weight × DᵀD of the second difference D. */
function withSmoothness(data: NormalEquations, weight: number) {
  const n = data.main.length;
  const main = Float64Array.from(data.main);
  const first = Float64Array.from(data.first);
  const second = new Float64Array(n - 2);
  for (let i = 0; i + 2 < n; i++) {
    main[i] = main[i]! + weight;
    main[i + 1] = main[i + 1]! + 4 * weight;
    main[i + 2] = main[i + 2]! + weight;
    first[i] = first[i]! - 2 * weight;
    first[i + 1] = first[i + 1]! - 2 * weight;
    second[i] = second[i]! + weight;
  }
  return { main, first, second };
}
