import fc from 'fast-check';
import { expect, test } from 'vitest';
import * as levels from '../../shared/dsp/levels.ts';
import { largest, samples, sine, spoiled } from './arbitraries.ts';

test('a full-scale sine: RMS -3.01 dB re full scale, crest factor 1.414 (from the definition of RMS)', () => {
  const full = sine(48_000, 1000 / 48_000);
  expect(levels.fullScaleLevelDb(levels.rms(full))).toBeCloseTo(-3.01, 2);
  expect(levels.crestFactor(full)).toBeCloseTo(Math.SQRT2, 6);
  expect(levels.kurtosis(full)).toBeCloseTo(1.5, 6);
});

test('acceleration levels re 1 µm/s² (ISO 1683): 1 m/s² is 120 dB, 10 m/s² is 140 dB', () => {
  expect(levels.accelerationLevelDb(1)).toBeCloseTo(120, 10);
  expect(levels.accelerationLevelDb(10)).toBeCloseTo(140, 10);
  expect(levels.accelerationLevelDb(0)).toBe(Number.NEGATIVE_INFINITY);
});

test('reference excitation at 1000 rad/s, 159.155 Hz: 10 m/s² is 10 mm/s and 10 µm (a = ωv = ω²x)', () => {
  const omega = 2 * Math.PI * 159.15494309;
  expect(10 / omega).toBeCloseTo(0.01, 9);
  expect(10 / omega ** 2).toBeCloseTo(10e-6, 12);
});

test('levels and what they stand for are inverses', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-9, max: 1e9, noNaN: true }), (value) => {
      expect(levels.amplitudeFromLevelDb(levels.levelDb(value, 2), 2) / value).toBeCloseTo(1, 10);
      expect(levels.powerFromLevelDb(levels.powerLevelDb(value, 2), 2) / value).toBeCloseTo(1, 10);
      expect(levels.levelDb(value, 1)).toBeCloseTo(levels.powerLevelDb(value * value, 1), 9);
    }),
  );
});

test('RMS, mean, deviation and peak belong together', () => {
  fc.assert(
    fc.property(samples(1, 200), (x) => {
      const meanSquare = levels.mean(x) ** 2 + levels.standardDeviation(x) ** 2;
      expect(Math.abs(levels.meanSquare(x) - meanSquare)).toBeLessThanOrEqual(1e-9 * largest(x) ** 2);
      expect(levels.peak(x)).toBe(largest(x));
      expect(levels.rms(x)).toBeLessThanOrEqual(largest(x) * (1 + 1e-12));
    }),
  );
});

test('quantiles: ends are the extremes, the middle the median', () => {
  expect(levels.median([5, 1, 3])).toBe(3);
  expect(levels.median([4, 1, 3, 2])).toBe(2.5);
  expect(levels.quantile([4, 1, 3, 2], 0)).toBe(1);
  expect(levels.quantile([4, 1, 3, 2], 1)).toBe(4);
  expect(() => levels.quantile([1], 1.1)).toThrow(/^fraction/);
});

test('a quantile lies between the values of its neighbouring ranks, and leaves the values as they were', () => {
  // Few different values make many equal ones, where selecting could go astray.
  const values = fc.array(
    fc.oneof(fc.integer({ min: 0, max: 5 }), fc.double({ min: -9, max: 9, noNaN: true })),
    {
      minLength: 1,
      maxLength: 60,
    },
  );
  fc.assert(
    fc.property(values, fc.double({ min: 0, max: 1, noNaN: true }), (x, fraction) => {
      const given = [...x];
      const sorted = [...x].sort((a, b) => a - b);
      const place = fraction * (x.length - 1);
      const below = sorted[Math.floor(place)]!;
      const above = sorted[Math.ceil(place)]!;
      expect(levels.quantile(x, fraction)).toBeCloseTo(below + (above - below) * (place % 1), 12);
      expect(x).toEqual(given);
    }),
  );
});

test('silence and one sample', () => {
  const silence = new Float64Array(64);
  expect(levels.rms(silence)).toBe(0);
  expect(levels.peak(silence)).toBe(0);
  expect(levels.crestFactor(silence)).toBeNaN();
  expect(levels.kurtosis(silence)).toBeNaN();
  expect(levels.rms([-2])).toBe(2);
  expect(levels.crestFactor([-2])).toBe(1);
});

test('NaN, infinity and nothing at all are refused by every level', () => {
  const functions = [
    levels.mean,
    levels.meanSquare,
    levels.rms,
    levels.standardDeviation,
    levels.peak,
    levels.crestFactor,
    levels.kurtosis,
    levels.median,
  ];
  for (const level of functions) {
    expect(() => level([])).toThrow(/is empty/);
    fc.assert(
      fc.property(spoiled(20), (x) => {
        expect(() => level(x)).toThrow(/value \d+ is (NaN|-?Infinity); every value must be a finite number/);
      }),
      { numRuns: 20 },
    );
  }
});
