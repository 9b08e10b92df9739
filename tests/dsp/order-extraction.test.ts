import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factorPentadiagonal, inverseDiagonal, solvePentadiagonal } from '../../shared/dsp/banded.ts';
import { resampleToAngle } from '../../shared/dsp/order-track.ts';
import { motionFromSpeed, turnsAtSamples } from '../../shared/dsp/speed-motion.ts';
import { synchronousAverage } from '../../shared/dsp/synchronous-average.ts';
import { trackOrder, voldKalmanWeight } from '../../shared/dsp/vold-kalman.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';
import { samples, spoiled } from './arbitraries.ts';
import { decibels, recording } from './drives.ts';

const RATE = 6000;
const sweep = motionFromSpeed([0, 12], [6, 18]);
const turns = turnsAtSamples(sweep, 0, RATE, 12 * RATE);

describe('banded solver', () => {
  it('solves what it multiplies, and gives the diagonal of the inverse', () => {
    fc.assert(
      fc.property(samples(3, 40), fc.double({ min: 0.01, max: 100, noNaN: true }), (x, weight) => {
        const n = x.length;
        const main = new Float64Array(n).fill(1);
        const first = new Float64Array(n - 1);
        const second = new Float64Array(n - 2);
        for (let i = 0; i + 2 < n; i++) {
          main[i]! += weight;
          main[i + 1]! += 4 * weight;
          main[i + 2]! += weight;
          first[i]! -= 2 * weight;
          first[i + 1]! -= 2 * weight;
          second[i]! += weight;
        }
        const times = (v: ArrayLike<number>): Float64Array =>
          Float64Array.from({ length: n }, (_, i) => {
            const at = (d: Float64Array, k: number, j: number) =>
              k >= 0 && j >= 0 && j < n ? d[k]! * v[j]! : 0;
            return (
              main[i]! * v[i]! +
              at(first, i - 1, i - 1) +
              at(first, i, i + 1) +
              at(second, i - 2, i - 2) +
              at(second, i, i + 2)
            );
          });
        const factor = factorPentadiagonal({ main, first, second })!;
        const back = solvePentadiagonal(factor, times(x));
        back.forEach((v, i) => {
          expect(Math.abs(v - x[i]!)).toBeLessThan(1e-6);
        });
        const diagonal = inverseDiagonal(factor);
        const unit = new Float64Array(n);
        unit[1] = 1;
        expect(diagonal[1]).toBeCloseTo(solvePentadiagonal(factor, unit)[1]!, 9);
      }),
    );
  });

  it('says when a matrix is not positive definite', () => {
    const matrix = {
      main: Float64Array.of(1, -1, 1),
      first: new Float64Array(2),
      second: new Float64Array(1),
    };
    expect(factorPentadiagonal(matrix)).toBeNull();
  });
});

describe('Vold-Kalman order tracker', () => {
  it('has half the power at half the bandwidth on either side of the order', () => {
    // The definition of the weight: gain 1 / √2 at B / 2 (Tůma 2005, from memory; derived in reference values).
    for (const poles of [1, 2] as const) {
      for (const offset of [-2, 2]) {
        const x = Float64Array.from({ length: 30 * RATE }, (_, n) =>
          Math.cos((2 * Math.PI * (200 + offset) * n) / RATE),
        );
        const angle = Float64Array.from({ length: x.length }, (_, n) => (200 * n) / RATE);
        const { amplitude } = trackOrder(x, angle, RATE, 4, poles);
        expect(decibels(amplitude[15 * RATE]!)).toBeCloseTo(-3.01, 1);
      }
    }
    expect(voldKalmanWeight(5, 1000, 1)).toBeCloseTo(
      (Math.SQRT2 - 1) / (2 - 2 * Math.cos((Math.PI * 5) / 1000)),
      12,
    );
  });

  it('gives an order’s waveform back beside a stronger neighbour three orders away, over a threefold sweep', () => {
    const order = recording(sweep, 12, RATE, [{ order: 41, rms: 0.1 }], 0);
    const both = recording(
      sweep,
      12,
      RATE,
      [
        { order: 41, rms: 0.1 },
        { order: 38, rms: 0.3 },
      ],
      0.05,
    );
    const tracked = trackOrder(
      both,
      turns.map((t) => 41 * t),
      RATE,
      3,
    );
    let error = 0;
    let power = 0;
    for (let n = RATE; n < 11 * RATE; n++) {
      error += (tracked.waveform[n]! - order[n]!) ** 2;
      power += order[n]! ** 2;
      expect(Math.abs(decibels(tracked.amplitude[n]! / (0.1 * Math.SQRT2)))).toBeLessThan(1.5);
    }
    expect(10 * Math.log10(error / power)).toBeLessThan(-25);
  });

  it('follows phase and amplitude without delay', () => {
    const x = turns.map((t, n) => (1 + n / turns.length) * Math.cos(2 * Math.PI * 10 * t + 0.7));
    const { amplitude, phase } = trackOrder(
      x,
      turns.map((t) => 10 * t),
      RATE,
      4,
    );
    for (let n = RATE; n < 11 * RATE; n += 500) {
      expect(amplitude[n]).toBeCloseTo(1 + n / turns.length, 3);
      expect(phase[n]).toBeCloseTo(0.7, 3);
    }
  });

  it('is linear, silent in silence, and takes a single sample', () => {
    const angle = turns.subarray(0, 500).map((t) => 5 * t);
    fc.assert(
      fc.property(samples(500, 500), (x) => {
        const once = trackOrder(x, angle, RATE, 50).waveform;
        const twice = trackOrder(
          x.map((v) => 2 * v),
          angle,
          RATE,
          50,
        ).waveform;
        once.forEach((v, i) => {
          expect(Math.abs(2 * v - twice[i]!)).toBeLessThan(1e-6);
        });
      }),
      { numRuns: 5 },
    );
    expect(trackOrder(new Float64Array(500), angle, RATE, 50).amplitude.every((v) => v === 0)).toBe(true);
    expect(trackOrder([1], [0], RATE, 50).waveform).toHaveLength(1);
  });

  it('refuses NaN, infinity, other lengths and impossible bandwidths', () => {
    fc.assert(
      fc.property(spoiled(30), (x) => {
        expect(() => trackOrder(x, new Float64Array(30), RATE, 5)).toThrow(/samples/);
      }),
    );
    expect(() => trackOrder([1, 2], [0], RATE, 5)).toThrow(/equally long/);
    expect(() => trackOrder([], [], RATE, 5)).toThrow(/empty/);
    expect(() => trackOrder([1], [0], RATE, RATE)).toThrow(/bandwidth/);
  });
});

describe('synchronous average', () => {
  it('takes out what repeats with the shaft and leaves the rest', () => {
    const x = recording(
      sweep,
      12,
      RATE,
      [
        { order: 3, rms: 1 },
        { order: 5.43, rms: 0.2 },
      ],
      0,
    );
    const signal = resampleToAngle(x, RATE, sweep, 64)!;
    const { average, residual, periods } = synchronousAverage(signal);
    const meanSquare = (v: Float64Array) => v.reduce((sum, a) => sum + a * a, 0) / v.length;
    expect(periods).toBe(Math.floor(signal.samples.length / 64));
    expect(Math.sqrt(meanSquare(average))).toBeCloseTo(1, 2);
    expect(Math.sqrt(meanSquare(residual.subarray(640, residual.length - 640)))).toBeCloseTo(0.2, 2);
  });

  it('noise falls by the root of the periods', () => {
    const noise = gaussianNoise(64 * 400, 4);
    const { average } = synchronousAverage({ samples: noise, samplesPerTurn: 64, firstTurn: 0, t_s: noise });
    const rms = Math.sqrt(average.reduce((sum, a) => sum + a * a, 0) / 64);
    expect(rms * 20).toBeGreaterThan(0.7);
    expect(rms * 20).toBeLessThan(1.3);
  });

  it('needs a whole period', () => {
    const short = new Float64Array(10);
    expect(() =>
      synchronousAverage({ samples: short, samplesPerTurn: 64, firstTurn: 0, t_s: short }),
    ).toThrow(/period/);
  });
});
