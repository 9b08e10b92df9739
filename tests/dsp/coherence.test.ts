import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  autoSpectrum,
  CrossSpectrumAverager,
  coherence,
  coherenceByChance,
  coherentOutputPower,
  conditionedOn,
  crossSpectra,
  crossSpectrum,
  delay,
  loudestChannel,
  phaseDeviation_rad,
} from '../../shared/dsp/coherence.ts';
import { SincInterpolator } from '../../shared/dsp/resample.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';
import { largest, samples, spoiled } from './arbitraries.ts';

const RATE = 12_800;
const options = { segmentLength: 64 };
const mean = (values: ArrayLike<number>): number =>
  Array.from(values).reduce((sum, value) => sum + value, 0) / values.length;

test('coherence lies between 0 and 1 and is the same both ways', () => {
  fc.assert(
    fc.property(samples(200, 200), samples(200, 200), (x, y) => {
      const matrix = crossSpectra([x, y], RATE, options);
      const there = coherence(matrix, 0, 1);
      for (const value of there) {
        expect(value).toBeGreaterThanOrEqual(0);
        expect(value).toBeLessThanOrEqual(1);
      }
      expect(Array.from(coherence(matrix, 1, 0))).toEqual(Array.from(there));
    }),
  );
});

test('a channel is wholly coherent with itself and with any gain of itself', () => {
  const x = gaussianNoise(2000, 1);
  const matrix = crossSpectra([x, x.map((value) => -3 * value)], RATE, options);
  for (const value of coherence(matrix, 0, 1)) expect(value).toBeCloseTo(1, 10);
  const power = coherentOutputPower(matrix, 0, 1);
  autoSpectrum(matrix, 1).forEach((own, k) => {
    expect(power[k]! / own).toBeCloseTo(1, 10);
  });
});

test('known noise at the output: coherence = signal power / all power (Bendat & Piersol, equation 6.39)', () => {
  const x = gaussianNoise(400_000, 2);
  const n = gaussianNoise(400_000, 3);
  const matrix = crossSpectra([x, x.map((value, i) => value + 0.5 * n[i]!)], RATE, { segmentLength: 512 });
  // Power 1 of signal, 0.25 of noise.
  expect(mean(coherence(matrix, 0, 1))).toBeCloseTo(1 / 1.25, 2);
  // Within a part in a hundred the coherent power is that of the signal: 2 / RATE per hertz.
  expect(mean(coherentOutputPower(matrix, 0, 1)) / (2 / RATE)).toBeCloseTo(1, 1);
});

test('independent channels pass the threshold of chance about as often as it says', () => {
  let above = 0;
  let all = 0;
  for (let seed = 0; seed < 20; seed++) {
    const matrix = crossSpectra(
      [gaussianNoise(20_000, 100 + seed), gaussianNoise(20_000, 200 + seed)],
      RATE,
      {
        segmentLength: 256,
      },
    );
    const chance = coherenceByChance(matrix.equivalentAverages, 0.95);
    const inside = coherence(matrix, 0, 1).subarray(2, -2);
    above += inside.filter((value) => value > chance).length;
    all += inside.length;
  }
  expect(above / all).toBeGreaterThan(0.03);
  expect(above / all).toBeLessThan(0.07);
  expect(coherenceByChance(1)).toBe(1);
  expect(() => coherenceByChance(10, 0)).toThrow(/^confidence/);
});

test('the delay between two pickups, to a fraction of a sample, within its stated uncertainty', () => {
  const x = gaussianNoise(64_000, 4);
  const interpolator = new SincInterpolator();
  let within = 0;
  const delays = [-20.25, -1.5, -0.3, 0, 0.4, 3.75, 31.1, 7.77, -12.9, 18.2];
  delays.forEach((late, seed) => {
    const places = Float64Array.from(x, (_, n) => n - late);
    const n = gaussianNoise(64_000, 50 + seed);
    const y = interpolator.interpolate(x, places).map((value, i) => value + 0.5 * n[i]!);
    const found = delay(crossSpectra([x, y], RATE, { segmentLength: 1024 }), 0, 1, [200, 4000], 0.01);
    expect(found).not.toBeNull();
    const error = found!.delay_s * RATE - late;
    // Segments that start `late` apart share less: a bias far below a tenth of a sample remains.
    expect(Math.abs(error)).toBeLessThan(0.05);
    if (Math.abs(error) < 2 * found!.deviation_s * RATE) within++;
  });
  expect(within).toBeGreaterThanOrEqual(8);
});

test('the delay counts the other way round in the other direction', () => {
  const x = gaussianNoise(20_000, 5);
  const y = x.map((_, n) => x[n - 7] ?? 0);
  const matrix = crossSpectra([x, y], RATE, { segmentLength: 512 });
  expect(delay(matrix, 0, 1, [100, 5000], 0.01)!.delay_s * RATE).toBeCloseTo(7, 2);
  expect(delay(matrix, 1, 0, [100, 5000], 0.01)!.delay_s * RATE).toBeCloseTo(-7, 2);
});

test('there is no delay between channels that have nothing in common', () => {
  let found = 0;
  for (let seed = 0; seed < 20; seed++) {
    const matrix = crossSpectra(
      [gaussianNoise(10_000, 300 + seed), gaussianNoise(10_000, 400 + seed)],
      RATE,
      {
        segmentLength: 256,
      },
    );
    if (delay(matrix, 0, 1, [200, 4000], 0.005)) found++;
  }
  // One in twenty is what the threshold allows; five would be a fluke of one in four hundred.
  expect(found).toBeLessThan(5);
});

test('what two channels share only through the loudest is gone when it is removed', () => {
  const loud = gaussianNoise(200_000, 6).map((value) => 10 * value);
  const ownB = gaussianNoise(200_000, 7);
  const ownC = gaussianNoise(200_000, 8);
  const shared = gaussianNoise(200_000, 9);
  const b = loud.map((value, n) => 0.3 * value + ownB[n]!);
  const c = loud.map((_, n) => -0.2 * (loud[n - 3] ?? 0) + ownC[n]!);
  const d = c.map((value, n) => value + shared[n]!);
  const matrix = crossSpectra([loud, b, c, d], RATE, { segmentLength: 256 });
  expect(loudestChannel(matrix, [100, 5000])).toBe(0);
  const partial = conditionedOn(matrix, 0);
  expect(mean(coherence(matrix, 1, 2))).toBeGreaterThan(0.6);
  expect(mean(coherence(partial, 1, 2))).toBeLessThan(0.01);
  // c and d have c's own noise in common beside what came from the loudest: 1 of power 2.
  expect(mean(coherence(partial, 2, 3))).toBeCloseTo(0.5, 1);
  expect(largest(autoSpectrum(partial, 0))).toBe(0);
});

test('phase is the surer the more coherent', () => {
  const x = gaussianNoise(20_000, 10);
  const n = gaussianNoise(20_000, 11);
  const deviation = (noise: number): number =>
    mean(
      phaseDeviation_rad(
        crossSpectra([x, x.map((value, i) => value + noise * n[i]!)], RATE, { segmentLength: 256 }),
        0,
        1,
      ),
    );
  expect(deviation(0)).toBeLessThan(1e-6);
  expect(deviation(1)).toBeGreaterThan(2 * deviation(0.3));
});

test('streamed in any pieces, the average is the same', () => {
  const x = gaussianNoise(3000, 12);
  const y = gaussianNoise(3000, 13);
  const whole = crossSpectra([x, y], RATE, options);
  const averager = new CrossSpectrumAverager(2, RATE, options);
  for (let start = 0, n = 1; start < 3000; start += n, n = (n * 7 + 3) % 400) {
    averager.push([x.subarray(start, start + n), y.subarray(start, start + n)]);
  }
  const streamed = averager.result();
  expect(streamed.averages).toBe(whole.averages);
  expect(Array.from(crossSpectrum(streamed, 0, 1))).toEqual(Array.from(crossSpectrum(whole, 0, 1)));
});

test('silence is coherent with nothing; one sample is an average of one', () => {
  const silent = new Float64Array(300);
  const matrix = crossSpectra([silent, gaussianNoise(300, 14)], RATE, options);
  expect(largest(coherence(matrix, 0, 1))).toBe(0);
  expect(delay(matrix, 0, 1, [200, 4000], 0.002)).toBeNull();
  expect(
    crossSpectra(
      [[1], [2]].map((one) => Float64Array.from(one)),
      RATE,
      options,
    ).averages,
  ).toBe(1);
});

test('NaN, infinity, unequal lengths and unknown channels are refused', () => {
  fc.assert(
    fc.property(spoiled(64), (x) => {
      expect(() => crossSpectra([new Float64Array(64), x], RATE, options)).toThrow(
        /value \d+ is (NaN|-?Infinity); every value must be a finite number/,
      );
    }),
  );
  const x = gaussianNoise(64, 15);
  expect(() => crossSpectra([], RATE, options)).toThrow(/^signals is empty/);
  expect(() => crossSpectra([x, x.subarray(1)], RATE, options)).toThrow(/equally long/);
  expect(() => crossSpectra([new Float64Array(0)], RATE, options)).toThrow(/is empty/);
  const matrix = crossSpectra([x, x], RATE, options);
  expect(() => coherence(matrix, 0, 2)).toThrow(/channel 2 is none of the 2/);
  expect(() => delay(matrix, 0, 1, [5000, 100], 0.001)).toThrow(/holds no bin/);
  expect(() => delay(matrix, 0, 1, [100, 5000], 1)).toThrow(/^longest_s/);
  expect(() => new CrossSpectrumAverager(2, RATE, options).push([x])).toThrow(/1 channels; it must hold 2/);
});
