import { requireCount } from './require.ts';

/** One pair of gears of a reduction, in the direction from the motor to the wheels. */
export type ReductionStage = { readonly drivingTeeth: number; readonly drivenTeeth: number };

export type StageOrders = {
  /** Mesh of this stage as an order of the motor's shaft and of the output (wheel) shaft. */
  readonly meshAtMotor: number;
  readonly meshAtOutput: number;
  /** Turns of this stage's driven shaft for one turn of the output. */
  readonly drivenShaftAtOutput: number;
};

export type ReductionOrders = {
  /** Motor turns for one turn of the output. */
  readonly ratio: number;
  readonly stages: readonly StageOrders[];
};

/**
 * Orders of an electric drive's reduction with fixed axes (usually two stages to the differential).
 * @param stages from the motor to the wheels, at least one
 * @throws {RangeError} when there is no stage or a tooth count is not a whole number of at least 3
 */
export function reductionOrders(stages: readonly ReductionStage[]): ReductionOrders {
  if (stages.length === 0) throw new RangeError('a reduction needs at least one pair of gears');
  const ratios = stages.map(
    (s) => requireCount('driven teeth', s.drivenTeeth, 3) / requireCount('driving teeth', s.drivingTeeth, 3),
  );
  const ratio = ratios.reduce((product, r) => product * r, 1);
  let drivenShaftAtOutput = ratio;
  const orders = stages.map((stage, i) => {
    drivenShaftAtOutput /= ratios[i]!;
    const meshAtOutput = stage.drivenTeeth * drivenShaftAtOutput;
    return { meshAtMotor: meshAtOutput / ratio, meshAtOutput, drivenShaftAtOutput };
  });
  return { ratio, stages: orders };
}

/**
 * Torque ripple of a three-phase machine as orders of its rotor: multiples of six per pole pair (common practice).
 * @param polePairs half the number of poles
 * @param count how many multiples
 */
export function torqueRippleOrders(polePairs: number, count = 2): number[] {
  requireCount('pole pairs', polePairs);
  return Array.from({ length: requireCount('count', count) }, (_, k) => 6 * polePairs * (k + 1));
}
