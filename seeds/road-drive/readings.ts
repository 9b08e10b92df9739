import type { SpeedReadings } from '../../shared/bundle/visit.ts';
import type { Drive } from './drive.ts';
import { SHAFTS, shaftRates } from './motion.ts';
import type { Random } from './random.ts';
import type { SpeedReadingsModel, VehicleModel } from './scenario.ts';

/**
 * Speed as the technician's computer gets it: at 1 to 10 Hz, late, rounded. A satellite receiver tells the true speed
 * over ground; the vehicle bus tells the turning rate of the wheels times the nominal circumference, scaled.
 */
export function speedReadings(
  model: SpeedReadingsModel,
  vehicle: VehicleModel,
  drive: Drive,
  random: Random,
): SpeedReadings {
  const rates = new Float64Array(SHAFTS.length);
  const t_s: number[] = [];
  const v_km_h: number[] = [];
  for (let t = random.range(0, 1 / model.rate_Hz); t < drive.duration_s; t += 1 / model.rate_Hz) {
    const then = Math.max(0, t - model.lateness_s);
    let speed_m_s = drive.at(then).speed_m_s + random.normal(0, 0.02);
    if (model.kind === 'bus') {
      shaftRates(vehicle, drive, then, rates);
      speed_m_s = ((rates[0]! + rates[1]! + rates[2]! + rates[3]!) / 4) * vehicle.nominalCircumference_m;
    }
    const read = Math.max(0, speed_m_s * 3.6 * model.scale);
    t_s.push(Math.round(t * 1000) / 1000);
    v_km_h.push(Math.round(Math.round(read / model.resolution_km_h) * model.resolution_km_h * 1000) / 1000);
  }
  return { t_s, v_km_h };
}
