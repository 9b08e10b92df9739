import fc from 'fast-check';
import { expect, test } from 'vitest';
import { realFft } from '../../shared/dsp/fft.ts';
import {
  decimate,
  resampleRational,
  SincInterpolator,
  StreamingDecimator,
  USABLE_BAND,
} from '../../shared/dsp/resample.ts';
import { coherentGain, kaiser } from '../../shared/dsp/windows.ts';
import { factor, largest, largestDifference, samples, sine, spoiled } from './arbitraries.ts';

const inner = (x: Float64Array, margin: number): Float64Array => x.subarray(margin, x.length - margin);
const level = (x: ArrayLike<number>): number => 20 * Math.log10(largest(x));

/** Frequencies from `low` to `high`, both included, in cycles per sample. */
const sweep = (low: number, high: number, steps = 40): number[] =>
  Array.from({ length: steps }, (_, i) => low + ((high - low) * i) / (steps - 1));

test.each([2, 3, 4, 5, 6, 8, 10, 16, 64])(
  'decimation by %i: 100 dB of stopband, flat band, no delay',
  (by) => {
    const length = 16_384;
    const margin = Math.ceil(new StreamingDecimator(by).delay_samples / by) + 1;
    for (const f of sweep(0.5 / by, 0.5)) {
      const heard = decimate(sine(length, f, 1, 1), by);
      expect(level(inner(heard, margin)), `${f} cycles per sample`).toBeLessThan(-100);
    }
    for (const f of sweep(0, USABLE_BAND / by)) {
      const tone = sine(length, f, 1, 1);
      const kept = decimate(tone, by);
      const wanted = kept.map((_, m) => tone[m * by]!);
      expect(largestDifference(inner(kept, margin), inner(wanted, margin))).toBeLessThan(2e-5);
    }
  },
);

test.each([
  [2, 1],
  [3, 2],
  [2, 3],
  [147, 160],
])('resampling by %i/%i: images and aliases 100 dB down, flat band, no delay', (up, down) => {
  const ratio = up / down;
  const margin = Math.ceil(120 * Math.max(1, ratio));
  for (const f of sweep(0, USABLE_BAND * Math.min(1, ratio), 15)) {
    const resampled = resampleRational(sine(2000, f, 1, 1), up, down);
    const wanted = sine(resampled.length, f / ratio, 1, 1);
    // What differs from the tone itself is ripple, image or alias.
    expect(level(resampled.map((value, n) => value - wanted[n]!).subarray(margin, -margin))).toBeLessThan(
      -100,
    );
  }
  if (ratio < 1) {
    for (const f of sweep(ratio / 2, 0.5, 15)) {
      expect(level(inner(resampleRational(sine(2000, f, 1, 1), up, down), margin))).toBeLessThan(-100);
    }
  }
});

test.each([1, 0.5, 0.3])('interpolation at any place, %d outputs per input: 100 dB', (ratio) => {
  const interpolator = new SincInterpolator(ratio);
  const positions = Float64Array.from({ length: 300 }, (_, i) => 500 + i * Math.PI);
  for (const f of sweep(0, USABLE_BAND * ratio)) {
    const read = interpolator.interpolate(sine(2000, f, 1, 1), positions);
    const wanted = positions.map((position) => Math.sin(2 * Math.PI * f * position + 1));
    expect(level(read.map((value, i) => value - wanted[i]!))).toBeLessThan(-100);
  }
  if (ratio < 1) {
    for (const f of sweep(ratio / 2, 0.5)) {
      expect(level(interpolator.interpolate(sine(2000, f, 1, 1), positions))).toBeLessThan(-100);
    }
  }
});

test.each([1, 0.5, 0.3])(
  'where folding is allowed, %d outputs per input: 100 dB in the usable band',
  (ratio) => {
    const interpolator = new SincInterpolator(ratio, 'folded');
    const length = 1024;
    const positions = Float64Array.from({ length }, (_, i) => 500 + i / ratio);
    const window = kaiser(length, 14, 'periodic');
    const gain = coherentGain(window) * (length / 2);
    for (const f of sweep(0, USABLE_BAND * ratio)) {
      const read = interpolator.interpolate(sine(5000, f, 1, 1), positions);
      const wanted = positions.map((position) => Math.sin(2 * Math.PI * f * position + 1));
      expect(level(read.map((value, i) => value - wanted[i]!))).toBeLessThan(-100);
    }
    for (const f of sweep(ratio / 2 + 1e-3, 0.5)) {
      const read = interpolator.interpolate(sine(5000, f, 1, 1), positions);
      const spectrum = realFft(length).forward(read.map((value, i) => (value * window[i]!) / gain));
      // The window's own lobe reaches some bins down from where the tone comes to lie.
      const usable = spectrum.subarray(0, 2 * (Math.floor(USABLE_BAND * length) - 6));
      expect(level(usable), `${f} cycles per sample`).toBeLessThan(-100);
    }
  },
);

test('signals read together are read as each alone', () => {
  fc.assert(
    fc.property(samples(60, 60), samples(60, 60), (x, y) => {
      const interpolator = new SincInterpolator(0.7);
      const places = Array.from({ length: 40 }, (_, i) => i * 1.9 - 8);
      expect(interpolator.interpolateAll([x, y], places)).toEqual([
        interpolator.interpolate(x, places),
        interpolator.interpolate(y, places),
      ]);
    }),
    { numRuns: 20 },
  );
  expect(new SincInterpolator().interpolateAll([], [1])).toEqual([]);
  const unlike = [new Float64Array(5), new Float64Array(6)];
  expect(() => new SincInterpolator().interpolateAll(unlike, [1])).toThrow(/^signal has 6 values/);
});

const resamplers: Record<string, (x: Float64Array) => Float64Array> = {
  'decimation by 6': (x) => decimate(x, 6),
  'resampling by 3/2': (x) => resampleRational(x, 3, 2),
  'reading between samples': (x) =>
    new SincInterpolator().interpolate(
      x,
      Array.from({ length: 100 }, (_, i) => i * 1.37),
    ),
};

test.each(Object.entries(resamplers))('%s is linear', (_, resample) => {
  fc.assert(
    fc.property(samples(150, 150), samples(150, 150), factor, (x, y, a) => {
      const together = resample(x.map((value, n) => a * value + y[n]!));
      const ry = resample(y);
      const apart = resample(x).map((value, n) => a * value + ry[n]!);
      expect(largestDifference(together, apart)).toBeLessThanOrEqual(
        1e-11 * (Math.abs(a) * largest(x) + largest(y)),
      );
    }),
    { numRuns: 30 },
  );
});

test.each(Object.entries(resamplers))('%s: silence, one sample, NaN and infinity', (_, resample) => {
  expect(largest(resample(new Float64Array(100)))).toBe(0);
  for (const value of resample(new Float64Array([2]))) expect(Number.isFinite(value)).toBe(true);
  fc.assert(
    fc.property(spoiled(100), (x) => {
      expect(() => resample(x)).toThrow(/^signal: value \d+ is (NaN|-?Infinity)/);
    }),
    { numRuns: 30 },
  );
});

test('a stream cut anywhere is decimated as the whole is', () => {
  fc.assert(
    fc.property(
      samples(3000, 3000),
      fc.constantFrom(1, 2, 3, 8, 12),
      fc.array(fc.integer({ min: 0, max: 2000 }), { minLength: 1, maxLength: 10 }),
      (x, by, cuts) => {
        const whole = new Float64Array(Math.ceil(x.length / by));
        expect(new StreamingDecimator(by).process(x, whole)).toBe(whole.length);
        const decimator = new StreamingDecimator(by);
        const streamed: number[] = [];
        let start = 0;
        for (const cut of [...cuts, x.length]) {
          const block = x.subarray(start, start + cut);
          const output = new Float64Array(Math.ceil(block.length / by));
          streamed.push(...output.subarray(0, decimator.process(block, output)));
          start = Math.min(x.length, start + cut);
        }
        expect(streamed).toEqual(Array.from(whole));
      },
    ),
    { numRuns: 20 },
  );
});

test('lengths: ceil(n · up / down), and the same ratio in other numbers is the same', () => {
  fc.assert(
    fc.property(
      samples(1, 60),
      fc.integer({ min: 1, max: 7 }),
      fc.integer({ min: 1, max: 7 }),
      (x, up, down) => {
        const y = resampleRational(x, up, down);
        expect(y.length).toBe(Math.ceil((x.length * up) / down));
        expect(Array.from(resampleRational(x, 3 * up, 3 * down))).toEqual(Array.from(y));
      },
    ),
  );
});

test('ratios that are no ratios, and places that are no places, are refused', () => {
  const x = new Float64Array(10);
  for (const bad of [0, -2, 1.5, Number.NaN]) {
    expect(() => resampleRational(x, bad, 2)).toThrow(/^up/);
    expect(() => resampleRational(x, 2, bad)).toThrow(/^down/);
    expect(() => new StreamingDecimator(bad)).toThrow(/^factor/);
  }
  for (const bad of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => new SincInterpolator(bad)).toThrow(/^outputRatio/);
  }
  expect(() => resampleRational(x, 2, 3, new Float64Array(4))).toThrow(/^taps has 4/);
  expect(() => new SincInterpolator().interpolate(x, [1, Number.NaN])).toThrow(/^positions: value 1/);
  expect(() => new StreamingDecimator(2).process(x, new Float64Array(4))).toThrow(
    /10 samples by 2 from 10 of input into 4 of output/,
  );
});
