import fc from 'fast-check';
import { expect, test } from 'vitest';
import { meanSquare, rms } from '../../shared/dsp/levels.ts';
import { spectrogram } from '../../shared/dsp/spectrogram.ts';
import {
  bandMeanSquare,
  densityConfidence,
  equivalentAverages,
  lineRmsFromDensity,
  lineSpectrum,
  WelchAverager,
  welch,
} from '../../shared/dsp/spectrum.ts';
import { hann, type WindowName } from '../../shared/dsp/windows.ts';
import { zoomSpectrum } from '../../shared/dsp/zoom.ts';
import { factor, largest, largestDifference, samples, sine, spoiled } from './arbitraries.ts';

const RATE = 48_000;
const options = { segmentLength: 64 };

test('a line on a bin reads A/√2 with every window, in all three kinds of spectrum', () => {
  const amplitude = 7;
  const tone = sine(8192, 100 / 1024, amplitude);
  for (const window of [
    'hann',
    'hamming',
    'blackman',
    'blackmanHarris',
    'flatTop',
    'rectangular',
  ] as WindowName[]) {
    expect(lineSpectrum(tone, RATE, window).rms[800]).toBeCloseTo(amplitude / Math.SQRT2, 4);
    const psd = welch(tone, RATE, { segmentLength: 1024, window });
    expect(lineRmsFromDensity(psd)[100]).toBeCloseTo(amplitude / Math.SQRT2, 4);
    const f = (RATE * 100) / 1024;
    expect(zoomSpectrum(tone, RATE, f, f + 10, 2, window).rms[0]).toBeCloseTo(amplitude / Math.SQRT2, 4);
  }
});

test('the zoom finds a line between the bins', () => {
  const f_Hz = 1003.37;
  const { frequencies_Hz, rms: lines } = zoomSpectrum(sine(48_000, f_Hz / RATE), RATE, 1000, 1006, 601);
  const highest = lines.indexOf(largest(lines));
  expect(frequencies_Hz[highest]).toBeCloseTo(f_Hz, 2);
  expect(lines[highest]).toBeCloseTo(Math.SQRT1_2, 3);
});

test('the density of an unwindowed segment integrates to the mean square (Parseval)', () => {
  fc.assert(
    fc.property(samples(64, 64), (x) => {
      const psd = welch(x, RATE, { ...options, window: 'rectangular', detrend: 'none' });
      const power = bandMeanSquare(psd, 0, RATE / 2);
      expect(Math.abs(power - meanSquare(x))).toBeLessThanOrEqual(1e-12 * largest(x) ** 2);
    }),
  );
});

test('band powers add up, wherever the band is cut', () => {
  fc.assert(
    fc.property(samples(64, 300), fc.double({ min: 0, max: RATE / 2, noNaN: true }), (x, cut) => {
      const psd = welch(x, RATE, options);
      const whole = bandMeanSquare(psd, 0, RATE / 2);
      const parts = bandMeanSquare(psd, 0, cut) + bandMeanSquare(psd, cut, RATE / 2);
      expect(Math.abs(parts - whole)).toBeLessThanOrEqual(1e-9 * whole);
    }),
  );
});

test('the density grows with the square of the signal', () => {
  fc.assert(
    fc.property(samples(64, 300), factor, (x, scale) => {
      const density = welch(x, RATE, options).density;
      const scaled = welch(
        x.map((value) => scale * value),
        RATE,
        options,
      ).density;
      expect(
        largestDifference(
          scaled,
          density.map((value) => scale * scale * value),
        ),
        // What is left of a constant after its mean is rounding, and scales with nothing.
      ).toBeLessThanOrEqual(scale * scale * (1e-9 * largest(density) + 1e-28 * largest(x) ** 2));
    }),
  );
});

test('a shift by whole hops of a periodic signal leaves its density as it was', () => {
  const tone = sine(4096, 5 / 64).map((value, n) => value + 0.5 * Math.cos((2 * Math.PI * 11 * n) / 64));
  const density = welch(tone.subarray(0, 2048), RATE, options).density;
  const later = welch(tone.subarray(320, 2368), RATE, options).density;
  expect(largestDifference(density, later)).toBeLessThan(1e-12 * largest(density));
});

test('streamed in any pieces, the average is the same', () => {
  fc.assert(
    fc.property(
      samples(200, 400),
      fc.array(fc.integer({ min: 0, max: 150 }), { minLength: 1 }),
      (x, cuts) => {
        const averager = new WelchAverager(RATE, options);
        let start = 0;
        for (const cut of cuts) {
          averager.push(x.subarray(start, start + cut));
          start = Math.min(x.length, start + cut);
        }
        averager.push(x.subarray(start));
        const whole = welch(x, RATE, options);
        expect(averager.averages).toBe(whole.averages);
        expect(Array.from(averager.result().density)).toEqual(Array.from(whole.density));
      },
    ),
  );
});

test('independent averages: all without overlap; 18 in 19 of the segments with Hann at 50 %', () => {
  expect(equivalentAverages(hann(256), 256, 100)).toBe(100);
  // Overlap correlation of Hann at one half is 1/6, its square 1/36 (Harris 1978, table 1: 16.7 %), so that
  // many segments count as K / (1 + 2/36).
  expect(equivalentAverages(hann(4096), 2048, 10_000) / 10_000).toBeCloseTo(1 / (1 + 2 / 36), 3);
});

test('confidence limits: 2 degrees of freedom in closed form, narrower with more', () => {
  // χ² with 2 degrees of freedom is exponential: its quantile is -2 ln(1 - p).
  const { lower, upper } = densityConfidence({ equivalentAverages: 1 }, 0.95);
  expect(lower).toBeCloseTo(2 / (-2 * Math.log(0.025)), 10);
  expect(upper).toBeCloseTo(2 / (-2 * Math.log(0.975)), 10);
  const many = densityConfidence({ equivalentAverages: 1000 }, 0.95);
  expect(many.upper / many.lower).toBeLessThan(1.14);
});

test('silence, one sample, and no sample', () => {
  expect(largest(welch(new Float64Array(256), RATE, options).density)).toBe(0);
  expect(largest(lineSpectrum(new Float64Array(5), RATE).rms)).toBe(0);
  expect(largest(spectrogram(new Float64Array(256), RATE, options).density)).toBe(0);
  expect(welch(new Float64Array([3]), RATE, options).averages).toBe(1);
  expect(lineSpectrum([3], RATE).rms[0]).toBeCloseTo(3, 12);
  expect(spectrogram(new Float64Array([3]), RATE, options).times_s.length).toBe(1);
  expect(zoomSpectrum([3], RATE, 0, 100, 2).rms[0]).toBeCloseTo(3, 12);
  const none = new Float64Array(0);
  expect(() => welch(none, RATE, options)).toThrow(/^signal is empty/);
  expect(() => lineSpectrum(none, RATE)).toThrow(/^signal is empty/);
  expect(() => spectrogram(none, RATE, options)).toThrow(/^signal is empty/);
  expect(() => zoomSpectrum(none, RATE, 0, 100, 2)).toThrow(/^signal is empty/);
  expect(() => new WelchAverager(RATE, options).result()).toThrow(/no whole segment yet/);
});

test('the RMS of a signal is that of its spectrum', () => {
  const x = sine(4800, 0.1, 3).map((value, n) => value + Math.sin(n));
  expect(Math.sqrt(bandMeanSquare(welch(x, RATE, { segmentLength: 512 }), 0, RATE / 2))).toBeCloseTo(
    rms(x),
    1,
  );
});

test('NaN and infinity are refused', () => {
  fc.assert(
    fc.property(spoiled(64), (x) => {
      const said = /value \d+ is (NaN|-?Infinity); every value must be a finite number/;
      expect(() => welch(x, RATE, { ...options, window: 'rectangular' })).toThrow(said);
      expect(() => welch(x, RATE, options)).toThrow(said);
      expect(() => lineSpectrum(x, RATE)).toThrow(said);
      expect(() => spectrogram(x, RATE, options)).toThrow(said);
      expect(() => zoomSpectrum(x, RATE, 100, 200, 8)).toThrow(said);
    }),
  );
});

test('options out of range are refused by name', () => {
  const x = new Float64Array(64);
  expect(() => welch(x, RATE, { segmentLength: 0 })).toThrow(/^segmentLength/);
  expect(() => welch(x, RATE, { segmentLength: 64, overlap: 1 })).toThrow(/^overlap/);
  expect(() => welch(x, 0, options)).toThrow(/^sampleRate_Hz/);
  expect(() => densityConfidence({ equivalentAverages: 4 }, 1)).toThrow(/^confidence/);
  expect(() => bandMeanSquare(welch(x, RATE, options), 200, 100)).toThrow(/ascending/);
  expect(() => zoomSpectrum(x, RATE, 100, 30_000, 8)).toThrow(/zoomed band/);
  expect(() => zoomSpectrum(x, RATE, 0, 100, 1)).toThrow(/^points/);
});
