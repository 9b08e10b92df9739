import { bearingRates, usableWheelBearing } from '../driveline/bearing.ts';
import { JOINT_ORDERS } from '../driveline/joints.ts';
import { partOrders } from '../driveline/orders.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import type { FamilyId } from './observation.ts';
import type { ShaftTurns } from './shaft-turns.ts';

/** Which lines of the order spectrum belong to which family, in turns of a wheel, for the gear that is driven. */
export type FamilyLines = {
  readonly wheelTurning: readonly number[];
  readonly wheelMultiples: readonly number[];
  /** Higher multiples, where cups and blocks of a tread fall. */
  readonly treadLines: readonly number[];
  readonly meshFront: readonly number[];
  readonly meshRear: readonly number[];
  readonly propTurning: readonly number[];
  readonly engineFiring: readonly number[];
  /** Multiples of half a crankshaft turn at which no cylinders fire: they show that cylinders differ. */
  readonly engineUneven: readonly number[];
  /** Lines of known parts that must not be taken for something else, as centres. */
  readonly known: readonly number[];
  /** Turning rates whose whole multiples are known. */
  readonly shafts: readonly number[];
};

const WHEEL_MULTIPLES = [2, 3, 4, 5, 6, 7, 8] as const;
const TREAD_ORDERS = Array.from({ length: 22 }, (_, i) => 9 + i);
/** Multiples of a shaft that its own unevenness reaches. */
const SHAFT_MULTIPLES = 8;

/**
 * Lines that run into others' cannot be measured: NaN takes their place, so that each line keeps its own in every
 * gear.
 */
function apartFrom(others: readonly number[], lines: readonly number[], error: number): number[] {
  return lines.map((line) =>
    others.some((o) => Math.abs(o - line) < APART + error * line) ? Number.NaN : line,
  );
}

/** Two lines closer than this, in orders, cannot be told apart in a block of 16 turns. */
export const APART = 0.14;

/** True when both final drives mesh at the same order, so that no line tells them apart. */
export function hasOneMesh(vehicle: RunningGear): boolean {
  const front = vehicle.finalDrive?.front?.ringTeeth;
  return vehicle.layout === 'awd' && front !== undefined && front === vehicle.finalDrive?.rear?.ringTeeth;
}

/**
 * @param error relative error of the speed: lines that it can mistake for each other are not measured
 */
export function familyLines(vehicle: RunningGear, { crank, propshaft }: ShaftTurns, error = 0): FamilyLines {
  const { lines } = partOrders(vehicle);
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
  const meshFront = hasOneMesh(vehicle) ? [] : mesh('front');
  const meshRear = mesh('rear');
  const propTurning = propshaft === null ? [] : [propshaft, JOINT_ORDERS.universal * propshaft];
  // Any wheel is a little out of balance, which is its first order; an uneven tyre has many.
  const engineLines = crank === null ? [] : Array.from({ length: 16 }, (_, k) => 0.5 * (k + 1) * crank);
  const wheelMultiples = apartFrom([...propTurning, ...engineLines], WHEEL_MULTIPLES, error);
  const taken = [...wheelTurning, ...wheelMultiples, ...propTurning, ...meshFront, ...meshRear];
  const cylinders = vehicle.engine?.cylinders ?? null;
  const clear = (orders: readonly number[]): number[] => apartFrom(taken, orders, error);
  const fires = (half: number): boolean => cylinders === null || half % cylinders === 0;
  // A four-stroke engine repeats after two turns: its lines are multiples of half a crankshaft turn.
  const halves = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 16];
  const engineFiring =
    crank === null
      ? []
      : clear(halves.filter((h) => fires(h) && h <= 2 * (cylinders ?? 4)).map((h) => 0.5 * h * crank));
  const engineUneven =
    crank === null || cylinders === null
      ? []
      : clear(halves.filter((h) => !fires(h) && h < 2 * cylinders && h <= 9).map((h) => 0.5 * h * crank));
  const otherShafts = [propshaft, crank === null ? null : crank / 2].filter((x) => x !== null);
  const low = otherShafts.flatMap((shaft) =>
    Array.from({ length: SHAFT_MULTIPLES }, (_, k) => (k + 1) * shaft),
  );
  const treadLines = apartFrom([...taken, ...engineLines, ...low], TREAD_ORDERS, error);
  return {
    wheelTurning,
    wheelMultiples,
    treadLines,
    meshFront,
    meshRear,
    propTurning,
    engineFiring,
    engineUneven,
    known: [...taken, ...engineFiring, ...engineUneven].filter((o) => !Number.isNaN(o)),
    shafts: [1, ...otherShafts],
  };
}

export const ORDER_FAMILIES = [
  'wheelTurning',
  'wheelMultiples',
  'treadLines',
  'meshFront',
  'meshRear',
  'propTurning',
  'engineFiring',
  'engineUneven',
] as const satisfies readonly FamilyId[];

export type DefectRate = { readonly name: 'outer' | 'inner' | 'element' | 'cage'; readonly order: number };

/** Defect rates of the wheel bearings in turns of a wheel; empty when their geometry is not known. */
export function wheelBearingRates(vehicle: RunningGear): DefectRate[] {
  const bearing = usableWheelBearing(vehicle);
  if (!bearing) return [];
  const rates = bearingRates(bearing);
  return [
    { name: 'outer', order: rates.outer },
    { name: 'inner', order: rates.inner },
    { name: 'element', order: rates.elementStrike },
    { name: 'cage', order: rates.cage },
  ];
}
