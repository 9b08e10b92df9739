import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ComplexFft, isPowerOfTwo, nextPowerOfTwo, RealFft, realFft } from '../../shared/dsp/fft.ts';
import { factor, largest, largestDifference, samples, spoiled } from './arbitraries.ts';

const SIZE = 256;
const fft = realFft(SIZE);

test('the next power of two', () => {
  expect([0, 1, 2, 3, 1000, 1024, 2 ** 40 - 1].map(nextPowerOfTwo)).toEqual([
    1,
    1,
    2,
    4,
    1024,
    1024,
    2 ** 40,
  ]);
  expect([0, 1, 2, 3, 48, 64, 0.5, Number.NaN].filter(isPowerOfTwo)).toEqual([1, 2, 64]);
});

test('energy is kept (Parseval), the two ends counted once', () => {
  fc.assert(
    fc.property(samples(SIZE, SIZE), (x) => {
      const spectrum = fft.forward(x);
      let inTime = 0;
      for (const value of x) inTime += value * value;
      let inFrequency = 0;
      for (let k = 0; k < fft.bins; k++) {
        const power = spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;
        inFrequency += power * (k === 0 || k === SIZE / 2 ? 1 : 2);
      }
      expect(Math.abs(inFrequency / SIZE - inTime)).toBeLessThanOrEqual(1e-11 * inTime);
    }),
  );
});

test('linearity', () => {
  fc.assert(
    fc.property(samples(SIZE, SIZE), samples(SIZE, SIZE), factor, factor, (x, y, a, b) => {
      const together = fft.forward(x.map((value, n) => a * value + b * y[n]!));
      const X = fft.forward(x);
      const Y = fft.forward(y);
      const apart = X.map((value, k) => a * value + b * Y[k]!);
      expect(largestDifference(together, apart)).toBeLessThanOrEqual(
        1e-10 * (largest(x) * Math.abs(a) + largest(y) * Math.abs(b)),
      );
    }),
  );
});

test('a shift in time turns each bin by its frequency', () => {
  fc.assert(
    fc.property(samples(SIZE, SIZE), fc.integer({ min: 0, max: SIZE - 1 }), (x, shift) => {
      const shifted = fft.forward(x.map((_, n) => x[(n - shift + SIZE) % SIZE]!));
      const X = fft.forward(x);
      const turned = new Float64Array(X.length);
      for (let k = 0; k < fft.bins; k++) {
        const angle = (-2 * Math.PI * k * shift) / SIZE;
        turned[2 * k] = X[2 * k]! * Math.cos(angle) - X[2 * k + 1]! * Math.sin(angle);
        turned[2 * k + 1] = X[2 * k]! * Math.sin(angle) + X[2 * k + 1]! * Math.cos(angle);
      }
      expect(largestDifference(shifted, turned)).toBeLessThanOrEqual(1e-10 * largest(x));
    }),
  );
});

test('the inverse gives the samples back, at every size', () => {
  for (const size of [2, 4, 8, 16, 512, 8192]) {
    fc.assert(
      fc.property(samples(size, size), (x) => {
        const back = realFft(size).inverse(realFft(size).forward(x));
        expect(largestDifference(back, x)).toBeLessThanOrEqual(1e-13 * largest(x));
      }),
      { numRuns: 10 },
    );
  }
});

test('a complex transform of real samples agrees with the real transform', () => {
  fc.assert(
    fc.property(samples(SIZE, SIZE), (x) => {
      const complex = new ComplexFft(SIZE);
      const input = new Float64Array(2 * SIZE);
      for (let n = 0; n < SIZE; n++) input[2 * n] = x[n]!;
      const spectrum = complex.forward(input, new Float64Array(2 * SIZE));
      expect(largestDifference(spectrum.subarray(0, SIZE + 2), fft.forward(x))).toBeLessThanOrEqual(
        1e-11 * largest(x),
      );
      expect(
        largestDifference(complex.inverse(spectrum, new Float64Array(2 * SIZE)), input),
      ).toBeLessThanOrEqual(1e-12 * largest(x));
    }),
  );
});

test('silence stays silent; fewer samples count as followed by zeros', () => {
  expect(largest(fft.forward(new Float64Array(SIZE)))).toBe(0);
  const one = fft.forward([3]);
  for (let k = 0; k < fft.bins; k++) {
    expect(one[2 * k]).toBeCloseTo(3, 12);
    expect(one[2 * k + 1]).toBeCloseTo(0, 12);
  }
});

test('NaN and infinity are refused, in samples and in spectra, by the place where they are', () => {
  fc.assert(
    fc.property(spoiled(SIZE), (x) => {
      expect(() => fft.forward(x)).toThrow(/^FFT input: value \d+ is (NaN|-?Infinity)/);
    }),
  );
  const spectrum = fft.forward(new Float64Array(SIZE).fill(1));
  spectrum[11] = Number.NaN;
  expect(() => fft.inverse(spectrum)).toThrow(/^spectrum: value 11 is NaN/);
});

test('wrong sizes are refused with the sizes', () => {
  for (const size of [0, 1, 3, 48, 2.5, -8, Number.NaN]) expect(() => new RealFft(size)).toThrow(RangeError);
  expect(() => fft.forward(new Float64Array(SIZE + 1))).toThrow(/257 samples.*256/);
  expect(() => fft.forward([1], new Float64Array(SIZE))).toThrow(/length 256.*258/);
  expect(() => fft.inverse(new Float64Array(SIZE))).toThrow(/length 256.*258/);
});
