import { beforeAll, expect, it } from 'vitest';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';
import { standingLines } from '../../shared/dsp/speed-lines.ts';
import { rateAt } from '../../shared/dsp/speed-motion.ts';
import { refineSpeed } from '../../shared/dsp/speed-refine.ts';
import { drive, recording } from './drives.ts';

const RATE = 6000;
const SECONDS = 24;
/** Gears that nobody counted. */
const UNCOUNTED = [
  { order: 37.4, rms: 0.05 },
  { order: 74.8, rms: 0.04 },
  { order: 91.3, rms: 0.04 },
];
const winding = (t: number): number => 75 + 20 * Math.sin(t / 4);

beforeAll(loadSingleFft);

/** A channel of the winding drive as a late receiver in whole km/h sees it. */
function channel(lines: typeof UNCOUNTED, seed = 1) {
  const { motion, readings } = drive(winding, SECONDS, { late_s: 0.9, circumferenceFactor: 0.985 });
  return { motion, readings, x: Float32Array.from(recording(motion, SECONDS, RATE, lines, 0.1, seed)) };
}

it('finds the orders at which lines stand out, by the readings’ own scale', () => {
  const { readings, x } = channel(UNCOUNTED);
  const found = standingLines([x], RATE, readings);
  for (const { order } of UNCOUNTED) {
    const nearest = Math.min(...found.map((o) => Math.abs(o / (order / 0.985) - 1)));
    expect(nearest, `order ${order} among ${found}`).toBeLessThan(0.006);
  }
});

it('finds none in noise, nor while the car stands', () => {
  const { readings, x } = channel([]);
  expect(standingLines([x], RATE, readings)).toEqual([]);
  expect(standingLines([x], RATE, { ...readings, value: readings.value.map(() => 0) })).toEqual([]);
});

it('lines that only one of several channels hears are found as well, and no channel at all is refused', () => {
  const { readings, x } = channel(UNCOUNTED);
  const deaf = channel([], 2).x;
  const found = standingLines([deaf, x.subarray(0, -100)], RATE, readings);
  expect(Math.min(...found.map((o) => Math.abs(o / (37.4 / 0.985) - 1)))).toBeLessThan(0.006);
  expect(() => standingLines([], RATE, readings)).toThrow(/^channels is empty/);
});

it('a hum that does not turn with the wheels leads to no course', () => {
  const { readings, x } = channel([]);
  const hum = x.map((v, i) => v + 0.1 * Math.sin((2 * Math.PI * 900 * i) / RATE));
  // While the speed hardly changes, at either end of its swing, the hum looks like a line for a while.
  const found = standingLines([hum], RATE, readings);
  expect(found.length).toBeLessThanOrEqual(2);
  if (found.length > 0) expect(refineSpeed([hum], RATE, readings, found).kind).toBe('notRefined');
});

it('leads the search for the speed to a course as true as known orders do', () => {
  const { motion, readings, x } = channel(UNCOUNTED);
  const refined = refineSpeed([x], RATE, readings, standingLines([x], RATE, readings));
  if (refined.kind !== 'refined') throw new Error(refined.reason);
  // All orders are off by one factor; the course is what counts.
  const ratios = Array.from({ length: 40 }, (_, i) => 3 + i * 0.45).map(
    (t) => rateAt(refined.motion, t) / rateAt(motion, t),
  );
  const mean = ratios.reduce((a, b) => a + b, 0) / ratios.length;
  for (const ratio of ratios) expect(Math.abs(ratio / mean - 1)).toBeLessThan(0.002);
});
