import { requireCount } from './require.ts';

/** Firing as an order of the crankshaft: a four-stroke engine fires cylinders / 2 times a turn. */
export function firingOrder(cylinders: number): number {
  return requireCount('cylinders', cylinders) / 2;
}
