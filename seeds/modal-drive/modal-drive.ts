import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import {
  type DriveOptions,
  type DriveVisit,
  dB,
  driveRun,
  driveVisit,
  FULL_SCALE_M_S2,
} from '../other-drives/drive-visit.ts';
import { MixingMatrix } from '../road-drive/mixing.ts';
import { multiply, type Transfer } from '../road-drive/network.ts';
import { Random } from '../road-drive/random.ts';
import { drawFault, type ModalFault } from './faults.ts';
import { drawHealthyCar } from './healthy-car.ts';
import { clamp, drawCar, drawPlan, drive, type Motion } from './motion.ts';
import { type ModalNet, TAPS } from './net.ts';
import { at, BINS, hzOf, RATE_HZ, thirdOctaves, wander } from './signals.ts';

/**
 * A fifth road drive, the way a vibration engineer would draw one up: structures ring in modes of their own, noise
 * takes one minimum-phase path through the joints, every part has a healthy noise with its own answer to speed,
 * torque and cornering, and a fault stands so many decibels above the healthy third octaves at its own part. Speed
 * comes late, rounded and off by a scale, as from a satellite receiver. Nothing is taken over from the others, so that
 * the judge meets one more world that disagrees with them.
 */

/**
 * Builds the visit; every choice follows from the seed. The fault stands over the healthy car in the third octave where
 * it stands out most at its own part.
 */
export function modalVisit(seed: number, options: DriveOptions): DriveVisit {
  const { source, layout, placements, excess_db, seconds = 15 } = options;
  const random = new Random(seed, 'modal car');
  const car = drawCar(layout, random);
  const healthyCar = drawHealthyCar(car, random);
  const fault = source === 'none' ? null : drawFault(source, car, new Random(seed, 'modal fault'));
  const plan = drawPlan(fault?.needs ?? [], random);
  const sensorNoise = random.logRange(0.003, 0.02);
  const gearKnown = random.chance(0.6);
  const readSpeed = drawReadings(random);
  let severity = 0;
  const samples: Float32Array[][] = [];
  const runs = placements.map((placement, r): VisitToAnalyse['runs'][number] => {
    const run = new Random(seed, 'modal run', r);
    const motion = drive(car, plan, seconds, run);
    const forces = healthyCar(motion, run);
    if (fault) {
      const force = fault.excitation(motion, run);
      severity ||= dB(excess_db) / standingOut(force, forces, fault, car.net, run);
      const healthy = forces.get(fault.on)!;
      for (let i = 0; i < force.length; i++) healthy[i] = healthy[i]! + severity * force[i]!;
    }
    const mountings = placement.map(() => drawMounting(run));
    const channels = mixed(forces, placement.length, (from, c) => {
      const whole = new Float64Array(2 * BINS);
      multiply(car.net.transfer(from, placement[c]!), mountings[c]!, whole);
      return whole;
    });
    for (const channel of channels) addSensor(channel, sensorNoise, run);
    samples.push(channels);
    return driveRun(r, placement, {
      speed: readSpeed(motion, run),
      segments: motion.segments.map((s) => (gearKnown ? s : { ...s, gearRatio: null })),
    });
  });
  const known = (probability: number): boolean => random.chance(probability);
  const vehicle = {
    layout,
    odometer_km: 1000 * random.integer(30, 259),
    rollingCircumference_m: known(0.9) ? car.circumference_m : null,
    wheelBearing: known(0.7) ? car.bearing : null,
    finalDrive: known(0.7) ? car.finalDrive : null,
    engine: known(0.7) ? { cylinders: car.cylinders } : null,
    electricDrive: false,
  };
  return driveVisit(source, { vehicle, runs }, samples, RATE_HZ);
}

/** How far a fault at unit strength stands out of the healthy car at one of the part's places, at best. */
function standingOut(
  force: Float32Array,
  healthy: ReadonlyMap<string, Float32Array>,
  fault: ModalFault,
  net: ModalNet,
  random: Random,
): number {
  const place = random.pick(fault.heardAt);
  const heard = (forces: ReadonlyMap<string, Float32Array>) =>
    thirdOctaves(mixed(forces, 1, (from) => net.transfer(from, place))[0]!);
  const background = heard(healthy);
  const ratios = heard(new Map([[fault.on, force]])).map(({ power }, k) => power / background[k]!.power);
  const inBand = ({ centre_Hz }: { centre_Hz: number }) =>
    centre_Hz >= fault.band_Hz[0] && centre_Hz <= fault.band_Hz[1];
  return Math.sqrt(Math.max(...ratios.filter((_, k) => inBand(background[k]!))));
}

function mixed(
  forces: ReadonlyMap<string, Float32Array>,
  outputs: number,
  transferTo: (from: string, output: number) => Transfer,
): Float32Array[] {
  const names = [...forces.keys()];
  const matrix = new MixingMatrix(
    names.map((from) => Array.from({ length: outputs }, (_, c) => transferTo(from, c))),
    TAPS,
  );
  const signals = [...forces.values()];
  const frames = signals[0]!.length;
  const block = matrix.blockFrames;
  const whole = Math.ceil(frames / block) * block;
  const padded = signals.map((signal) => {
    const out = new Float32Array(whole);
    out.set(signal);
    return out;
  });
  const results = Array.from({ length: outputs }, () => new Float32Array(whole));
  for (let from = 0; from < whole; from += block) {
    const part = (signal: Float32Array) => signal.subarray(from, from + block);
    matrix.process(padded.map(part), results.map(part));
  }
  return results.map((signal) => signal.slice(0, frames));
}

/** The clamp as a spring under the pickup's mass, and how far its sensitivity is off. */
function drawMounting(random: Random): Transfer {
  const resonance_Hz = random.range(3500, 9000);
  const quality = random.range(2, 6);
  const gain = dB(clamp(random.normal(0, 1.6), -3.2, 3.2));
  const transfer = new Float64Array(2 * BINS);
  for (let bin = 0; bin < BINS; bin++) {
    const x = hzOf(bin) / resonance_Hz;
    const [re, im] = [1 - x * x, x / quality];
    const scale = gain / (re * re + im * im);
    transfer[2 * bin] = scale * re;
    transfer[2 * bin + 1] = -scale * im;
  }
  return transfer;
}

/** From acceleration to full scale, with the sensor's noise, drift and offset. */
function addSensor(channel: Float32Array, noise: number, random: Random): void {
  const hiss = new Float32Array(channel.length);
  random.fillNormal(hiss, hiss.length);
  const drift = wander(channel.length, 0.5, random);
  const offset = random.normal(0, 0.03);
  for (let i = 0; i < channel.length; i++) {
    channel[i] = (channel[i]! + noise * hiss[i]! + offset + 0.02 * at(drift, i)) / FULL_SCALE_M_S2;
  }
}

/** A receiver that is always late and off by the same, and rounds what it says. */
function drawReadings(random: Random) {
  const scale = 3.6 * (1 + random.range(-0.015, 0.015));
  const late_s = random.range(0.1, 1.3);
  const each_s = 1 / random.pick([1, 1, 2, 5, 10]);
  const step_km_h = random.pick([0.01, 0.1, 0.1, 0.5, 1]);
  return ({ frames, speed_m_s }: Motion, run: Random) => {
    const seconds = frames / RATE_HZ;
    const t_s: number[] = [];
    for (let t = run.range(0, each_s); t < seconds; t += each_s) {
      t_s.push(clamp(t + run.normal(0, 0.02 * each_s), 0, seconds));
    }
    const v_km_h = t_s.map((t) => {
      const read = scale * at(speed_m_s, Math.max(0, t - late_s) * RATE_HZ) + run.normal(0, 0.08);
      return Math.round(read / step_km_h) * step_km_h;
    });
    return { t_s, v_km_h };
  };
}
