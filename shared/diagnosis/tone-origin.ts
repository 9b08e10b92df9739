import type { RunningGear } from '../driveline/runningGear.ts';
import { APART, familyLines } from './family-lines.ts';

/** The shaft or gear whose whole turns give a tone, as far as arithmetic tells; stray when none does. */
export const TONE_ORIGINS = ['mesh', 'propshaft', 'crank', 'wheel', 'stray'] as const;
export type ToneOrigin = (typeof TONE_ORIGINS)[number];

/** A tone's order is known to about a bin, and to a thousandth. */
const WITHIN = APART / 2;
const WITHIN_SHARE = 1e-3;
/** Multiples that a shaft's own unevenness reaches; half turns of a crankshaft up to as many. */
const SHAFT_MULTIPLES = 8;
const HALF_TURNS = 32;

/**
 * Sorts tones by what could make them. Where several could, the one with the fewest lines is taken: a mesh has a few,
 * a wheel one at every whole order.
 * @param gearRatio engine turns per turn of the gearbox output; null when not known or not the same throughout
 */
export function toneOrigins(vehicle: RunningGear, gearRatio: number | null): (order: number) => ToneOrigin {
  const { meshFront, meshRear, propshaft, crank } = familyLines(vehicle, gearRatio);
  const mesh = [...meshFront, ...meshRear];
  const near = (order: number, line: number): boolean =>
    Math.abs(order - line) <= WITHIN + WITHIN_SHARE * order;
  const isMultiple = (order: number, shaft: number | null, most: number): boolean => {
    if (shaft === null) return false;
    const multiple = Math.round(order / shaft);
    return multiple >= 1 && multiple <= most && near(order, multiple * shaft);
  };
  return (order) => {
    if (mesh.some((line) => near(order, line))) return 'mesh';
    if (isMultiple(order, propshaft, SHAFT_MULTIPLES)) return 'propshaft';
    if (isMultiple(order, crank === null ? null : crank / 2, HALF_TURNS)) return 'crank';
    return isMultiple(order, 1, Number.POSITIVE_INFINITY) ? 'wheel' : 'stray';
  };
}
