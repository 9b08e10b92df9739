import { expect, test } from 'vitest';
import {
  coherentGain,
  equivalentNoiseBandwidth_bins,
  flatTop,
  hann,
  kaiser,
  rectangular,
  type WindowName,
  windowByName,
} from '../../shared/dsp/windows.ts';

// F. J. Harris, "On the Use of Windows for Harmonic Analysis with the Discrete Fourier Transform", Proc. IEEE
// 66(1), 1978, table 1 (from memory); the flat-top's is computed from its coefficients: 1 + Σ a_k² / (2 a_0²).
const PUBLISHED: [WindowName, gain: number, bandwidth_bins: number][] = [
  ['rectangular', 1, 1],
  ['hann', 0.5, 1.5],
  ['hamming', 0.54, 1.36],
  ['blackman', 0.42, 1.73],
  ['blackmanHarris', 0.36, 2.0],
  ['flatTop', 0.2156, 3.77],
];

test.each(PUBLISHED)('%s: coherent gain and noise bandwidth', (name, gain, bandwidth) => {
  const window = windowByName(name, 4096);
  expect(coherentGain(window)).toBeCloseTo(gain, 2);
  expect(equivalentNoiseBandwidth_bins(window)).toBeCloseTo(bandwidth, 2);
});

test('a flat-top line between two bins is right within 0.01 dB, a Hann one 1.42 dB low', () => {
  const scalloping = (window: Float64Array): number => {
    let re = 0;
    let im = 0;
    let sum = 0;
    window.forEach((value, n) => {
      re += value * Math.cos((Math.PI * n) / window.length);
      im += value * Math.sin((Math.PI * n) / window.length);
      sum += value;
    });
    return 20 * Math.log10(Math.hypot(re, im) / sum);
  };
  expect(Math.abs(scalloping(flatTop(1024)))).toBeLessThan(0.01);
  // Harris 1978, table 1.
  expect(scalloping(hann(1024))).toBeCloseTo(-1.42, 2);
});

test('symmetric windows read the same backwards, periodic ones but for the first point', () => {
  for (const length of [1, 2, 7, 64]) {
    const symmetric = hann(length, 'symmetric');
    expect(Array.from(symmetric)).toEqual(Array.from(symmetric).reverse());
    const periodic = kaiser(length, 9).subarray(1);
    const backwards = periodic.slice().reverse();
    periodic.forEach((value, n) => {
      expect(value).toBeCloseTo(backwards[n]!, 14);
    });
  }
});

test('lengths below one, shapes beyond reach and empty windows are refused', () => {
  for (const length of [0, -1, 2.5, Number.NaN]) {
    expect(() => hann(length)).toThrow(/^window length/);
    expect(() => rectangular(length)).toThrow(/^window length/);
    expect(() => kaiser(length, 5)).toThrow(/^window length/);
  }
  for (const beta of [Number.NaN, Number.POSITIVE_INFINITY, 1000])
    expect(() => kaiser(8, beta)).toThrow(/^beta/);
  expect(() => coherentGain([])).toThrow(/^window is empty/);
  expect(() => equivalentNoiseBandwidth_bins([])).toThrow(/^window is empty/);
});
