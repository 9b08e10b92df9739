import { expect, it } from 'vitest';
import type { ChannelMeasure } from '../../shared/diagnosis/measure-run.ts';
import { toneOrigins } from '../../shared/diagnosis/tone-origin.ts';
import { tones } from '../../shared/diagnosis/tones.ts';

const STEP = 1 / 16;
const BINS = 1200;
/** A Hann line over a flat floor. */
function spectrum(lines: readonly { order: number; power: number }[]) {
  const power = new Float64Array(BINS).fill(1e-4);
  for (const line of lines) {
    const k = Math.round(line.order / STEP);
    power[k] = power[k]! + line.power;
    for (const side of [k - 1, k + 1]) power[side] = power[side]! + line.power / 4;
  }
  return { step: STEP, power, noiseBandwidth_bins: 1.5, blocks: 50 };
}
const channel = (
  run: number,
  position: string,
  lines: { order: number; power: number }[],
): ChannelMeasure => ({
  run,
  channel: 1,
  position,
  grade: 'sharp',
  stretches: [
    {
      stretch: { from_s: 0, to_s: 10, state: 'drive', gearRatio: null, wheel_Hz: 11 },
      bands: new Float64Array(35),
      orders: spectrum(lines),
      envelopes: [],
    },
  ],
});

it('gives each clear line once, at every pickup of its run, in dB', () => {
  const found = tones({ layout: 'rwd' }, [
    channel(0, 'transmission', [{ order: 37, power: 1 }]),
    channel(0, 'hub-rear-left', [{ order: 37, power: 0.01 }]),
    channel(1, 'hub-rear-left', [{ order: 21, power: 0.1 }]),
  ]);
  expect(found.map((t) => [t.run, t.order])).toEqual([
    [0, 37],
    [1, 21],
  ]);
  const [there, here] = found[0]!.heard.map((h) => h.level_db);
  expect(there! - here!).toBeCloseTo(20, 0);
  expect(found[0]!.heard[0]!.over_db).toBeGreaterThan(found[0]!.heard[1]!.over_db);
});

it('finds none in a floor, and leaves the wheels’ own turning to the wheels', () => {
  expect(tones({ layout: 'rwd' }, [channel(0, 'transmission', [])])).toEqual([]);
  expect(tones({ layout: 'rwd' }, [channel(0, 'transmission', [{ order: 1, power: 1 }])])).toEqual([]);
});

it('says by arithmetic what could make a tone, and no gear when it was changed', () => {
  const vehicle = {
    layout: 'rwd',
    finalDrive: { rear: { ringTeeth: 41, pinionTeeth: 11 } },
    engine: { cylinders: 4 },
  } as const;
  const originOf = toneOrigins(vehicle, 1.5);
  // The propshaft turns 41 / 11 = 3.727 times for a wheel's turn, the crankshaft 1.5 times that.
  const orders = { mesh: 41, propshaft: 41 / 11, crank: (1.5 * 1.5 * 41) / 11, wheel: 7, stray: 10.37 };
  for (const [origin, order] of Object.entries(orders)) expect(originOf(order), origin).toBe(origin);
  expect(toneOrigins(vehicle, null)(orders.crank)).toBe('stray');

  const drive = channel(0, 'transmission', [{ order: orders.crank, power: 1 }]);
  const inGear = (gearRatio: number) => ({
    ...drive.stretches[0]!,
    stretch: { ...drive.stretches[0]!.stretch, gearRatio },
  });
  const heardIn = (...gears: number[]) => tones(vehicle, [{ ...drive, stretches: gears.map(inGear) }]);
  expect(heardIn(1.5, 1.5).map((t) => t.origin)).toEqual(['crank']);
  expect(heardIn(1.5, 1.2).map((t) => t.origin)).toEqual(['stray']);
});
