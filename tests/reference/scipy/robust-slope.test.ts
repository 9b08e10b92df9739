import { expect, test } from 'vitest';
import { Random } from '../../../seeds/road-drive/random.ts';
import { studentT95 } from '../../../shared/dsp/student.ts';
import {
  discordantPairChances,
  risingChance,
  slopeInterval,
  theilSen,
} from '../../../shared/dsp/theil-sen.ts';
import { relativeError, runScipy } from './run.ts';

const SIZES = [4, 5, 7, 12, 40];

/** Wear series as a garage sees them: irregular odometer steps, levels in dB with an odd one among them. */
function seriesOf(n: number) {
  const random = new Random(n, 'scipy');
  let at = 3;
  const x = Float64Array.from({ length: n }, () => (at += random.range(0.2, 2.5)));
  const y = x.map((v, i) => 100 + 1.3 * v + random.normal(0, 1.5) + (i === 2 ? 12 : 0));
  return { x, y };
}

test('slope, intercept and the exact test agree with scipy.stats on the same series', () => {
  const series = SIZES.map(seriesOf);
  const { slope, intercept, low, high, rising, quantile } = runScipy(
    {
      sizes: Float64Array.from(SIZES),
      x: Float64Array.from(series.flatMap((s) => [...s.x])),
      y: Float64Array.from(series.flatMap((s) => [...s.y])),
    },
    `
slope, intercept, low, high, rising = [], [], [], [], []
at = 0
for n in sizes.astype(int):
    xs, ys = x[at:at + n], y[at:at + n]
    at += n
    found = stats.theilslopes(ys, xs, 0.9, method='joint')
    slope.append(found.slope); intercept.append(found.intercept)
    low.append(found.low_slope); high.append(found.high_slope)
    rising.append(stats.kendalltau(xs, ys, method='exact', alternative='greater').pvalue)
quantile = stats.t.ppf(0.95, np.arange(1, 41))
`,
    ['slope', 'intercept', 'low', 'high', 'rising', 'quantile'],
  );
  const lines = series.map(({ x, y }) => theilSen(x, y));
  expect(
    relativeError(
      lines.map((l) => l.slope),
      slope,
    ),
  ).toBeLessThan(1e-12);
  expect(
    relativeError(
      lines.map((l) => l.intercept),
      intercept,
    ),
  ).toBeLessThan(1e-12);
  expect(relativeError(lines.map(risingChance), rising)).toBeLessThan(1e-9);
  // SciPy's interval rounds a normal approximation to whole pairs, ours lies between the two nearest pairs.
  for (const [i, n] of SIZES.entries()) {
    if (n < 12) continue;
    const interval = slopeInterval(lines[i]!, 0.9)!;
    const width = high[i]! - low[i]!;
    expect(Math.abs(interval.low - low[i]!), `${n} points`).toBeLessThan(0.15 * width);
    expect(Math.abs(interval.high - high[i]!), `${n} points`).toBeLessThan(0.15 * width);
  }
  const ours = Float64Array.from({ length: 40 }, (_, i) => studentT95(i + 1));
  expect(Math.max(...ours.map((t, i) => Math.abs(t - quantile[i]!)))).toBeLessThan(1e-3);
});

/**
 * Sen, Estimates of the regression coefficient based on Kendall's tau, J. Am. Stat. Assoc. 63 (1968), the paper's
 * seven points. Series, slope 4 and limits 26/7 and 35/8 as SciPy's own tests and the R package deming quote the
 * paper; the paper itself was not at hand.
 */
test("Sen's example of 1968: slope 4, limits 26/7 and 35/8", () => {
  const line = theilSen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]);
  expect(line.slope).toBe(4);
  expect(line.intercept).toBe(6);
  // The paper calls this pair of limits 93 %. By the exact distribution at most three discordant pairs have a chance
  // of 0.015 on either side, so the pair covers 97 %; the one that covers 93 % lies one pair of slopes further in.
  const chances = discordantPairChances(7);
  expect(1 - 2 * chances[3]!).toBeCloseTo(0.97, 2);
  expect(1 - 2 * chances[4]!).toBeCloseTo(0.93, 2);
  const limits = slopeInterval(line, 1 - 2 * chances[3]!)!;
  expect(limits.low).toBeCloseTo(26 / 7, 9);
  expect(limits.high).toBeCloseTo(35 / 8, 9);
});

/**
 * Hollander & Wolfe, Nonparametric Statistical Methods, example 9.1: effect of cloud seeding over five years. The
 * series as the R package NSM3 quotes it; slope -0.056 and the chance 0.117 of a statistic of -6 from memory.
 */
test("Hollander and Wolfe's cloud seeding: slope -0.056, chance of so falling a course 0.117", () => {
  const ratio = [1.26, 1.27, 1.12, 1.16, 1.03];
  const line = theilSen([1, 2, 3, 4, 5], ratio);
  expect(line.slope).toBeCloseTo(-0.056, 3);
  const turned = theilSen(
    [1, 2, 3, 4, 5],
    ratio.map((r) => -r),
  );
  expect(risingChance(turned)).toBeCloseTo(0.117, 3);
});
