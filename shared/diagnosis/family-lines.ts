import { bearingRates } from '../driveline/bearing.ts';
import { partOrders } from '../driveline/orders.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import type { FamilyId } from './observation.ts';

/** Which lines of the order spectrum belong to which family, in turns of a wheel, for the gear that is driven. */
export type FamilyLines = {
  readonly wheelTurning: readonly number[];
  readonly wheelMultiples: readonly number[];
  readonly meshFront: readonly number[];
  readonly meshRear: readonly number[];
  readonly propTurning: readonly number[];
  readonly engineFiring: readonly number[];
  /** Lines of known parts that must not be taken for something else, as centres. */
  readonly known: readonly number[];
  /** Turning rates whose whole multiples are known. */
  readonly shafts: readonly number[];
  /** Turns of the crankshaft for one turn of a wheel; null when not known. */
  readonly crank: number | null;
};

const WHEEL_MULTIPLES = [2, 3, 4, 5, 6, 7, 8] as const;

/** Two lines closer than this, in orders, cannot be told apart in a block of 16 turns. */
export const APART = 0.14;

/**
 * @param gearRatio engine turns per turn of the gearbox output, null when not known
 */
export function familyLines(vehicle: RunningGear, gearRatio: number | null): FamilyLines {
  const { lines, turnsPerWheelTurn } = partOrders(vehicle, gearRatio);
  const of = (test: (l: (typeof lines)[number]) => boolean): number[] =>
    lines.flatMap((l) => (l.orderAtWheel !== null && test(l) ? [l.orderAtWheel] : []));
  const wheelTurning = [1];
  const mesh = (axle: 'front' | 'rear'): number[] => {
    const centres = of((l) => l.kind === 'mesh' && l.part === `differential-${axle}`);
    const pair = vehicle.finalDrive?.[axle];
    const first = centres[0];
    if (!pair || first === undefined) return [];
    const ratio = pair.ringTeeth / pair.pinionTeeth;
    // Turning unevenness of either gear spreads the mesh into lines one turn of that gear away.
    return [...centres, first - 1, first + 1, first - ratio, first + ratio];
  };
  const meshFront = mesh('front');
  const meshRear = mesh('rear');
  const propTurning = of((l) => l.part === 'propshaft');
  // Any wheel is a little out of balance, which is its first order; an uneven tyre has many.
  const wheelMultiples = WHEEL_MULTIPLES.filter((w) => !propTurning.some((o) => Math.abs(w - o) < APART));
  const taken = [...wheelTurning, ...wheelMultiples, ...propTurning, ...meshFront, ...meshRear];
  const crank = turnsPerWheelTurn.engine;
  const cylinders = vehicle.engine?.cylinders ?? null;
  const firing = cylinders === null ? [] : [cylinders / 2, cylinders];
  // Half orders appear when the cylinders do not pull alike: a four-stroke repeats after two turns.
  const engineFiring =
    crank === null
      ? []
      : [...new Set([0.5, 1, 1.5, 2, ...firing])]
          .map((o) => o * crank)
          .filter((o) => !taken.some((t) => Math.abs(t - o) < APART));
  const shafts = [1];
  if (turnsPerWheelTurn.propshaft !== null) shafts.push(turnsPerWheelTurn.propshaft);
  if (crank !== null) shafts.push(crank / 2);
  return {
    wheelTurning,
    wheelMultiples,
    meshFront,
    meshRear,
    propTurning,
    engineFiring,
    known: [...taken, ...engineFiring],
    shafts,
    crank,
  };
}

export const ORDER_FAMILIES = [
  'wheelTurning',
  'wheelMultiples',
  'meshFront',
  'meshRear',
  'propTurning',
  'engineFiring',
] as const satisfies readonly FamilyId[];

export type DefectRate = { readonly name: 'outer' | 'inner' | 'element' | 'cage'; readonly order: number };

/** Defect rates of the wheel bearings in turns of a wheel; empty when their geometry is not known. */
export function wheelBearingRates(vehicle: RunningGear): DefectRate[] {
  if (!vehicle.wheelBearing) return [];
  const rates = bearingRates(vehicle.wheelBearing);
  return [
    { name: 'outer', order: rates.outer },
    { name: 'inner', order: rates.inner },
    { name: 'element', order: rates.elementStrike },
    { name: 'cage', order: rates.cage },
  ];
}
