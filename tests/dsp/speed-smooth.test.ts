import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { smoothSpeed } from '../../shared/dsp/speed-smooth.ts';
import { notFinite } from './arbitraries.ts';

const drives = {
  sweep: (t: number) => 40 * 3 ** (t / 30),
  steady: () => 82.3,
  winding: (t: number) => 80 + 10 * Math.sin(t / 3),
};

describe('smooth speed from rounded readings', () => {
  for (const [name, speed] of Object.entries(drives)) {
    for (const everySecond of [1, 10]) {
      it(`${name}, ${everySecond} a second: within the rounding, and its sigma covers the error`, () => {
        const t = Array.from({ length: 30 * everySecond + 1 }, (_, i) => i / everySecond);
        const smooth = smoothSpeed(
          t,
          t.map((s) => Math.round(speed(s))),
        );
        let within = 0;
        smooth.t_s.forEach((s, i) => {
          const error = Math.abs(smooth.value[i]! - speed(s));
          expect(error).toBeLessThan(0.6);
          if (error < 2 * smooth.sigma[i]!) within++;
        });
        expect(within / smooth.t_s.length).toBeGreaterThan(0.9);
        expect(smooth.quantum).toBe(1);
      });
    }
  }

  it('knows readings that were rounded in miles from readings that were not rounded', () => {
    const t = Array.from({ length: 40 }, (_, i) => i);
    const miles = t.map((s) => Math.round(30 + s / 3) * 1.609344);
    expect(smoothSpeed(t, miles).quantum).toBeCloseTo(1.609344, 9);
    const fine = t.map((s) => 50 + s / 3 + 0.137 * Math.sin(s * s));
    expect(smoothSpeed(t, fine).quantum).toBe(0);
  });

  it('a straight line of unrounded readings comes back as it is', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 100, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        (start, slope) => {
          const t = Array.from({ length: 20 }, (_, i) => i * 0.7);
          const smooth = smoothSpeed(
            t,
            t.map((s) => start + slope * s + Math.PI * 1e-7),
          );
          smooth.t_s.forEach((s, i) => {
            expect(Math.abs(smooth.value[i]! - start - slope * s)).toBeLessThan(0.51 + 1e-3 * start);
          });
        },
      ),
    );
  });

  it('refuses too few readings, times that fall, NaN and infinity', () => {
    expect(() => smoothSpeed([0, 1], [50, 51])).toThrow(/three/);
    expect(() => smoothSpeed([0, 0, 0], [50, 51, 52])).toThrow(/span/);
    expect(() => smoothSpeed([0, 1], [50, 51, 52])).toThrow(/equally long/);
    expect(() => smoothSpeed([1, 0, 2], [50, 51, 52])).toThrow(/t_s/);
    fc.assert(
      fc.property(notFinite, (bad) => {
        expect(() => smoothSpeed([0, 1, 2, 3], [50, bad, 52, 53])).toThrow(/readings/);
        expect(() => smoothSpeed([0, 1, bad, 3], [50, 51, 52, 53])).toThrow(/t_s/);
      }),
    );
  });
});
