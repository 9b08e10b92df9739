import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import type { BearingDimensions, FinalDriveTeeth } from '../../shared/driveline/runningGear.ts';
import { type DriveLayout, type DrivingState, WHEELS, type Wheel } from '../../shared/driveline/words.ts';
import { finalDrives, STATES } from '../other-drives/drive-visit.ts';
import { lowPassed } from '../other-drives/noises.ts';
import type { Random } from '../road-drive/random.ts';
import { type Build, ModalNet } from './net.ts';
import { at, COURSE_RATE_HZ, type Course, courseOf, pickWeighted, RATE_HZ, wander } from './signals.ts';

/**
 * The modal drive's cars and how they are driven: torque, speed and cornering change from state to state and settle
 * slowly, wheels slip under torque and turn at different rates in bends.
 */

export interface Gear {
  readonly ratio: number;
  readonly teeth: number;
}

export interface ModalCar extends Build {
  /** As the workshop knows it. */
  readonly circumference_m: number;
  readonly rolled_m: Readonly<Record<Wheel, number>>;
  readonly bearing: BearingDimensions;
  readonly finalDrive: { readonly front: FinalDriveTeeth | null; readonly rear: FinalDriveTeeth | null };
  readonly cylinders: number;
  readonly wheelbase_m: number;
  readonly track_m: number;
  /** Turns of what the belt drives in one of the crank. */
  readonly pulley: number;
  readonly gears: { readonly top: Gear; readonly middle: Gear; readonly low: Gear };
  /** Roughness of the roads it is driven on, m/s² at a hub. */
  readonly road: number;
  readonly net: ModalNet;
}

export function drawCar(layout: DriveLayout, random: Random): ModalCar {
  const circumference_m = Math.round(1000 * random.range(1.8, 2.3)) / 1000;
  const true_m = circumference_m * (1 + clamp(random.normal(0, 0.007), -0.02, 0.02));
  const rollingElements = random.integer(11, 16);
  const pitch_mm = random.range(48, 66);
  const element_mm = Math.min(random.range(9.5, 13.5), (0.93 * Math.PI * pitch_mm) / rollingElements);
  const transverse = layout === 'fwd' || (layout === 'awd' && random.chance(0.4));
  const hypoid = { ringTeeth: random.integer(36, 44), pinionTeeth: random.integer(9, 13) };
  const helical = { ringTeeth: random.integer(56, 79), pinionTeeth: random.integer(15, 21) };
  const cylinders = random.pick([3, 4, 4, 4, 4, 6, 6, 8]);
  const gear = (from: number, to: number): Gear => ({
    ratio: Math.round(1000 * random.range(from, to)) / 1000,
    teeth: random.integer(19, 44),
  });
  const build = { layout, transverse, solidAxle: !transverse && random.chance(0.3) };
  return {
    ...build,
    circumference_m,
    rolled_m: byWheel(() => true_m * (1 + random.normal(0, 0.0012))),
    bearing: {
      rollingElements,
      elementDiameter_mm: Math.round(100 * element_mm) / 100,
      pitchDiameter_mm: Math.round(10 * pitch_mm) / 10,
      contactAngle_deg: random.integer(30, 40),
    },
    finalDrive: finalDrives(layout, transverse ? helical : hypoid, hypoid),
    cylinders: transverse && cylinders === 8 ? 4 : cylinders,
    wheelbase_m: random.range(2.5, 3),
    track_m: random.range(1.45, 1.65),
    pulley: random.range(2.2, 3.1),
    gears: { top: gear(0.66, 0.88), middle: gear(1, 1.4), low: gear(1.55, 2.1) },
    road: random.logRange(1.3, 4),
    net: new ModalNet(build, random),
  };
}

export interface Motion {
  readonly frames: number;
  readonly speed_m_s: Course;
  /** Over that at 80 km/h. */
  readonly pace: Course;
  /** Of the engine, as a share of the most; negative while it brakes. */
  readonly torque: Course;
  /** Vertical load and cornering moment of each wheel over their usual ones. */
  readonly load: Readonly<Record<Wheel, Course>>;
  readonly crank_Hz: Course;
  readonly gear: Gear;
  /** Turned so far, at every frame. */
  readonly wheel: Readonly<Record<Wheel, Float64Array>>;
  readonly axle: Readonly<Record<'front' | 'rear', Float64Array>>;
  /** Shafts into the final drives, at the rear the propeller shaft; without such a drive it stands still. */
  readonly pinion: Readonly<Record<'front' | 'rear', Float64Array>>;
  readonly gearboxOutput: Float64Array;
  readonly crank: Float64Array;
  readonly segments: VisitToAnalyse['runs'][number]['segments'];
}

/** How a part excites the structure that it sits in; every run is another realisation. */
export type Excitation = (motion: Motion, random: Random) => Float32Array;

const PLANS: readonly (readonly [readonly DrivingState[], number])[] = [
  [STATES, 0.42],
  [['drive', 'coast', 'float'], 0.2],
  [['drive', 'coast'], 0.12],
  [['drive', 'swayLeft', 'swayRight'], 0.12],
  [['drive', 'float'], 0.08],
  [['drive'], 0.06],
];

/** @param needed states that the fault is heard in */
export function drawPlan(needed: readonly DrivingState[], random: Random): DrivingState[] {
  return [...new Set([...pickWeighted(PLANS, random), ...needed])];
}

export function drive(car: ModalCar, plan: readonly DrivingState[], seconds: number, random: Random): Motion {
  const frames = RATE_HZ * seconds;
  const order = random.shuffle(plan);
  while (order.length < 3 && random.chance(0.6)) order.push(order[order.length % plan.length]!);
  const spans = order.map(() => gammaOf14(random));
  const whole = spans.reduce((a, b) => a + b);
  let end_s = 0;
  const legs = order.map((state, k) => {
    const from_s = end_s;
    end_s = k + 1 < order.length ? from_s + (spans[k]! / whole) * seconds : seconds;
    return { state, from_s, to_s: end_s, ...drawLeg(state, random) };
  });
  // All settle like a first-order system: nobody steps on the pedal at once.
  const settled = (wantedOf: (leg: (typeof legs)[number], share: number) => number): Course => {
    const wanted = courseOf(frames, (k) => {
      const t = k / COURSE_RATE_HZ;
      const leg = legs.find(({ to_s }) => t < to_s) ?? legs.at(-1)!;
      return wantedOf(leg, Math.min(1, (t - leg.from_s) / (leg.to_s - leg.from_s)));
    });
    const start = wanted[0]!;
    return lowPassed(
      wanted.map((x) => x - start),
      COURSE_RATE_HZ,
      0.6,
    ).map((x) => x + start);
  };
  const acceleration = settled((leg) => leg.acceleration);
  const unsteady = wander(frames, 1.5, random);
  const torque = settled((leg) => leg.torque).map((x, k) => x + 0.04 * unsteady[k]!);
  const lateral = settled((leg, share) => leg.lateral * Math.min(1, 1.5 * Math.sin(Math.PI * share)));
  const start_m_s = random.range(50, 118) / 3.6;
  const drift_m_s = random.range(0.05, 0.25);
  const drift = wander(frames, 0.4, random);
  let gained_m_s = 0;
  const speed_m_s = acceleration.map((a, k) => {
    gained_m_s += a / COURSE_RATE_HZ;
    return clamp(start_m_s + gained_m_s + drift_m_s * drift[k]!, 9, 38);
  });
  const gear = car.gears[start_m_s > 23 ? 'top' : start_m_s > 16.5 ? 'middle' : 'low'];
  const driven = car.layout === 'rwd' ? 'rear' : 'front';
  const rates_Hz = byWheel((wheel) =>
    speed_m_s.map((v, k) => {
      const inBend = v + (sideOf(wheel) * (lateral[k]! / v) * car.track_m) / 2;
      const slip = wheel.startsWith(driven) ? 0.004 * torque[k]! : 0;
      return (inBend * (1 + slip)) / car.rolled_m[wheel];
    }),
  );
  const wheel = byWheel((w) => turnsAt(rates_Hz[w], frames, random.range(0, 1)));
  const mean = (axle: 'front' | 'rear') => {
    const right = wheel[`${axle}-right`];
    return wheel[`${axle}-left`].map((turns, i) => (turns + right[i]!) / 2);
  };
  const axle = { front: mean('front'), rear: mean('rear') };
  const ratioOf = (end: 'front' | 'rear') => {
    const teeth = car.finalDrive[end];
    return teeth ? teeth.ringTeeth / teeth.pinionTeeth : 0;
  };
  const shaftOf = (end: 'front' | 'rear') => {
    const [ratio, start] = [ratioOf(end), random.range(0, 1)];
    return axle[end].map((turns) => turns * ratio + start);
  };
  const pinion = { front: shaftOf('front'), rear: shaftOf('rear') };
  const out = car.transverse ? 'front' : 'rear';
  return {
    frames,
    speed_m_s,
    pace: speed_m_s.map((v) => v / 22.2),
    torque,
    load: byWheel((w) => lateral.map((a) => clamp(1 + sideOf(w) * 0.17 * a, 0.35, 1.7))),
    crank_Hz: rates_Hz[`${out}-left`].map(
      (left_Hz, k) => ((left_Hz + rates_Hz[`${out}-right`][k]!) / 2) * ratioOf(out) * gear.ratio,
    ),
    gear,
    wheel,
    axle,
    pinion,
    gearboxOutput: pinion[out],
    crank: pinion[out].map((turns) => turns * gear.ratio),
    segments: legs.map(({ state, from_s, to_s }, k) => ({
      from_s: from_s + (k > 0 ? random.range(0.15, 0.6) : 0),
      to_s: to_s - (k + 1 < legs.length ? random.range(0.05, 0.4) : 0),
      state,
      gearRatio: gear.ratio,
    })),
  };
}

/** Metres per second squared, and the torque's share; a bend to the left, which loads the right wheels, counts above 0. */
function drawLeg(state: DrivingState, random: Random) {
  const between = (a: number, b: number) => random.range(a, b);
  if (state === 'drive') return { acceleration: between(0.05, 0.45), torque: between(0.45, 1), lateral: 0 };
  if (state === 'coast')
    return { acceleration: between(-0.6, -0.25), torque: between(-0.5, -0.2), lateral: 0 };
  if (state === 'float') return { acceleration: between(-0.12, 0), torque: between(0, 0.1), lateral: 0 };
  const lateral = between(1.6, 3.2) * (state === 'swayRight' ? 1 : -1);
  return { acceleration: between(-0.12, 0.05), torque: between(0.12, 0.3), lateral };
}

function turnsAt(rate_Hz: Course, frames: number, start: number): Float64Array {
  const turns = new Float64Array(frames);
  let turned = start;
  for (let i = 0; i < frames; i++) turns[i] = turned += at(rate_Hz, i) / RATE_HZ;
  return turns;
}

const byWheel = <T>(of: (wheel: Wheel) => T): Record<Wheel, T> =>
  Object.fromEntries(WHEELS.map((wheel) => [wheel, of(wheel)])) as Record<Wheel, T>;

const sideOf = (wheel: Wheel): number => (wheel.endsWith('right') ? 1 : -1);

export const clamp = (x: number, least: number, most: number): number => Math.min(most, Math.max(least, x));

/** Normalised, such spans share the drive as a Dirichlet distribution of that weight does. */
function gammaOf14(random: Random): number {
  let sum = 0;
  for (let k = 0; k < 14; k++) sum += random.exponential(1);
  return sum;
}
