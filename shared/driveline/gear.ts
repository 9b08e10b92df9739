import { requireCount } from './require.ts';
import type { FinalDriveTeeth } from './runningGear.ts';

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

export type GearOrders = {
  /** Turns of the pinion for one turn of the ring gear. */
  readonly ratio: number;
  /** Mesh as an order of the pinion's shaft: the pinion's tooth count. */
  readonly meshAtPinion: number;
  /** Mesh as an order of the ring gear's shaft: the ring gear's tooth count. */
  readonly meshAtRing: number;
  /** The same two teeth meet again: mesh × gcd(z1, z2) / (z1 z2), as an order of each shaft. */
  readonly huntingToothAtPinion: number;
  readonly huntingToothAtRing: number;
};

/**
 * The orders of a pair of gears with fixed axes (both tooth counts whole and at least 3).
 *
 * The hunting-tooth rate is mesh × gcd / (z1 z2): the time after which a given pair of teeth meets again. (The
 * form "gcd × pinion rate" that some glossaries print is wrong unless the wheel has one tooth.)
 * @throws {RangeError} on a tooth count that is not a whole number of at least 3
 */
export function gearOrders(teeth: FinalDriveTeeth): GearOrders {
  const z1 = requireCount('pinion teeth', teeth.pinionTeeth, 3);
  const z2 = requireCount('ring gear teeth', teeth.ringTeeth, 3);
  const gcd = greatestCommonDivisor(z1, z2);
  return {
    ratio: z2 / z1,
    meshAtPinion: z1,
    meshAtRing: z2,
    huntingToothAtPinion: gcd / z2,
    huntingToothAtRing: gcd / z1,
  };
}

export type MeshSideband = {
  readonly orderAtRing: number;
  /** The shaft whose once-per-turn modulation makes it, and how many of its turns away from the mesh it lies. */
  readonly shaft: 'pinion' | 'ring';
  readonly offset: number;
};

/**
 * Sidebands of a mesh harmonic, as orders of the ring gear's shaft, nearest first.
 * A fault on the pinion puts them a pinion turn apart, one on the ring gear a ring gear turn apart.
 * @param harmonic which multiple of the mesh (1 is the mesh itself)
 * @param pairs how many on either side for each shaft
 */
export function meshSidebands(teeth: FinalDriveTeeth, harmonic: number, pairs: number): MeshSideband[] {
  requireCount('mesh harmonic', harmonic);
  requireCount('sideband pairs', pairs);
  const { ratio, meshAtRing } = gearOrders(teeth);
  const sidebands: MeshSideband[] = [];
  for (let k = 1; k <= pairs; k++) {
    for (const offset of [-k, k]) {
      sidebands.push({ orderAtRing: harmonic * meshAtRing + offset, shaft: 'ring', offset });
      sidebands.push({ orderAtRing: harmonic * meshAtRing + offset * ratio, shaft: 'pinion', offset });
    }
  }
  return sidebands.filter((s) => s.orderAtRing > 0);
}
