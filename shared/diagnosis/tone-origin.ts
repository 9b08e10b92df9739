import type { RunningGear } from '../driveline/runningGear.ts';
import { APART, familyLines } from './family-lines.ts';
import type { ShaftTurns } from './shaft-turns.ts';

/**
 * The shaft or gear whose whole turns give a tone, as far as arithmetic tells; stray when none does. `driveline` is for
 * a stray tone that keeps its place against the wheels when the gear is changed: something behind the gearbox.
 */
export const TONE_ORIGINS = [
  'mesh',
  'propshaft',
  'crank',
  'gearboxInput',
  'gearboxOutput',
  'driveline',
  'wheel',
  'stray',
] as const;
export type ToneOrigin = (typeof TONE_ORIGINS)[number];

/** A tone's order is known to about a bin, and to a thousandth. */
const WITHIN = APART / 2;
const WITHIN_SHARE = 1e-3;
/** Multiples that a shaft's own unevenness reaches; half turns of a crankshaft up to as many. */
const SHAFT_MULTIPLES = 8;
const HALF_TURNS = 32;
/** Teeth of a pinion that drives a ring gear (common practice, from memory). */
const PINION_TEETH = [7, 17] as const;
/** Teeth of gearbox gears (common practice, from memory), and twice as many for the second multiple of a mesh. */
const TEETH = [13, 100] as const;

export const nearOrder = (order: number, line: number): boolean =>
  Math.abs(order - line) <= WITHIN + WITHIN_SHARE * order;

/**
 * Sorts tones by what could make them. Where several could, the one with the fewest lines is taken: a mesh has a few,
 * a wheel one at every whole order.
 */
export function toneOrigins(vehicle: RunningGear, turns: ShaftTurns): (order: number) => ToneOrigin {
  const { meshFront, meshRear } = familyLines(vehicle, turns);
  const { crank, propshaft } = turns;
  const mesh = [...meshFront, ...meshRear];
  const isMultiple = (order: number, shaft: number | null, least: number, most: number): boolean => {
    if (shaft === null) return false;
    const multiple = Math.round(order / shaft);
    return multiple >= least && multiple <= most && nearOrder(order, multiple * shaft);
  };
  return (order) => {
    if (mesh.some((line) => nearOrder(order, line))) return 'mesh';
    if (mesh.length === 0 && isMultiple(order, turns.gearboxOutput, ...PINION_TEETH)) return 'mesh';
    if (isMultiple(order, propshaft, 1, SHAFT_MULTIPLES)) return 'propshaft';
    if (isMultiple(order, crank === null ? null : crank / 2, 1, HALF_TURNS)) return 'crank';
    if (isMultiple(order, turns.gearboxInput, ...TEETH)) return 'gearboxInput';
    if (isMultiple(order, turns.gearboxOutput, ...TEETH)) return 'gearboxOutput';
    return isMultiple(order, 1, 1, Number.POSITIVE_INFINITY) ? 'wheel' : 'stray';
  };
}
