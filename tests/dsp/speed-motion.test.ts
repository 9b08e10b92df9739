import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  geared,
  motionFromSpeed,
  rateAt,
  timesOfTurns,
  turnsAtSamples,
} from '../../shared/dsp/speed-motion.ts';

const someMotion = fc
  .array(
    fc.tuple(fc.double({ min: 0.05, max: 2, noNaN: true }), fc.double({ min: 1, max: 40, noNaN: true })),
    {
      minLength: 2,
      maxLength: 20,
    },
  )
  .map((knots) => {
    let t = 0;
    return motionFromSpeed(
      knots.map(([step]) => (t += step)),
      knots.map(([, hz]) => hz),
    );
  });

describe('shaft motion', () => {
  it('a shaft that speeds up evenly turns by the mean rate times the time', () => {
    const motion = motionFromSpeed([0, 10], [5, 15]);
    expect(motion.turns[1]).toBeCloseTo(100, 12);
    expect(rateAt(motion, 2.5)).toBeCloseTo(7.5, 12);
    const [, half] = turnsAtSamples(motion, 0, 0.2, 2);
    expect(half).toBeCloseTo(5 * 5 + 0.5 * 25, 9);
  });

  it('times and turns are each other’s inverse', () => {
    fc.assert(
      fc.property(someMotion, (motion) => {
        const last = motion.turns[motion.turns.length - 1]!;
        const times = timesOfTurns(motion, 0, last / 50, 51);
        for (let i = 0; i < 51; i++) {
          const turns = turnsAtSamples(motion, times[i]!, 1, 1)[0]!;
          expect(Math.abs(turns - (i * last) / 50)).toBeLessThan(1e-8 * Math.max(1, last));
          if (i > 0) expect(times[i]).toBeGreaterThan(times[i - 1]!);
        }
      }),
    );
  });

  it('a geared shaft turns in proportion', () => {
    const motion = motionFromSpeed([0, 1, 3], [4, 6, 5]);
    const propshaft = geared(motion, 41 / 11);
    expect(rateAt(propshaft, 1.7)).toBeCloseTo((rateAt(motion, 1.7) * 41) / 11, 12);
  });

  it('refuses what no shaft does', () => {
    expect(() => motionFromSpeed([0, 1], [5, 0])).toThrow(/must turn/);
    expect(() => motionFromSpeed([0, 0], [5, 5])).toThrow(/rise/);
    expect(() => motionFromSpeed([0], [5])).toThrow(/two knots/);
    expect(() => motionFromSpeed([0, Number.NaN], [5, 5])).toThrow(/t_s/);
    expect(() => motionFromSpeed([0, 1], [5, Number.POSITIVE_INFINITY])).toThrow(/hz/);
    expect(() => geared(motionFromSpeed([0, 1], [5, 5]), Number.NaN)).toThrow(/factor/);
    expect(() => timesOfTurns(motionFromSpeed([0, 1], [5, 5]), 0, 1, 7)).toThrow(/outside/);
  });
});
