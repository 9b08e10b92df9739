import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitSine, fitSineAt } from '../../shared/dsp/sine-fit.ts';

const RATE = 6000;
const tone = (n: number, hz: number, rms: number, offset = 0, phase = 0.3) =>
  Float64Array.from(
    { length: n },
    (_, i) => offset + Math.SQRT2 * rms * Math.sin((2 * Math.PI * hz * i) / RATE + phase),
  );

describe('four-parameter sine fit', () => {
  it('finds frequency, RMS and offset of a pure tone to nine digits, from a start up to a third of a turn off', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 2500, noNaN: true }),
        fc.double({ min: 1e-4, max: 10, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.double({ min: -0.33, max: 0.33, noNaN: true }),
        (hz, rms, offset, phase, turnsOff) => {
          const n = 6000;
          const fit = fitSine(tone(n, hz, rms, offset, phase), RATE, hz + (turnsOff * RATE) / n)!;
          expect(Math.abs(fit.frequency_Hz / hz - 1)).toBeLessThan(1e-9);
          expect(Math.abs(fit.rms / rms - 1)).toBeLessThan(1e-9);
          expect(Math.abs(fit.offset - offset)).toBeLessThan(1e-9 * (1 + rms));
        },
      ),
      { numRuns: 60, seed: 5 },
    );
  });

  it('leaves over what is not the tone', () => {
    const n = 24_000;
    const other = tone(n, 411, 0.03);
    const signal = tone(n, 159.155, 1).map((x, i) => x + other[i]!);
    const fit = fitSine(signal, RATE, 159)!;
    expect(fit.rms).toBeCloseTo(1, 4);
    expect(fit.residualRms).toBeCloseTo(0.03, 4);
  });

  it('at a known frequency finds the same tone without searching', () => {
    const fit = fitSineAt(tone(3000, 159.155, 0.7, 0.2), RATE, 159.155)!;
    expect(fit.rms).toBeCloseTo(0.7, 10);
    expect(fit.offset).toBeCloseTo(0.2, 10);
    expect(fit.residualRms).toBeLessThan(1e-10);
  });

  it('says when no tone is near the start', () => {
    const fit = fitSine(tone(6000, 300, 1), RATE, 159);
    if (fit) expect(fit.rms).toBeLessThan(0.05);
  });

  it('refuses NaN, infinity, too few samples and a rate that is none', () => {
    expect(() => fitSine(Float64Array.of(...tone(100, 500, 1), Number.NaN), RATE, 500)).toThrow(RangeError);
    expect(() => fitSine(tone(20, 100, 1), RATE, 100)).toThrow(/fewer than 3 turns/);
    expect(() => fitSine(tone(100, 500, 1), 0, 500)).toThrow(RangeError);
  });
});
