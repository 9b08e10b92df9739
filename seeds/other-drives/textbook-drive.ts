import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { bearingRates } from '../../shared/driveline/bearing.ts';
import type { DriveLayout, DrivingState, Source } from '../../shared/driveline/words.ts';
import { metresBetween, placesOf } from './crude-drive.ts';
import { Dice } from './dice.ts';
import {
  type DriveOptions,
  type DriveVisit,
  dB,
  driveRun,
  driveVisit,
  FULL_SCALE_M_S2,
  finalDrives,
  mix,
  partsOf,
  STATES,
  stateAt,
} from './drive-visit.ts';
import { bandNoise, noiseAround, peaking, strike } from './noises.ts';
import { hopsOf } from './plain-drive.ts';

/**
 * A fourth road drive, as a textbook draws it: the faulty part shows its signature and little else is heard. What
 * healthy parts, the road and the sensors add, how noise fades, and which of its signatures a fault shows are drawn
 * for every car, from next to nothing to a lot.
 */

/** How far a fault stands out follows from the seed. */
export type TextbookOptions = Omit<DriveOptions, 'excess_db'>;

const RATE_HZ = 20_000;

/** Places that both ways to measure a distance know. */
export const textbookPlaces = (layout: DriveLayout): string[] =>
  placesOf(layout).filter((place) => hopsOf('engine', layout).has(place));

/** What a fault sounds like; several for each kind of part. */
type Signature = 'strikes' | 'growl' | 'tones' | 'oneTone' | 'swelling';
const SIGNATURES: readonly [RegExp, readonly Signature[]][] = [
  [/^wheel-bearing/, ['strikes', 'strikes', 'growl']],
  [/^tyre/, ['tones', 'tones', 'oneTone', 'swelling']],
  [/^differential/, ['tones', 'tones', 'oneTone', 'growl', 'strikes']],
  [/^propshaft/, ['tones', 'oneTone', 'growl', 'swelling', 'strikes']],
  [/^transmission/, ['tones', 'oneTone', 'growl', 'strikes']],
  [/^engine/, ['tones', 'oneTone', 'growl', 'strikes']],
];

/** Builds the visit; every choice follows from the seed. */
export function textbookVisit(seed: number, options: TextbookOptions): DriveVisit {
  const { source, layout, placements, seconds = 15 } = options;
  const dice = new Dice(seed + 55_000);
  const elements = Math.round(dice.uniform(8, 16));
  const bearing = {
    rollingElements: elements,
    elementDiameter_mm: 10,
    pitchDiameter_mm: elements * 10 * dice.uniform(0.38, 0.46),
    contactAngle_deg: dice.uniform(0, 40),
  };
  const pair = () => {
    const pinionTeeth = Math.round(dice.uniform(9, 17));
    return { ringTeeth: Math.round(pinionTeeth * dice.uniform(3.1, 4.3)), pinionTeeth };
  };
  const teeth = { front: pair(), rear: pair() };
  const final = layout === 'fwd' ? teeth.front : teeth.rear;
  const cylinders = dice.pick([3, 4, 4, 6]);
  const gearRatio = dice.uniform(0.8, 1.6);
  const circumference_m = dice.uniform(1.8, 2.3);
  const trueCircumference_m = circumference_m * dice.uniform(0.985, 1.015);
  const slip = dice.uniform(0.985, 1);
  const car: Car = {
    bearing: bearingRates(bearing)[dice.pick(['outer', 'outer', 'inner'] as const)] * slip,
    teeth: { 'differential-front': teeth.front, 'differential-rear': teeth.rear },
    propshaft: final.ringTeeth / final.pinionTeeth,
    crank: (final.ringTeeth / final.pinionTeeth) * gearRatio,
    gearTeeth: Math.round(dice.uniform(17, 45)),
    cylinders,
  };
  const byMetre = dice.uniform() < 0.5;
  const loss_dB = byMetre ? dice.uniform(5, 14) : dice.uniform(4, 15);
  const stray_dB = dice.uniform(0, 3);
  const healthy_dB = dice.uniform(-45, -10);
  const unlike_dB = dice.uniform(0, 3);
  const airborne_dB = dice.uniform() < 0.5 ? dice.uniform(-50, -28) : Number.NEGATIVE_INFINITY;
  const sensors_dB = dice.uniform(-50, -18);
  const road_dB = dice.uniform(-40, -8);
  const loudness = 0.5 * dB(dice.uniform(-10, 16));
  const signature = dice.pick<Signature>(SIGNATURES.find(([part]) => part.test(source))?.[1] ?? ['growl']);
  // A clamp that is not screwed on rings with the pickup on it.
  const clamps_dB = dice.uniform() < 0.6 ? dice.uniform(3, 18) : 0;
  const loads = dice.uniform() < 0.6;
  const drivesAlike = dice.uniform() < 0.4;
  const parts = partsOf(layout);
  const own = new Map(
    parts.map((part) => [
      part,
      {
        level_dB: healthy_dB + unlike_dB * dice.normal(),
        noise: 2 ** dice.uniform(7, 11),
        octaves: dice.uniform(2, 5),
        hops: hopsOf(part, layout),
        strays: new Map(textbookPlaces(layout).map((place) => [place, stray_dB * dice.normal()])),
      },
    ]),
  );
  const fault_Hz = 2 ** dice.uniform(7.5, 11.5);
  const runs: VisitToAnalyse['runs'][number][] = [];
  const samples: Float32Array[][] = [];
  for (const [r, placement] of placements.entries()) {
    const frames = RATE_HZ * seconds;
    const states = drivesAlike ? STATES.slice(0, 1) : STATES;
    const span_s = seconds / states.length;
    const state = stateAt(states, seconds);
    const from_km_h = dice.uniform(40, 100);
    const to_km_h = dice.uniform() < 0.5 ? from_km_h : Math.max(35, from_km_h + dice.uniform(-25, 25));
    const v = (t: number): number => from_km_h + ((to_km_h - from_km_h) * t) / seconds;
    const turns = new Float64Array(frames);
    for (let i = 1; i < frames; i++) {
      turns[i] = turns[i - 1]! + v(i / RATE_HZ) / 3.6 / trueCircumference_m / RATE_HZ;
    }
    const gains = placement.map(() => loudness * dB(dice.uniform(-3, 3)));
    const channels = placement.map(() => new Float32Array(frames));
    for (const part of parts) {
      const { level_dB, noise, octaves, hops, strays } = own.get(part)!;
      const signal = noiseAround(frames, RATE_HZ, noise, octaves, dice);
      const size = dB(level_dB) * Math.SQRT1_2;
      for (let i = 0; i < frames; i++) signal[i] = size * signal[i]!;
      addTones(signal, turns, usualTones(part, car), dB(level_dB), dice);
      if (part === source) addFault(signal, turns, part, signature, car, fault_Hz, dice);
      if (loads) applyLoad(signal, part, (i) => state(i / RATE_HZ));
      placement.forEach((place, c) => {
        const way = byMetre ? metresBetween(part, place) : hops.get(place)!;
        const gain = gains[c]! * dB(Math.max(airborne_dB, strays.get(place)! - loss_dB * way));
        mix(channels[c]!, signal, gain);
      });
    }
    channels.forEach((out, c) => {
      if (clamps_dB > 0) {
        const clamp_Hz = dice.uniform(2500, 9000);
        peaking(out, RATE_HZ, clamp_Hz, dice.uniform(-0.3, 1) * clamps_dB, dice.uniform(2, 6));
      }
      const road = bandNoise(frames, RATE_HZ, 15, dice.uniform(80, 400), dice);
      const rough = dB(road_dB + (placement[c]!.startsWith('hub') ? 0 : -6));
      for (let i = 0; i < frames; i++) {
        out[i] =
          (out[i]! + gains[c]! * rough * road[i]! + loudness * dB(sensors_dB) * dice.normal()) /
          FULL_SCALE_M_S2;
      }
    });
    samples.push(channels);
    const t_s = Array.from({ length: seconds + 1 }, (_, k) => k);
    runs.push(
      driveRun(r, placement, {
        speed: { t_s, v_km_h: t_s.map((s) => Math.round(10 * v(s)) / 10) },
        segments: states.map((now, k) => ({
          from_s: k * span_s,
          to_s: (k + 1) * span_s,
          state: now,
          gearRatio,
        })),
      }),
    );
  }
  const known = (): boolean => dice.uniform() < 0.7;
  const vehicle = {
    layout,
    odometer_km: 120_000,
    rollingCircumference_m: circumference_m,
    wheelBearing: known() ? bearing : null,
    finalDrive: known() ? finalDrives(layout, teeth.front, teeth.rear) : null,
    engine: known() ? { cylinders } : null,
    electricDrive: false,
  };
  return driveVisit(source, { vehicle, runs }, samples, RATE_HZ);
}

/** Orders of a wheel that the signatures are built from. */
type Car = {
  readonly bearing: number;
  readonly teeth: Readonly<
    Record<'differential-front' | 'differential-rear', { ringTeeth: number; pinionTeeth: number }>
  >;
  readonly propshaft: number;
  readonly crank: number;
  readonly gearTeeth: number;
  readonly cylinders: number;
};

/** Order and share of the amplitude. */
type Tones = readonly (readonly [order: number, share: number])[];

function usualTones(part: Source, car: Car): Tones {
  if (part.startsWith('tyre')) return [[1, 1]];
  if (part === 'differential-front' || part === 'differential-rear') return [[car.teeth[part].ringTeeth, 1]];
  if (part === 'propshaft-centre-bearing') return [[car.propshaft, 1]];
  if (part === 'transmission') return [[car.crank * car.gearTeeth, 1]];
  if (part === 'engine') return [[(car.crank * car.cylinders) / 2, 3]];
  return [];
}

function faultTones(part: Source, car: Car, dice: Dice): Tones {
  const falling = (first: number, count: number): Tones =>
    Array.from({ length: count }, (_, k) => [first * (k + 1), dice.uniform(0.3, 1) / (k + 1)]);
  const around = (mesh: number, ...shafts: number[]): Tones => [
    ...falling(mesh, 3),
    ...shafts.flatMap((s): Tones => [-2, -1, 1, 2].map((k) => [mesh + k * s, 0.35 / Math.abs(k)])),
  ];
  // Flat spots and split belts are felt in the low orders, cups and worn blocks around as many as there are of them.
  if (part.startsWith('tyre') && dice.uniform() < 0.5) return falling(1, Math.round(dice.uniform(3, 10)));
  if (part.startsWith('tyre')) return around(Math.round(2 ** dice.uniform(2.6, 6)), 1);
  if (part === 'differential-front' || part === 'differential-rear') {
    const { ringTeeth, pinionTeeth } = car.teeth[part];
    return around(ringTeeth, 1, ringTeeth / pinionTeeth);
  }
  if (part === 'propshaft-centre-bearing') return falling(car.propshaft, 3);
  if (part === 'transmission') return around(car.crank * car.gearTeeth, car.crank);
  // One cylinder that lags behind, or something driven by a belt.
  if (dice.uniform() < 0.6) return [0.5, 1, 1.5, 2, 2.5].map((k) => [k * car.crank, dice.uniform(0.2, 1)]);
  return falling(car.crank * dice.uniform(1.4, 3.2), 4);
}

function addTones(out: Float32Array, turns: Float64Array, tones: Tones, amplitude: number, dice: Dice): void {
  for (const [order, share] of tones) {
    const phase = dice.uniform(0, 2 * Math.PI);
    const size = amplitude * share;
    for (let i = 0; i < out.length; i++) {
      out[i] = out[i]! + size * Math.sin(2 * Math.PI * order * turns[i]! + phase);
    }
  }
}

/** Of a bearing on the part's own shaft, or of something loose in the engine that knocks once a cycle. */
function strikesPerTurn(part: Source, car: Car, dice: Dice): number {
  if (part.startsWith('wheel-bearing')) return car.bearing;
  if (part === 'engine') return car.crank * dice.pick([0.5, 1]);
  return dice.uniform(2.4, 8) * (part === 'transmission' ? car.crank : car.propshaft);
}

/** A signature of about unit amplitude. */
function addFault(
  out: Float32Array,
  turns: Float64Array,
  part: Source,
  signature: Signature,
  car: Car,
  fault_Hz: number,
  dice: Dice,
): void {
  if (signature === 'tones') addTones(out, turns, faultTones(part, car, dice), 1, dice);
  else if (signature === 'oneTone') addTones(out, turns, usualTones(part, car).slice(0, 1), 1, dice);
  else if (signature === 'strikes') strike(out, RATE_HZ, turns, strikesPerTurn(part, car, dice), 3, dice);
  else {
    const shaft = part.startsWith('propshaft') ? car.propshaft : 1;
    const depth = signature === 'swelling' ? 0.8 : part.startsWith('wheel-bearing') ? 0.4 : 0;
    const noise = noiseAround(out.length, RATE_HZ, fault_Hz, 2, dice);
    for (let i = 0; i < out.length; i++) {
      out[i] = out[i]! + noise[i]! * (1 + depth * Math.cos(2 * Math.PI * shaft * turns[i]!));
    }
  }
}

function applyLoad(signal: Float32Array, part: Source, state: (frame: number) => DrivingState): void {
  const corner = part.startsWith('wheel-bearing') || part.startsWith('tyre');
  const loaded = part.endsWith('left') ? 'swayLeft' : 'swayRight';
  for (let i = 0; i < signal.length; i++) {
    const now = state(i);
    const factor = corner
      ? now.startsWith('sway')
        ? now === loaded
          ? 1.5
          : 0.6
        : 1
      : now === 'drive'
        ? 1.3
        : now === 'coast'
          ? 0.9
          : 0.6;
    signal[i] = factor * signal[i]!;
  }
}
