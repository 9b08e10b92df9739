import type { DrivingState } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import type { DrivePhase, VehicleModel } from '../road-drive/scenario.ts';

/**
 * A test drive as technicians do it: get up to speed, hold it, lift off, roll without torque, sway to both sides, in
 * an order that differs from drive to drive, and not always all of it. The rest of `duration_s` goes to getting back
 * to speed in between.
 */
export function randomDrive(random: Random, vehicle: VehicleModel, duration_s: number): DrivePhase[] {
  const speed = random.range(60, 105);
  const high = gearFor(vehicle, speed, random.range(1500, 2300));
  const low = gearFor(vehicle, speed, random.range(2500, 3300));
  const either = () => (random.chance(0.5) ? low : high);
  const sway = () => ({ weight: 1, torque: random.range(0.1, 0.25), gearRatio: high });
  const pulling: Stretch = {
    state: 'drive',
    weight: 2.2,
    change_km_h: random.range(4, 10),
    torque: random.range(0.35, 0.8),
    gearRatio: high,
  };
  const cruising: Stretch = {
    state: 'drive',
    weight: 1.6,
    torque: random.range(0.15, 0.3),
    gearRatio: either(),
  };
  const coasting: Stretch = {
    state: 'coast',
    weight: 1.8,
    change_km_h: -random.range(8, 16),
    torque: -random.range(0.25, 0.6),
    gearRatio: either(),
  };
  const floating: Stretch = {
    state: 'float',
    weight: 1.3,
    change_km_h: -random.range(0, 3),
    torque: random.range(-0.03, 0.05),
    gearRatio: high,
  };
  const left: Stretch = { state: 'swayLeft', lateral: random.range(0.6, 1), ...sway() };
  const right: Stretch = { state: 'swayRight', lateral: -random.range(0.6, 1), ...sway() };
  const done = () => random.chance(0.85);
  const parts = random.shuffle<Stretch>([
    pulling,
    ...(done() ? [cruising] : []),
    ...(done() ? [coasting] : []),
    ...(done() ? [floating] : []),
    ...(done() ? [left, right] : []),
  ]);
  const weights = parts.reduce((sum, part) => sum + part.weight + BETWEEN, 0);
  const unit_s = duration_s / weights;
  const phases: DrivePhase[] = [];
  for (const { state, weight, change_km_h = 0, torque, lateral = 0, gearRatio } of parts) {
    const start = speed + random.range(-3, 3) - Math.min(0, change_km_h) / 2;
    const back = { state: null, endSpeed_km_h: start, torque: 0.3, lateral: 0, gearRatio };
    const stretch = { state, endSpeed_km_h: start + change_km_h, torque, lateral, gearRatio };
    phases.push({ duration_s: BETWEEN * unit_s, ...back }, { duration_s: weight * unit_s, ...stretch });
  }
  return phases;
}

interface Stretch {
  state: DrivingState;
  weight: number;
  change_km_h?: number;
  torque: number;
  lateral?: number;
  gearRatio: number;
}

/** Share of a stretch's unit that passes between two stretches. */
const BETWEEN = 0.45;

/** The gear in which the engine comes nearest to a speed. */
export function gearFor(vehicle: VehicleModel, speed_km_h: number, rpm: number): number {
  const pair = vehicle.finalDrive.rear ?? vehicle.finalDrive.front;
  const axleRatio = pair ? pair.ringTeeth / pair.pinionTeeth : 1;
  const output_rpm = (speed_km_h / 3.6 / vehicle.nominalCircumference_m) * axleRatio * 60;
  return vehicle.gearRatios.reduce((a, b) =>
    Math.abs(b * output_rpm - rpm) < Math.abs(a * output_rpm - rpm) ? b : a,
  );
}
