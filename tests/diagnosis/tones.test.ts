import { expect, it } from 'vitest';
import { knownTurns } from '../../shared/diagnosis/shaft-turns.ts';
import { toneOrigins } from '../../shared/diagnosis/tone-origin.ts';
import { tones } from '../../shared/diagnosis/tones.ts';
import { type Line, pickup } from './order-lines.ts';

const UNKNOWN = { layout: 'rwd' } as const;
const channel = (run: number, position: string, lines: readonly Line[]) =>
  pickup(UNKNOWN, run, position, { lines });

it('gives each clear line once, at every pickup of its run, in dB', () => {
  const found = tones(UNKNOWN, [
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
  expect(tones(UNKNOWN, [channel(0, 'transmission', [])])).toEqual([]);
  expect(tones(UNKNOWN, [channel(0, 'transmission', [{ order: 1, power: 1 }])])).toEqual([]);
});

const KNOWN = {
  layout: 'rwd',
  finalDrive: { rear: { ringTeeth: 41, pinionTeeth: 11 } },
  engine: { cylinders: 4 },
} as const;
/** Turns of the propshaft for one turn of a wheel. */
const RATIO = 41 / 11;

it('says by arithmetic what could make a tone', () => {
  const originOf = toneOrigins(KNOWN, knownTurns(KNOWN, 1.5));
  const orders = {
    mesh: 41,
    propshaft: RATIO,
    crank: 1.5 * 1.5 * RATIO,
    gearboxInput: 25 * 1.5 * RATIO,
    gearboxOutput: 31 * RATIO,
    wheel: 7,
    stray: 10.37,
  };
  for (const [origin, order] of Object.entries(orders)) expect(originOf(order), origin).toBe(origin);
  expect(toneOrigins(KNOWN, knownTurns(KNOWN, null))(orders.crank)).toBe('stray');
  // Teeth that nobody counted: a pinion has from 7 to 17 of them.
  const heard = { crank: 1.5 * RATIO, gearboxInput: 1.5 * RATIO, propshaft: RATIO, gearboxOutput: RATIO };
  expect(toneOrigins(UNKNOWN, heard)(orders.mesh)).toBe('mesh');
  expect(toneOrigins(UNKNOWN, heard)(31 * RATIO)).toBe('gearboxOutput');
});

it('listens in each gear by itself, and knows the gearbox’s input by what keeps its place against it', () => {
  const inGear = (gearRatio: number, order: number) => ({ gearRatio, lines: [{ order, power: 1 }] });
  const heardIn = (...stretches: ReturnType<typeof inGear>[]) =>
    tones(KNOWN, [pickup(KNOWN, 0, 'transmission', ...stretches)]).map((t) => t.origin);
  const firing = (gear: number) => 2 * gear * RATIO;
  expect(heardIn(inGear(1.4, firing(1.4)), inGear(1.2, firing(1.2)))).toEqual(['crank', 'crank']);
  // A belt-driven pulley: at 2.37 turns of the crankshaft, which no arithmetic knows.
  const pulley = (gear: number) => 2.37 * gear * RATIO;
  expect(heardIn(inGear(1.5, pulley(1.5)))).toEqual(['stray']);
  expect(heardIn(inGear(1.5, pulley(1.5)), inGear(1.2, pulley(1.2)))).toEqual([
    'gearboxInput',
    'gearboxInput',
  ]);
  // What keeps its place against the wheels does not turn with the engine.
  expect(heardIn(inGear(1.5, 13.25), inGear(1.2, 13.25))).toEqual(['driveline', 'driveline']);
});
