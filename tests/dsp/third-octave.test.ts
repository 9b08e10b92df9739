import { expect, test } from 'vitest';
import { welch } from '../../shared/dsp/spectrum.ts';
import {
  OCTAVE_RATIO,
  thirdOctaveBand,
  thirdOctaveBands,
  thirdOctaveMeanSquares,
} from '../../shared/dsp/third-octave.ts';
import { sine } from './arbitraries.ts';

// IEC 61260-1:2014: octave ratio (5.2), mid-band frequencies (5.3), edges (5.5) and nominal frequencies (annex E),
// computed from its formulae; the nominal series from memory.

test('the octave ratio is 10^(3/10), 1.99526', () => {
  expect(OCTAVE_RATIO).toBeCloseTo(1.99526, 5);
});

test('the band at 1 kHz has its edges at 891.251 and 1122.018 Hz', () => {
  const band = thirdOctaveBand(0);
  expect(band.centre_Hz).toBe(1000);
  expect(band.low_Hz).toBeCloseTo(891.251, 3);
  expect(band.high_Hz).toBeCloseTo(1122.018, 3);
});

test.each([
  [-15, 31.5, 31.6228],
  [-10, 100, 100],
  [-1, 800, 794.3282],
  [3, 2000, 1995.2623],
  [10, 10_000, 10_000],
  [13, 20_000, 19_952.6231],
])('band %i is called %d Hz and lies at %d Hz', (index, nominal, centre) => {
  const band = thirdOctaveBand(index);
  expect(band.nominal_Hz).toBe(nominal);
  expect(band.centre_Hz).toBeCloseTo(centre, 4);
});

test('the nominal frequencies from 20 Hz to 20 kHz', () => {
  expect(thirdOctaveBands(17, 23_000).map((band) => band.nominal_Hz)).toEqual([
    20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000,
    2500, 3150, 4000, 5000, 6300, 8000, 10_000, 12_500, 16_000, 20_000,
  ]);
});

test('neighbouring bands share an edge', () => {
  const bands = thirdOctaveBands(10, 20_000);
  for (let i = 1; i < bands.length; i++) expect(bands[i]!.low_Hz / bands[i - 1]!.high_Hz).toBeCloseTo(1, 12);
});

test('a tone’s power lies in its band, and all bands together hold it', () => {
  const bands = thirdOctaveBands(100, 20_000);
  const psd = welch(sine(48_000, 1000 / 48_000, 4), 48_000, { segmentLength: 8192 });
  const powers = thirdOctaveMeanSquares(psd, bands);
  const at = bands.findIndex((band) => band.nominal_Hz === 1000);
  expect(powers[at]).toBeCloseTo(8, 2);
  expect(powers.reduce((sum, power) => sum + power)).toBeCloseTo(8, 2);
});

test('a band number that is not whole and a limit that is no frequency are refused', () => {
  expect(() => thirdOctaveBand(0.5)).toThrow(/^index/);
  for (const limit of [0, -1, Number.NaN]) expect(() => thirdOctaveBands(limit, 100)).toThrow(/^low_Hz/);
  expect(() => thirdOctaveBands(10, Number.POSITIVE_INFINITY)).toThrow(/^high_Hz/);
});
