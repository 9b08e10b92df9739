import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { prewhitened, realCepstrum } from '../../shared/dsp/cepstrum.ts';
import { envelopeSpectrum, squaredEnvelopes } from '../../shared/dsp/envelope.ts';
import { demodulationBands, impulsiveBand, spectralKurtosis } from '../../shared/dsp/spectral-kurtosis.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';
import { samples, spoiled } from './arbitraries.ts';

const RATE = 12_000;

describe('squared envelope', () => {
  it('of a modulated tone is the square of its modulation', () => {
    const x = Float64Array.from({ length: 8192 }, (_, n) => {
      const t = n / RATE;
      return (1 + 0.5 * Math.cos(2 * Math.PI * 30 * t)) * Math.cos(2 * Math.PI * 3000 * t);
    });
    const [envelope] = squaredEnvelopes(x, RATE, [[2500, 3500]]);
    for (let n = 300; n < envelope!.samples.length - 300; n += 7) {
      const t = n / envelope!.sampleRate_Hz;
      expect(envelope!.samples[n]).toBeCloseTo((1 + 0.5 * Math.cos(2 * Math.PI * 30 * t)) ** 2, 2);
    }
  });

  it('has its line at the rate of the modulation, where one stone changes nothing', () => {
    const noise = gaussianNoise(6 * RATE, 5);
    const x = noise.map((v, n) => v * (1 + 0.5 * Math.cos((2 * Math.PI * 87 * n) / RATE)));
    const strongest = (signal: Float64Array): number => {
      const { power, step } = envelopeSpectrum(squaredEnvelopes(signal, RATE, [[1000, 5000]])[0]!, 300);
      let best = Math.ceil(5 / step);
      for (let k = best; k < power.length; k++) if (power[k]! > power[best]!) best = k;
      return best * step;
    };
    expect(strongest(x)).toBeCloseTo(87, 0);
    for (let n = 0; n < 60; n++) x[20_000 + n]! += 300 * Math.exp(-n / 10) * Math.sin(2 * n);
    expect(strongest(x)).toBeCloseTo(87, 0);
  });

  it('keeps the energy of the band: its mean is twice the band’s mean square', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1000 }), (seed) => {
        const x = gaussianNoise(16_384, seed);
        const [envelope] = squaredEnvelopes(x, RATE, [[0.1, RATE / 2]]);
        const mean = (v: ArrayLike<number>) => Array.from(v).reduce((sum, a) => sum + a, 0) / v.length;
        expect(mean(envelope!.samples)).toBeCloseTo(2 * mean(x.map((v) => v * v)), 1);
      }),
      { numRuns: 10 },
    );
  });

  it('refuses NaN, infinity, nothing, and bands outside the signal', () => {
    fc.assert(
      fc.property(spoiled(40), (x) => {
        expect(() => squaredEnvelopes(x, RATE, [[1000, 2000]])).toThrow(/samples/);
      }),
    );
    expect(() => squaredEnvelopes([], RATE, [])).toThrow(/empty/);
    expect(() => squaredEnvelopes(new Float64Array(99), RATE, [[7000, 9000]])).toThrow(/band/);
    expect(squaredEnvelopes([1], RATE, [[1000, 5000]])).toHaveLength(1);
  });
});

describe('cepstrum', () => {
  it('shows an echo at its delay (Bogert, Healy & Tukey 1963: why the cepstrum was made)', () => {
    const noise = gaussianNoise(8192, 2);
    const delay = 240;
    const x = noise.map((v, n) => v + (n >= delay ? 0.6 * noise[n - delay]! : 0));
    const cepstrum = realCepstrum(x);
    let best = 50;
    for (let n = 50; n < 1000; n++) if (cepstrum[n]! > cepstrum[best]!) best = n;
    expect(best).toBe(delay);
    // Of 1 + a z^-d the first rahmonic of the real cepstrum is a / 2.
    expect(cepstrum[delay]).toBeCloseTo(0.3, 1);
  });

  it('pre-whitening leaves no tone: its own cepstrum is zero', () => {
    const x = gaussianNoise(4096, 6).map((v, n) => v + 20 * Math.cos(n));
    const white = prewhitened(x);
    expect(white.reduce((sum, v) => sum + v * v, 0) / white.length).toBeCloseTo(1, 2);
    // 0 Hz is without the mean and so the one bin that is not one.
    expect(
      realCepstrum(white)
        .slice(1)
        .every((v) => Math.abs(v) < 0.02),
    ).toBe(true);
  });

  it('does not depend on the scale of the signal; silence stays silence', () => {
    fc.assert(
      fc.property(samples(64, 64), fc.double({ min: 0.1, max: 100, noNaN: true }), (x, scale) => {
        const a = prewhitened(x);
        const b = prewhitened(x.map((v) => v * scale));
        a.forEach((v, i) => {
          expect(Math.abs(v)).toBeLessThanOrEqual(Math.sqrt(64) + 1e-9);
          expect(Number.isFinite(b[i]!)).toBe(true);
        });
      }),
    );
    expect(prewhitened(new Float64Array(10)).every((v) => v === 0)).toBe(true);
    expect(realCepstrum(new Float64Array(10)).every(Number.isFinite)).toBe(true);
  });

  it('refuses NaN, infinity and nothing', () => {
    fc.assert(
      fc.property(spoiled(20), (x) => {
        expect(() => prewhitened(x)).toThrow(/samples/);
        expect(() => realCepstrum(x)).toThrow(/samples/);
      }),
    );
    expect(() => prewhitened([])).toThrow(/empty/);
  });
});

describe('spectral kurtosis', () => {
  const noise = gaussianNoise(10 * RATE, 11);
  const highest = (values: Float64Array): number => {
    let best = 1;
    for (let k = 1; k < values.length - 1; k++) if (values[k]! > values[best]!) best = k;
    return best;
  };

  it('is 0 for Gaussian noise and -1 for a tone (Antoni 2006)', () => {
    const { value } = spectralKurtosis(noise, RATE, 256);
    const mean = value.slice(1, -1).reduce((a, b) => a + b, 0) / (value.length - 2);
    expect(mean).toBeCloseTo(0, 1);
    const tone = noise.map((v, n) => 0.01 * v + Math.cos((2 * Math.PI * 20 * n) / 256));
    expect(spectralKurtosis(tone, RATE, 256).value[20]).toBeCloseTo(-1, 1);
  });

  it('is highest where knocks ring, and is not led astray by one stone', () => {
    const ring = (x: Float64Array, at: number, peak: number, hz: number) => {
      for (let n = 0; n < 100 && at + n < x.length; n++) {
        x[at + n]! += peak * Math.exp(-n / 10) * Math.sin((2 * Math.PI * hz * n) / RATE);
      }
    };
    const x = noise.slice();
    for (let at = 100; at < x.length; at += 240) ring(x, at, 4, 4000);
    ring(x, 50_000, 500, 1500);
    const { value, step_Hz } = spectralKurtosis(x, RATE, 64);
    expect(Math.abs(highest(value) * step_Hz - 4000)).toBeLessThan(600);
    const [low, high] = impulsiveBand(x, RATE, 1000, 50)!;
    expect(high - low).toBeGreaterThanOrEqual(1000);
    expect(low).toBeGreaterThan(2000);
    expect(low).toBeLessThan(4000);
    expect(high).toBeGreaterThan(4000);
  });

  it('names no band in steady noise, with or without a stone', () => {
    expect(impulsiveBand(noise, RATE, 1000, 50)).toBeNull();
    const stone = noise.slice();
    for (let n = 0; n < 60; n++) stone[20_000 + n]! += 300 * Math.exp(-n / 10);
    expect(impulsiveBand(stone, RATE, 1000, 50)).toBeNull();
    expect(impulsiveBand(noise.subarray(0, 200), RATE, 1000, 50)).toBeNull();
  });

  it('needs enough frames, and refuses NaN and infinity', () => {
    expect(() => spectralKurtosis(noise.subarray(0, 500), RATE, 256)).toThrow(/frames/);
    fc.assert(
      fc.property(spoiled(40), (x) => {
        expect(() => spectralKurtosis(x, RATE, 4)).toThrow(/samples/);
      }),
    );
  });

  it('bands to look in cover everything up to the anti-alias filter', () => {
    const bands = demodulationBands(48_000);
    expect(bands[bands.length - 1]).toEqual([500, 0.48 * 48_000]);
    for (let f = 600; f < 16_000; f *= 1.1) {
      expect(bands.filter(([lo, hi]) => lo <= f && f <= hi).length).toBeGreaterThanOrEqual(2);
    }
    expect(() => demodulationBands(800)).toThrow(/no band/);
    expect(() => demodulationBands(Number.NaN)).toThrow(/sampleRate/);
  });
});
