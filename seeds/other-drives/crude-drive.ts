import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { bearingRates } from '../../shared/driveline/bearing.ts';
import type { DriveLayout, DrivingState, Source } from '../../shared/driveline/words.ts';
import { Dice } from './dice.ts';
import {
  type DriveOptions,
  type DriveVisit,
  driveRun,
  driveVisit,
  FULL_SCALE_M_S2,
  finalDrives,
  mix,
  partsOf,
  STATES,
  stateAt,
} from './drive-visit.ts';

/**
 * A second road drive, crude on purpose and unlike `road-drive`: places have coordinates, noise fades
 * with plain distance, nothing resonates, noise is white in bands, roads are smooth. What the diagnosis believes
 * must hold here as well, or it was fitted to one simulator.
 */

/** Metres along the car (front to rear) and across it (left to right). */
const PLACES: Record<string, readonly [number, number]> = {
  'hub-front-left': [0, -0.75],
  'hub-front-right': [0, 0.75],
  'hub-rear-left': [2.7, -0.75],
  'hub-rear-right': [2.7, 0.75],
  'differential-front-left': [0.05, -0.15],
  'differential-front-right': [0.05, 0.15],
  'differential-rear-left': [2.65, -0.15],
  'differential-rear-right': [2.65, 0.15],
  'differential-rear-pinion': [2.45, 0],
  'transfer-case': [0.9, 0.1],
  transmission: [0.55, 0],
  'propshaft-centre-bearing': [1.7, 0],
  'engine-mount': [-0.3, 0.35],
  'subframe-rear': [2.3, 0.4],
};

const ORIGINS: Partial<Record<Source, readonly [number, number]>> = {
  'differential-front': [0.05, 0],
  'differential-rear': [2.6, 0],
  'propshaft-centre-bearing': [1.7, 0],
  transmission: [0.5, 0],
  engine: [-0.25, 0.2],
};

function originOf(source: Source): readonly [number, number] {
  return ORIGINS[source] ?? PLACES[source.replace(/^(wheel-bearing|tyre)/, 'hub')]!;
}

export function metresBetween(source: Source, place: string): number {
  const [x, y] = PLACES[place]!;
  const [px, py] = originOf(source);
  return Math.hypot(x - px, y - py);
}

export interface CrudeOptions extends DriveOptions {
  readonly rate_Hz?: number;
}

const BEARING = { rollingElements: 12, elementDiameter_mm: 9.5, pitchDiameter_mm: 54, contactAngle_deg: 20 };
const FRONT = { ringTeeth: 61, pinionTeeth: 17 };
const REAR = { ringTeeth: 41, pinionTeeth: 11 };
const CIRCUMFERENCE_M = 1.95;
const GEAR_RATIO = 1.15;
const CYLINDERS = 4;

/** Builds the visit; every choice follows from the seed. */
export function crudeVisit(seed: number, options: CrudeOptions): DriveVisit {
  const { source, layout, placements, excess_db, rate_Hz = 20_000, seconds = 15 } = options;
  const dice = new Dice(seed);
  const trueCircumference = CIRCUMFERENCE_M * dice.uniform(0.985, 1.015);
  const perMetre_db = dice.uniform(6, 11);
  const slip = dice.uniform(0.985, 1.0);
  const parts = partsOf(layout);
  const healthy = new Map(parts.map((p) => [p, 3 * dice.normal()]));
  const runs: VisitToAnalyse['runs'][number][] = [];
  const samples: Float32Array[][] = [];
  for (const [r, placement] of placements.entries()) {
    const frames = rate_Hz * seconds;
    const speed = dice.uniform(60, 90);
    const drift = dice.uniform(-4, 4);
    const v = (t: number): number => speed + (drift * t) / seconds;
    const channels = placement.map(() => new Float32Array(frames));
    const gains = placement.map(() => 10 ** (dice.uniform(-3, 3) / 20));
    const span = seconds / STATES.length;
    const state = stateAt(STATES, seconds);
    for (const part of parts) {
      const level = healthy.get(part)! + (part === source ? excess_db : 0);
      const signal = partSignal(part, frames, rate_Hz, dice, {
        wheel_Hz: (t) => v(t) / 3.6 / trueCircumference,
        state,
        faulty: part === source,
        slip,
        layout,
      });
      placement.forEach((place, c) => {
        const path_db = level - perMetre_db * metresBetween(part, place) + 2 * dice.normal();
        mix(channels[c]!, signal, 0.1 * gains[c]! * 10 ** (path_db / 20));
      });
    }
    const road_db = placement.map((place) => (place.startsWith('hub') ? 0 : -6) + 2 * dice.normal());
    channels.forEach((out, c) => {
      let low = 0;
      const gain = 0.12 * gains[c]! * 10 ** (road_db[c]! / 20);
      for (let i = 0; i < frames; i++) {
        low += 0.06 * (dice.normal() - low);
        out[i] = out[i]! + gain * (2.5 * low + 0.25 * dice.normal());
      }
    });
    for (const out of channels) for (let i = 0; i < frames; i++) out[i] = out[i]! / FULL_SCALE_M_S2;
    samples.push(channels);
    const t_s = Array.from({ length: 2 * seconds }, (_, k) => k / 2);
    runs.push(
      driveRun(r, placement, {
        speed: { t_s, v_km_h: t_s.map((t) => Math.round(10 * v(Math.max(0, t - 0.6))) / 10) },
        segments: STATES.map((now, k) => ({
          from_s: k * span + 0.1,
          to_s: (k + 1) * span - 0.1,
          state: now,
          gearRatio: GEAR_RATIO,
        })),
      }),
    );
  }
  const vehicle = {
    layout,
    odometer_km: 90_000,
    rollingCircumference_m: CIRCUMFERENCE_M,
    wheelBearing: BEARING,
    finalDrive: finalDrives(layout, FRONT, REAR),
    engine: { cylinders: CYLINDERS },
    electricDrive: false,
  };
  return driveVisit(source, { vehicle, runs }, samples, rate_Hz);
}

export function placesOf(layout: DriveLayout): string[] {
  return Object.keys(PLACES).filter(
    (p) =>
      !(layout === 'fwd' && /differential-rear|propshaft|transfer/.test(p)) &&
      !(layout === 'rwd' && /differential-front|transfer/.test(p)),
  );
}

type Motion = {
  readonly wheel_Hz: (t: number) => number;
  readonly state: (t: number) => DrivingState;
  readonly faulty: boolean;
  readonly slip: number;
  readonly layout: DriveLayout;
};

/** One part's own noise at unit strength. */
function partSignal(part: Source, frames: number, rate: number, dice: Dice, motion: Motion): Float32Array {
  const out = new Float32Array(frames);
  const { slip, faulty, layout } = motion;
  const final = layout === 'fwd' ? FRONT : REAR;
  const ratio = final.ringTeeth / final.pinionTeeth;
  const strike = bearingRates(BEARING).outer * slip;
  let turns = dice.uniform();
  let ring = 0;
  let band = 0;
  let struck = 0;
  const phases = Array.from({ length: 12 }, () => dice.uniform(0, 2 * Math.PI));
  for (let i = 0; i < frames; i++) {
    const t = i / rate;
    turns += motion.wheel_Hz(t) / rate;
    const angle = 2 * Math.PI * turns;
    const state = motion.state(t);
    const torque = state === 'drive' ? 1 : state === 'coast' ? 0.6 : 0.3;
    const noise = dice.normal();
    band += 0.3 * (noise - band);
    if (part.startsWith('wheel-bearing')) {
      if (faulty && Math.floor(turns * strike) !== struck) {
        struck = Math.floor(turns * strike);
        ring = 1;
      }
      ring *= Math.exp(-1 / (0.0012 * rate));
      const outside = part.endsWith('left') ? 'swayRight' : 'swayLeft';
      const inside = part.endsWith('left') ? 'swayLeft' : 'swayRight';
      const load = state === outside ? 1.8 : state === inside ? 0.5 : 1;
      out[i] = load * (0.05 + (faulty ? 0.7 * ring : 0)) * noise;
    } else if (part.startsWith('tyre')) {
      let sum = 0.3 * Math.cos(angle + phases[0]!);
      if (faulty) for (let k = 2; k <= 7; k++) sum += 0.2 * Math.cos(k * angle + phases[k]!);
      out[i] = 0.25 * sum + 0.1 * band * (1 + (faulty ? 0.6 : 0.1) * Math.cos(angle));
    } else if (part.startsWith('differential')) {
      const teeth = part === 'differential-front' ? FRONT : REAR;
      const side = faulty ? 0.5 : 0.1;
      const mesh = teeth.ringTeeth * angle;
      const pinion = (teeth.ringTeeth / teeth.pinionTeeth) * angle;
      const tone = (1 + side * Math.cos(pinion)) * Math.cos(mesh + phases[0]!) + 0.4 * Math.cos(2 * mesh);
      out[i] = torque * (0.04 * tone + 0.02 * noise);
    } else if (part === 'propshaft-centre-bearing') {
      const shaft = ratio * angle;
      out[i] = 0.06 * Math.cos(shaft) + 0.05 * noise * (1 + (faulty ? 0.8 : 0) * Math.cos(shaft));
    } else if (part === 'transmission') {
      const gear = 23 * GEAR_RATIO * ratio * angle;
      out[i] = torque * (0.05 * Math.cos(gear + phases[0]!) + 0.02 * noise);
    } else {
      const crank = GEAR_RATIO * ratio * angle;
      let sum = Math.cos((CYLINDERS / 2) * crank) + 0.4 * Math.cos(CYLINDERS * crank);
      if (faulty) sum += 0.5 * Math.cos(0.5 * crank) + 0.4 * Math.cos(1.5 * crank);
      out[i] = 0.12 * sum + 0.03 * noise;
    }
  }
  return out;
}
