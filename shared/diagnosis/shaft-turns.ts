import { partOrders } from '../driveline/orders.ts';
import type { RunningGear } from '../driveline/runningGear.ts';

/** Turns for one turn of a wheel; null when not known, or when the vehicle has no such shaft. */
export type ShaftTurns = {
  readonly crank: number | null;
  readonly propshaft: number | null;
  /** What turns the gearbox: the crankshaft, or an electric motor. */
  readonly gearboxInput: number | null;
  readonly gearboxOutput: number | null;
};

/** What the vehicle data and the gear tell. */
export function knownTurns(vehicle: RunningGear, gearRatio: number | null): ShaftTurns {
  const { engine, propshaft, gearboxOutput } = partOrders(vehicle, gearRatio).turnsPerWheelTurn;
  return {
    crank: engine,
    propshaft,
    gearboxInput: gearRatio !== null && gearboxOutput !== null ? gearRatio * gearboxOutput : null,
    gearboxOutput,
  };
}

export const sameTurns = (a: ShaftTurns, b: ShaftTurns): boolean =>
  a.crank === b.crank &&
  a.propshaft === b.propshaft &&
  a.gearboxInput === b.gearboxInput &&
  a.gearboxOutput === b.gearboxOutput;

/** All that differ, in the order in which they come. */
export function distinctTurns(all: Iterable<ShaftTurns>): ShaftTurns[] {
  const found: ShaftTurns[] = [];
  for (const turns of all) if (!found.some((known) => sameTurns(known, turns))) found.push(turns);
  return found;
}
