import type { DrivingState } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import type { DrivePhase, VehicleModel } from '../road-drive/scenario.ts';

/**
 * A test drive as technicians do it: get up to speed, hold it, lift off, roll without torque, sway to both sides, in
 * an order that differs from drive to drive. The rest of `duration_s` goes to getting back to speed in between.
 */
export function randomDrive(random: Random, vehicle: VehicleModel, duration_s: number): DrivePhase[] {
  const speed = random.range(60, 105);
  const high = gearFor(vehicle, speed, random.range(1500, 2300));
  const low = gearFor(vehicle, speed, random.range(2500, 3300));
  const parts = random.shuffle<Stretch>([
    {
      state: 'drive',
      weight: 2.2,
      change_km_h: random.range(4, 10),
      torque: random.range(0.35, 0.8),
      lateral: 0,
      gearRatio: high,
    },
    {
      state: 'coast',
      weight: 1.8,
      change_km_h: -random.range(8, 16),
      torque: -random.range(0.25, 0.6),
      lateral: 0,
      gearRatio: random.chance(0.5) ? low : high,
    },
    {
      state: 'float',
      weight: 1.3,
      change_km_h: -random.range(0, 3),
      torque: random.range(-0.03, 0.05),
      lateral: 0,
      gearRatio: high,
    },
    {
      state: 'swayLeft',
      weight: 1,
      change_km_h: 0,
      torque: random.range(0.1, 0.25),
      lateral: random.range(0.6, 1),
      gearRatio: high,
    },
    {
      state: 'swayRight',
      weight: 1,
      change_km_h: 0,
      torque: random.range(0.1, 0.25),
      lateral: -random.range(0.6, 1),
      gearRatio: high,
    },
    {
      state: 'drive',
      weight: 1.6,
      change_km_h: 0,
      torque: random.range(0.15, 0.3),
      lateral: 0,
      gearRatio: random.chance(0.6) ? low : high,
    },
  ]);
  const weights = parts.reduce((sum, part) => sum + part.weight + BETWEEN, 0);
  const unit_s = duration_s / weights;
  const phases: DrivePhase[] = [];
  for (const part of parts) {
    const start = speed + random.range(-3, 3) - Math.min(0, part.change_km_h) / 2;
    phases.push(
      // Back to the speed at which the next stretch starts.
      {
        duration_s: BETWEEN * unit_s,
        state: null,
        endSpeed_km_h: start,
        torque: 0.3,
        lateral: 0,
        gearRatio: part.gearRatio,
      },
      {
        duration_s: part.weight * unit_s,
        state: part.state,
        endSpeed_km_h: start + part.change_km_h,
        torque: part.torque,
        lateral: part.lateral,
        gearRatio: part.gearRatio,
      },
    );
  }
  return phases;
}

interface Stretch {
  state: DrivingState;
  weight: number;
  change_km_h: number;
  torque: number;
  lateral: number;
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
