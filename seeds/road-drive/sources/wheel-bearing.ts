import { dB } from '../force.ts';
import type { Shaft } from '../motion.ts';
import type { Random } from '../random.ts';
import type { Fault, VehicleModel } from '../scenario.ts';
import { type BearingDefect, RollingBearing } from './rolling-bearing.ts';

/**
 * A wheel bearing: a rolling bearing at the hub. In a bend the wheel outside carries more, so that its bearing gets
 * louder and the one opposite quieter; drive torque does not pass through it. Early damage ticks more than it
 * rumbles, late damage rumbles more than it ticks.
 */
export function wheelBearing(
  corner: string,
  model: VehicleModel,
  vehicle: Random,
  visit: Random,
  sampleRate_Hz: number,
  fault: Fault | null,
): RollingBearing {
  const side = corner.endsWith('left') ? 1 : -1;
  const severity = fault?.severity ?? 0;
  const worn = fault?.mechanism === 'worn';
  const healthy_m_s2 = 0.12 * vehicle.spread(3);
  const answer = vehicle.range(0.4, 0.9);
  return new RollingBearing(
    {
      node: `hub-${corner}`,
      shaft: `wheel-${corner}` as Shaft,
      geometry: model.wheelBearing,
      defect: fault ? (fault.mechanism as BearingDefect) : null,
      rumble_m_s2: fault ? 0.35 * dB((worn ? 8 : 0) + 18 * severity) * vehicle.spread(2) : healthy_m_s2,
      blow_m_s2: fault && !worn ? 4 * dB(14 * severity) * vehicle.spread(2) : 0,
      irregularity: 0.008 + 0.04 * severity ** 2,
      referenceRate_Hz: 80 / 3.6 / model.nominalCircumference_m,
    },
    vehicle,
    visit,
    sampleRate_Hz,
    (motion, i) => Math.max(0.15, 1 + answer * side * motion.lateral[i]!),
  );
}
