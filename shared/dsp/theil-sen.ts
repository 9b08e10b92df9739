import { median } from './levels.ts';
import { assertFinite, assertSameLength } from './validation.ts';

/** A robust line through points: up to 29 % of them may be anywhere without carrying it away. */
export type TheilSenLine = {
  /** Median of the slopes of all pairs, in units of y per unit of x. */
  readonly slope: number;
  /** Median of y - slope × x. */
  readonly intercept: number;
  /** Slopes of all pairs, ascending. */
  readonly slopes: Float64Array;
  /** Number of points. */
  readonly n: number;
};

/**
 * The line of Theil and Sen.
 * @param x places, no two alike
 * @param y values, as many
 * @throws RangeError for fewer than two points, unequal lengths, NaN, infinity, or two equal x
 * @see Theil, Proc. Kon. Ned. Akad. v. Wetensch. A 53 (1950); Sen, J. Am. Stat. Assoc. 63 (1968) (from memory)
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>): TheilSenLine {
  assertSameLength(x, y, 'x', 'y');
  assertFinite(x, 'x');
  assertFinite(y, 'y');
  const n = x.length;
  if (n < 2) throw new RangeError(`a line needs at least two points, got ${n}`);
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let k = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      if (x[i] === x[j]) throw new RangeError(`x: values ${i} and ${j} are both ${x[i]}; they must differ`);
      slopes[k++] = (y[j]! - y[i]!) / (x[j]! - x[i]!);
    }
  }
  slopes.sort();
  const slope = median(slopes);
  const intercept = median(Array.from({ length: n }, (_, i) => y[i]! - slope * x[i]!));
  return { slope, intercept, slopes, n };
}

/**
 * Chance of at most k discordant pairs among n points in random order, for k = 0, 1, … n (n - 1) / 2: the exact null
 * distribution of Kendall's statistic, whatever the distribution of the scatter.
 * @param n number of points, at least one
 * @see Kendall, Rank Correlation Methods (from memory)
 */
export function discordantPairChances(n: number): Float64Array {
  let known = KNOWN_CHANCES.get(n);
  if (!known) KNOWN_CHANCES.set(n, (known = countDiscordantPairs(n)));
  return known;
}

/** A vehicle's page asks for the same few numbers of visits hundreds of times. */
const KNOWN_CHANCES = new Map<number, Float64Array>();

function countDiscordantPairs(n: number): Float64Array {
  let chance = Float64Array.of(1);
  for (let m = 2; m <= n; m++) {
    // The m-th point falls behind 0 … m - 1 of the earlier ones with equal chance.
    const next = new Float64Array(chance.length + m - 1);
    let window = 0;
    for (let k = 0; k < next.length; k++) {
      window += (chance[k] ?? 0) - (k >= m ? chance[k - m]! : 0);
      next[k] = window / m;
    }
    chance = next;
  }
  let sum = 0;
  return chance.map((p) => (sum = Math.min(1, sum + p)));
}

/**
 * Chance that a course without any trend rises at least as often as this one: the one-sided exact test of Mann and
 * Kendall.
 */
export function risingChance({ slopes, n }: TheilSenLine): number {
  // A level pair counts half, rounded to the side of no trend.
  let falling = 0;
  for (const slope of slopes) falling += slope < 0 ? 1 : slope === 0 ? 0.5 : 0;
  return discordantPairChances(n)[Math.ceil(falling)]!;
}

/**
 * Interval of the slope from the exact distribution of Kendall's statistic (Sen 1968). The wanted confidence lies
 * between those of two neighbouring pairs of slopes; the interval lies between them in proportion, so that a handful
 * of points does not get an interval wider than asked for.
 * @param confidence two-sided, such as 0.9
 * @returns null when so few points allow no interval of this confidence (0.9 needs four)
 */
export function slopeInterval(
  { slopes, n }: TheilSenLine,
  confidence: number,
): { low: number; high: number } | null {
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`confidence is ${confidence}; it must lie between 0 and 1`);
  }
  const tail = (1 - confidence) / 2;
  const chances = discordantPairChances(n);
  if (chances[0]! > tail) return null;
  let k = 0;
  while (chances[k + 1]! <= tail) k++;
  const share = (tail - chances[k]!) / (chances[k + 1]! - chances[k]!);
  const last = slopes.length - 1;
  return {
    low: slopes[k]! + share * (slopes[k + 1]! - slopes[k]!),
    high: slopes[last - k]! - share * (slopes[last - k]! - slopes[last - k - 1]!),
  };
}
