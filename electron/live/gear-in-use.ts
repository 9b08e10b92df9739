import type { VehicleSpec } from '../../shared/bundle/visit.ts';
import { partOrders } from '../../shared/driveline/orders.ts';
import { wheelHz } from '../../shared/driveline/wheelSpeed.ts';

/** The time over which speed and ratio must be steady for a gear to be known. */
const STEADY_S = 2;
const FEWEST_SAMPLES = 4;
/** Readings of a whole km/h and late by some tenths of a second scatter that much about the gear's true ratio. */
const STEADY_WITHIN = 0.03;
/** Neighbouring gears are 15 % and more apart (common practice): within this it is still the same one. */
const SAME_GEAR_WITHIN = 0.08;
/** Longest overdrive to shortest first gear of road vehicles (common practice); outside the engine turns freely. */
const RATIOS = { least: 0.45, most: 6.5 } as const;
/** Below, a reading of a whole km/h tells too little. */
const LOWEST_KM_H = 10;

interface Sample {
  readonly at_s: number;
  readonly km_h: number;
  readonly ratio: number;
}

const middle = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;
const steady = (values: readonly number[]): boolean => {
  const typical = middle(values);
  return values.every((value) => Math.abs(value - typical) <= STEADY_WITHIN * typical);
};

/**
 * Which gear is driven, as engine turns per turn of the gearbox output, from engine and road speed:
 *
 *     ratio = (engine rpm / 60) / (wheel turns per second × final drive ratio)
 *
 * The wheel's turns follow from the road speed by the same rolling circumference that places every other order, so a
 * circumference that is 2 % off moves the ratio by 2 % the other way, and the engine's order falls where the engine
 * turns all the same, as long as the wheel's rate is not corrected without the ratio. With the clutch open, a converter slipping or between gears the ratio wanders, and none is
 * told. Electric vehicles and an unknown final drive or circumference have none.
 */
export class GearInUse {
  readonly #circumference_m: number | null;
  readonly #outputTurns: number | null;
  #samples: Sample[] = [];
  #held: number | null = null;

  constructor(vehicle: VehicleSpec | null) {
    this.#circumference_m = vehicle?.rollingCircumference_m ?? null;
    // Turns of the engine for one of the wheel in a gear of 1.
    this.#outputTurns = vehicle ? partOrders(vehicle, 1).turnsPerWheelTurn.engine : null;
  }

  /** Engine and road speed of the same moment. */
  push(km_h: number, engine_rpm: number, at_s: number): void {
    if (this.#circumference_m === null || this.#outputTurns === null || km_h < LOWEST_KM_H) return;
    const outputHz = wheelHz(km_h, this.#circumference_m) * this.#outputTurns;
    this.#samples.push({ at_s, km_h, ratio: engine_rpm / 60 / outputHz });
  }

  /** Engine turns per turn of the gearbox output, or null while no gear is known. */
  ratio(now_s: number): number | null {
    this.#samples = this.#samples.filter((sample) => now_s - sample.at_s <= STEADY_S);
    const ratios = this.#samples.map((sample) => sample.ratio);
    if (ratios.length < FEWEST_SAMPLES) return (this.#held = null);
    const ratio = middle(ratios);
    if (this.#held !== null && Math.abs(ratio - this.#held) <= SAME_GEAR_WITHIN * this.#held)
      return this.#held;
    const known =
      steady(ratios) &&
      steady(this.#samples.map((sample) => sample.km_h)) &&
      ratio >= RATIOS.least &&
      ratio <= RATIOS.most;
    return (this.#held = known ? ratio : null);
  }
}
