import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { loadSingleFft, SingleConvolution, singleFft } from '../../shared/dsp/fft-single.ts';
import { firFilter } from '../../shared/dsp/fir.ts';
import { SingleFirDecimator } from '../../shared/dsp/fir-single.ts';
import { squaredHilbertEnvelope } from '../../shared/dsp/hilbert.ts';
import { squaredHilbertEnvelopeSingle } from '../../shared/dsp/hilbert-single.ts';
import { resamplingTaps } from '../../shared/dsp/resample.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';
import { largest, largestDifference, samples, sine, spoiled } from './arbitraries.ts';

/** Where data is single, results may differ by this much of the largest value. */
const SINGLE = 1e-5;

beforeAll(() => loadSingleFft());

test('a decimating filter keeps every so many of the filtered samples, in any pieces', () => {
  const signal = gaussianNoise(20_000, 21);
  for (const by of [1, 3, 8]) {
    const taps = resamplingTaps(1, Math.max(2, by));
    const exact = firFilter(taps, signal).filter((_, n) => n % by === 0);
    const filter = new SingleFirDecimator(taps, by);
    const output: number[] = [];
    for (let start = 0, n = 1; start < signal.length; start += n, n = (n * 7 + 3) % 3000) {
      const block = signal.subarray(start, start + n);
      const room = new Float32Array(filter.outputLength(block.length));
      output.push(...room.subarray(0, filter.process(block, room)));
    }
    // The last samples wait for a whole transform.
    expect(output.length).toBeGreaterThan(exact.length - 8192 / by);
    expect(largestDifference(output, exact.subarray(0, output.length))).toBeLessThan(SINGLE * largest(exact));
    // Silence pushes out the rest.
    const room = new Float32Array(filter.outputLength(8192));
    output.push(...room.subarray(0, filter.process(new Float32Array(8192), room)));
    expect(largestDifference(output.slice(0, exact.length), exact)).toBeLessThan(SINGLE * largest(exact));
  }
});

test('100 dB of stopband in single precision too', () => {
  const taps = resamplingTaps(1, 8);
  for (let f = 0.5 / 8; f <= 0.5; f += 0.0133) {
    const filter = new SingleFirDecimator(taps, 8);
    const output = new Float32Array(filter.outputLength(32_768));
    const written = filter.process(sine(32_768, f), output);
    expect(20 * Math.log10(largest(output.subarray(taps.length, written)))).toBeLessThan(-100);
  }
});

test('squared envelope as in double precision', () => {
  fc.assert(
    fc.property(samples(512, 512), (x) => {
      const exact = squaredHilbertEnvelope(x);
      const ours = squaredHilbertEnvelopeSingle(Float32Array.from(x), new Float32Array(512));
      expect(largestDifference(ours, exact)).toBeLessThanOrEqual(SINGLE * largest(exact));
    }),
  );
});

test('circular convolution by its definition', () => {
  fc.assert(
    fc.property(samples(32, 32), samples(1, 32), (x, kernel) => {
      const convolution = new SingleConvolution(kernel, 32);
      convolution.samples.set(x);
      convolution.convolve();
      const exact = x.map((_, n) => kernel.reduce((sum, h, k) => sum + h * x[(n - k + 32) % 32]!, 0));
      expect(largestDifference(convolution.samples, exact)).toBeLessThanOrEqual(
        SINGLE * largest(x) * largest(kernel) * kernel.length,
      );
    }),
    { numRuns: 30 },
  );
});

test('NaN and infinity are refused, and the filter works again afterwards', () => {
  const filter = new SingleFirDecimator(resamplingTaps(1, 2), 2);
  fc.assert(
    fc.property(spoiled(512), (x) => {
      const bad = Float32Array.from(x);
      expect(() => squaredHilbertEnvelopeSingle(bad, new Float32Array(512))).toThrow(
        /^block: value \d+ is (NaN|-?Infinity)/,
      );
      const whole = new Float32Array(4096);
      whole.set(bad);
      expect(() => filter.process(whole, new Float32Array(filter.outputLength(4096)))).toThrow(
        /^signal: value \d+ is (NaN|-?Infinity)/,
      );
    }),
    { numRuns: 20 },
  );
  const output = new Float32Array(filter.outputLength(8192));
  const written = filter.process(new Float32Array(8192).fill(1), output);
  expect(output[written - 1]).toBeCloseTo(1, 5);
});

test('silence, and sizes that do not exist', () => {
  expect(largest(squaredHilbertEnvelopeSingle(new Float32Array(64), new Float32Array(64)))).toBe(0);
  expect(() => squaredHilbertEnvelopeSingle(new Float32Array(50), new Float32Array(50))).toThrow(
    /^FFT size is 50/,
  );
  expect(() => new SingleConvolution(new Float64Array(65), 64)).toThrow(/^kernel has 65/);
  expect(() => new SingleFirDecimator(new Float64Array(0), 2)).toThrow(/^taps is empty/);
  expect(() => new SingleFirDecimator(new Float64Array(9), 0)).toThrow(/^factor/);
  const filter = new SingleFirDecimator(resamplingTaps(1, 2), 2);
  expect(() => filter.process(new Float32Array(4096), new Float32Array(1))).toThrow(/too few/);
  expect(singleFft(64).size).toBe(64);
});
