import { describe, expect, it } from 'vitest';
import { runsWithEngineHeard, withCrankHeard } from '../../shared/diagnosis/crank-heard.ts';
import type { ChannelMeasure } from '../../shared/diagnosis/measure-run.ts';
import type { RunningGear } from '../../shared/driveline/runningGear.ts';
import { type Line, pickup } from './order-lines.ts';

/**
 * The lines are those of the four-stroke cycle: an engine repeats after two turns, so all its lines are multiples of
 * half a turn, and with n cylinders that fire in even spacing multiples of n / 2 turns lead (Heywood, Internal
 * Combustion Engine Fundamentals, 1988, ch. 1 and 2, from memory).
 */
const RATIO = 3.91;
const FIRING = [2, 4, 6, 8];
const WHOLE = [1, 3];
const HALVES = [0.5, 1.5, 2.5, 3.5];
const engine = (crank: number, turns = [...FIRING, ...WHOLE, ...HALVES]): Line[] =>
  turns.map((turn) => ({ order: turn * crank, power: FIRING.includes(turn) ? 1 : 0.05 }));

const FOUR: RunningGear = { layout: 'rwd', engine: { cylinders: 4 } };
const crankOf = (channels: readonly ChannelMeasure[]) =>
  channels.flatMap((c) => c.stretches.map((s) => s.stretch.shafts.crank));

describe('the engine tells how fast it turns', () => {
  it('behind a final drive whose teeth nobody counted, and so the propshaft too', () => {
    const before = [
      pickup(
        FOUR,
        0,
        'engine-mount',
        { gearRatio: 0.8, lines: engine(0.8 * RATIO) },
        { gearRatio: 1.1, lines: engine(1.1 * RATIO) },
      ),
      pickup(FOUR, 0, 'hub-rear-left', { gearRatio: 0.8, lines: [] }, { gearRatio: 1.1, lines: [] }),
    ];
    const after = withCrankHeard(FOUR, before);
    for (const { stretches } of after) {
      const [high, low] = stretches.map((s) => s.stretch.shafts);
      expect(high!.crank! / (0.8 * RATIO)).toBeCloseTo(1, 2);
      expect(low!.crank! / (1.1 * RATIO)).toBeCloseTo(1, 2);
      expect(high!.propshaft! / RATIO).toBeCloseTo(1, 2);
    }
    expect(runsWithEngineHeard(before, after)).toEqual(new Set([0]));
  });

  it('in a gear that nobody noted, if its half turns are heard', () => {
    const heard = (lines: Line[]) =>
      crankOf(withCrankHeard(FOUR, [pickup(FOUR, 0, 'engine-mount', { lines })]));
    expect(heard(engine(4.3))[0]! / 4.3).toBeCloseTo(1, 2);
    // Without them it may be one of twice as many turns.
    expect(heard(engine(4.3, [...FIRING, ...WHOLE]))).toEqual([null]);
  });

  it('behind the rear final drive of a car whose two are unequal', () => {
    const both: RunningGear = {
      ...FOUR,
      layout: 'awd',
      finalDrive: { front: { ringTeeth: 41, pinionTeeth: 10 }, rear: { ringTeeth: 37, pinionTeeth: 11 } },
    };
    const heard = (crank: number) =>
      crankOf(
        withCrankHeard(both, [pickup(both, 0, 'engine-mount', { gearRatio: 0.8, lines: engine(crank) })]),
      );
    expect(heard((0.8 * 37) / 11)[0]).toBeCloseTo((0.8 * 37) / 11, 6);
    expect(heard((0.8 * 41) / 10)[0]).toBeCloseTo((0.8 * 41) / 10, 6);
    expect(heard(9)[0]).toBeCloseTo((0.8 * 41) / 10, 6);
  });
});

describe('what is not an engine says nothing', () => {
  const silent = (vehicle: RunningGear, lines: Line[], gearRatio: number | null = 0.8) => {
    const before = [pickup(vehicle, 0, 'engine-mount', { gearRatio, lines })];
    const after = withCrankHeard(vehicle, before);
    expect(crankOf(after)).toEqual([null]);
    expect(runsWithEngineHeard(before, after)).toEqual(new Set());
  };

  it('a gear’s mesh with its second multiple and sidebands', () => {
    const mesh = [29, 58, 28, 30, 29 - RATIO, 29 + RATIO];
    silent(
      FOUR,
      mesh.map((order) => ({ order, power: 1 })),
    );
  });

  it('the wheels’ own multiples', () => {
    silent(
      FOUR,
      Array.from({ length: 8 }, (_, k) => ({ order: k + 1, power: 1 })),
    );
  });

  it('a floor', () => silent(FOUR, []));

  it('an electric car has none', () => {
    silent({ layout: 'rwd', electricDrive: true }, engine(0.8 * RATIO));
  });

  it('without gear and cylinders too many combs fit', () => silent({ layout: 'rwd' }, engine(4.3), null));
});
