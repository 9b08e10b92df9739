import type { Drive } from './drive.ts';
import type { VehicleModel } from './scenario.ts';

/**
 * Kinematics of the running gear: from the drive to the turned angle of every shaft.
 *
 * - A wheel turns v / circumference, faster by its drive slip under torque (a tyre slips about 1 % of the speed at
 *   full torque, and the other way when the engine brakes) and by the longer way outside in a bend; a few hundredths
 *   of a percent come and go with the road.
 * - An open differential's ring gear turns at the mean of its two wheels; the pinion faster by ring / pinion teeth.
 * - The gearbox output turns with the driven pinion, or with the mean of both pinions behind a centre differential;
 *   the engine faster by the gear ratio. Electric four-wheel drive has a unit at each axle, the main one at the rear.
 * Angles are integrated by the trapezoidal rule on a grid of about a millisecond and are linear between its points.
 */

/** Lateral acceleration that `lateral` = 1 stands for. */
export const HARD_BEND_M_S2 = 4;
const LEFT = [1, -1, 1, -1] as const;

export const SHAFTS = [
  'wheel-front-left',
  'wheel-front-right',
  'wheel-rear-left',
  'wheel-rear-right',
  'ring-front',
  'ring-rear',
  'pinion-front',
  'pinion-rear',
  'gearbox-output',
  'engine',
] as const;
export type Shaft = (typeof SHAFTS)[number];
const SHAFT_INDEX = new Map(SHAFTS.map((shaft, i) => [shaft, i]));

/** One block of the drive on the step grid; every array holds `steps + 1` values, the last being the next block's first. */
export interface Motion {
  readonly frames: number;
  readonly hop: number;
  readonly steps: number;
  readonly sampleRate_Hz: number;
  readonly start_s: number;
  readonly speed_m_s: Float64Array;
  readonly torque: Float64Array;
  readonly lateral: Float64Array;
  readonly gearRatio: Float64Array;
  /** Turned angle in turns since the start. */
  turns(shaft: Shaft): Float64Array;
  /** Turning rate in Hz. */
  rate(shaft: Shaft): Float64Array;
}

/** Turning rate in Hz of every shaft, in the order of `SHAFTS`. */
export function shaftRates(vehicle: VehicleModel, drive: Drive, t: number, out: Float64Array): void {
  const { speed_m_s, torque, lateral, gearRatio } = drive.at(t);
  const { layout, finalDrive } = vehicle;
  const yaw = speed_m_s > 1 ? (lateral * HARD_BEND_M_S2) / speed_m_s : 0;
  for (let wheel = 0; wheel < 4; wheel++) {
    const driven = layout === 'awd' ? 0.5 : (layout === 'fwd') === wheel < 2 ? 1 : 0;
    const path = speed_m_s + LEFT[wheel]! * yaw * (vehicle.track_m / 2);
    const slip = DRIVE_SLIP * torque * driven + drive.slipOf(wheel, t);
    out[wheel] = (path / vehicle.trueCircumference_m[wheel]!) * (1 + slip);
  }
  out[4] = (out[0]! + out[1]!) / 2;
  out[5] = (out[2]! + out[3]!) / 2;
  out[6] = out[4]! * axleRatio(finalDrive.front);
  out[7] = out[5]! * axleRatio(finalDrive.rear);
  const rearOnly = layout === 'rwd' || vehicle.electricDrive;
  out[8] = layout === 'fwd' ? out[6]! : rearOnly ? out[7]! : (out[6]! + out[7]!) / 2;
  out[9] = engineRate(vehicle, out[8]! * gearRatio);
}

const DRIVE_SLIP = 0.01;
const axleRatio = (pair: { ringTeeth: number; pinionTeeth: number } | null) =>
  pair ? pair.ringTeeth / pair.pinionTeeth : 0;

/** A combustion engine does not turn slower than it idles: the clutch or converter slips. */
function engineRate(vehicle: VehicleModel, geared_Hz: number): number {
  return vehicle.electricDrive ? geared_Hz : Math.max(IDLE_HZ, geared_Hz);
}
const IDLE_HZ = 13;

/** Integrates the drive block by block. */
export class MotionIntegrator {
  private readonly vehicle: VehicleModel;
  private readonly drive: Drive;
  private readonly hop: number;
  private readonly sampleRate_Hz: number;
  private readonly turned = new Float64Array(SHAFTS.length);
  private readonly rates = new Float64Array(SHAFTS.length);
  private step = 0;

  constructor(vehicle: VehicleModel, drive: Drive, sampleRate_Hz: number, hop: number) {
    this.vehicle = vehicle;
    this.drive = drive;
    this.sampleRate_Hz = sampleRate_Hz;
    this.hop = hop;
  }

  next(frames: number): Motion {
    const { hop, sampleRate_Hz, turned, rates } = this;
    const steps = frames / hop;
    const grid = () => new Float64Array(steps + 1);
    const [speed_m_s, torque, lateral, gearRatio] = [grid(), grid(), grid(), grid()];
    const turns = SHAFTS.map(grid);
    const rate = SHAFTS.map(grid);
    const start_s = (this.step * hop) / sampleRate_Hz;
    const dt = hop / sampleRate_Hz;
    for (let i = 0; i <= steps; i++) {
      const t = ((this.step + i) * hop) / sampleRate_Hz;
      const demand = this.drive.at(t);
      speed_m_s[i] = demand.speed_m_s;
      torque[i] = demand.torque;
      lateral[i] = demand.lateral;
      gearRatio[i] = demand.gearRatio;
      shaftRates(this.vehicle, this.drive, t, rates);
      for (let shaft = 0; shaft < SHAFTS.length; shaft++) {
        if (i > 0) turned[shaft]! += (dt * (rates[shaft]! + rate[shaft]![i - 1]!)) / 2;
        turns[shaft]![i] = turned[shaft]!;
        rate[shaft]![i] = rates[shaft]!;
      }
    }
    this.step += steps;
    const of = (table: Float64Array[], shaft: Shaft) => table[SHAFT_INDEX.get(shaft)!]!;
    return {
      frames,
      hop,
      steps,
      sampleRate_Hz,
      start_s,
      speed_m_s,
      torque,
      lateral,
      gearRatio,
      turns: (shaft) => of(turns, shaft),
      rate: (shaft) => of(rate, shaft),
    };
  }
}
