import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cyclicCoherence } from '../../shared/dsp/cyclic-coherence.ts';
import { butterworthBandpass, sosFilter } from '../../shared/dsp/sos.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';
import { spoiled } from './arbitraries.ts';

const RATE = 12_000;
const noise = gaussianNoise(10 * RATE, 31);

describe('cyclic coherence', () => {
  it('shows the band that is modulated, at the rate of the modulation and at no other', () => {
    // A quiet band from 3 to 4 kHz, modulated at 87 Hz, under steady noise that is everywhere.
    const band = sosFilter(butterworthBandpass(4, 3000, 4000, RATE), gaussianNoise(10 * RATE, 32));
    const x = noise.map((v, n) => 0.2 * v + band[n]! * (1 + Math.cos((2 * Math.PI * 87 * n) / RATE)));
    const at = cyclicCoherence(x, RATE, 87, 256);
    const mean = (c: typeof at, from: number, to: number) => {
      const part = c.value.slice(Math.round(from / c.step_Hz), Math.round(to / c.step_Hz));
      return part.reduce((a, b) => a + b, 0) / part.length;
    };
    expect(mean(at, 3200, 3800)).toBeGreaterThan(20 * at.threshold);
    expect(mean(at, 500, 2000)).toBeLessThan(at.threshold);
    expect(mean(cyclicCoherence(x, RATE, 113, 256), 3200, 3800)).toBeLessThan(at.threshold);
  });

  it('steady noise exceeds the threshold in about one bin of a hundred', () => {
    let above = 0;
    let all = 0;
    for (let alpha = 70; alpha < 110; alpha += 2) {
      const { value, threshold } = cyclicCoherence(noise, RATE, alpha, 256);
      value.forEach((v) => {
        all++;
        if (v > threshold) above++;
      });
    }
    expect(above / all).toBeLessThan(0.02);
    expect(above / all).toBeGreaterThan(0.003);
  });

  it('lies between 0 and 1, is 0 in silence and does not depend on the scale', () => {
    const x = noise.subarray(0, 5000);
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (scale) => {
        const once = cyclicCoherence(x, RATE, 50, 128).value;
        const scaled = cyclicCoherence(
          x.map((v) => v * scale),
          RATE,
          50,
          128,
        ).value;
        once.forEach((v, k) => {
          expect(v).toBeGreaterThanOrEqual(0);
          expect(v).toBeLessThanOrEqual(1 + 1e-9);
          expect(Math.abs(v - scaled[k]!)).toBeLessThan(1e-9);
        });
      }),
      { numRuns: 5 },
    );
    expect(cyclicCoherence(new Float64Array(5000), RATE, 50, 128).value.every((v) => v === 0)).toBe(true);
  });

  it('refuses NaN, infinity, too short a record and impossible rates', () => {
    fc.assert(
      fc.property(spoiled(200), (x) => {
        expect(() => cyclicCoherence(x, RATE, 50, 16)).toThrow(/samples/);
      }),
    );
    expect(() => cyclicCoherence(new Float64Array(100), RATE, 50, 64)).toThrow(/blocks/);
    expect(() => cyclicCoherence(noise, RATE, RATE, 64)).toThrow(/alpha/);
  });
});
