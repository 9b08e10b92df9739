import { type BearingRates, bearingRates } from '../../shared/driveline/bearing.ts';
import type { BearingDimensions } from '../../shared/driveline/runningGear.ts';
import { WHEELS } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import { clamp, type ModalCar, type Motion } from './motion.ts';
import { hasRear } from './net.ts';
import {
  added,
  at,
  type Course,
  cosine,
  type Harmonic,
  impacts,
  type Mode,
  pickWeighted,
  RATE_HZ,
  ringing,
  scaled,
  shapedNoise,
  shapeOf,
  signalOf,
  swell,
  toLevel,
  wander,
  waveOf,
} from './signals.ts';

/**
 * How the modal drive's parts excite the structure that they sit in, bearings and gears as the faults need them too.
 * What is drawn first stays with the car; every run is another realisation.
 */

export type Excitation = (motion: Motion, random: Random) => Float32Array;

const phase = (random: Random): number => random.range(0, 1);
export const harmonicsOf = (
  count: number,
  random: Random,
  amplitudeOf: (order: number) => number,
): Harmonic[] => Array.from({ length: count }, (_, k) => [k + 1, amplitudeOf(k + 1), phase(random)]);

export type WornFlank = 'drive' | 'coast' | 'both' | 'float';

/** How a gear pair's noise answers to torque. */
export function torqueWeight(torque: Course, flank: WornFlank): Course {
  return torque.map((share) => {
    const up = clamp(share / 0.6, 0, 1.5);
    const down = clamp(-share / 0.3, 0, 1.3);
    if (flank === 'drive') return 0.15 + up + 0.18 * down;
    if (flank === 'coast') return 0.15 + 0.2 * up + down;
    if (flank === 'both') return 0.3 + up ** 0.7 + down ** 0.7;
    return 0.3 + 0.3 * up + 0.3 * down + Math.exp(-((share / 0.12) ** 2));
  });
}

export interface Mesh {
  readonly teeth: number;
  readonly slow: Float64Array;
  readonly fast: Float64Array;
  /** The shaft that the teeth are counted on. */
  readonly on: 'slow' | 'fast';
  readonly flank: WornFlank;
}

/** Harmonics of the tooth rate whose height and phase both shafts sway (eccentricity, tooth spacing). */
export function drawMesh(
  random: Random,
  depth = 1,
): (mesh: Mesh, motion: Motion, run: Random) => Float32Array {
  const shares = [1, random.range(0.2, 0.9), random.range(0.1, 0.4), random.range(0.03, 0.2)];
  const tooth = waveOf(harmonicsOf(4, random, (k) => shares[k - 1]!));
  const [slowDepth, fastDepth] = [depth * random.range(0.05, 0.45), depth * random.range(0.1, 0.6)];
  const slowHeight = waveOf([[1, slowDepth, phase(random)]]);
  const fastHeight = waveOf(harmonicsOf(2, random, (k) => (k === 1 ? fastDepth : 0.4 * fastDepth)));
  const slip = 0.15 / (2 * Math.PI);
  const slowPhase = waveOf([[1, slip, phase(random)]]);
  const fastPhase = waveOf([[1, slip, phase(random)]]);
  const growth = random.range(0.7, 1.8);
  return ({ teeth, slow, fast, on, flank }, { frames, torque, pace }, run) => {
    const turns = on === 'slow' ? slow : fast;
    const unsteadyPhase = wander(frames, 3, run);
    const unsteady = wander(frames, 2, run);
    const height = torqueWeight(torque, flank).map(
      (weight, k) => weight * pace[k]! ** growth * (1 + 0.12 * unsteady[k]!),
    );
    const signal = signalOf(frames, (i) => {
      const sway = fastPhase(fast[i]!) + slowPhase(slow[i]!) + (0.1 / (2 * Math.PI)) * at(unsteadyPhase, i);
      return tooth(teeth * turns[i]! + sway) * (1 + slowHeight(slow[i]!)) * (1 + fastHeight(fast[i]!));
    });
    return toLevel(swell(signal, height), 1);
  };
}

export type Damage = 'outer' | 'inner' | 'element' | 'worn';

export interface Turning {
  readonly turns: Float64Array;
  readonly rates: BearingRates;
  readonly load: Course;
  readonly pace: Course;
}

/** Impacts of spalls, noise that swells with each passing element, and the hum of a wavy track; wear has more of the latter two. */
export function drawBadBearing(
  kinds: readonly (readonly [Damage, number])[],
  [least_Hz, most_Hz]: readonly [number, number],
  random: Random,
): (turning: Turning, random: Random) => Float32Array {
  const damage = pickWeighted(kinds, random);
  const modes = Array.from(
    { length: random.integer(3, 6) },
    (): Mode => [
      random.logRange(least_Hz, most_Hz),
      random.range(0.02, 0.07),
      random.range(0.3, 1),
      random.range(0, 2 * Math.PI),
    ],
  );
  const spalls = random.chance(0.45) ? 1 : random.integer(2, 4);
  const defects = Array.from(
    { length: spalls },
    (_, k) => (k === 0 ? [0, 1] : [random.range(0.1, 0.9), random.range(0.3, 0.9)]) as [number, number],
  );
  const f0 = random.range(400, 2500);
  const rough = shapeOf((f) => roughness(f, f0) / (1 + (f / 7000) ** 4));
  const worn = damage === 'worn';
  const loadExponent = random.range(0.8, 2);
  const zone = random.range(0.4, 0.95);
  const start = phase(random);
  const slip = 1 + random.normal(0, 0.003);
  const jitter = random.range(0.004, 0.018) * (worn ? 2 : 1);
  const growth = random.range(0.8, 1.6);
  const fall = random.range(0.4, 1.2);
  const wave = waveOf(harmonicsOf(6, random, (k) => random.range(0.4, 1) / k ** fall));
  const shares = worn
    ? ([
        [0.25, 0.5],
        [0.5, 0.9],
        [0.4, 0.9],
      ] as const)
    : ([
        [0.8, 1],
        [0.1, 0.5],
        [0.1, 0.5],
      ] as const);
  const [blows, noise, hum] = shares.map(([least, most]) => random.range(least, most));
  return ({ turns, rates, load, pace }, run) => {
    const frames = turns.length;
    const rate = damage === 'element' ? rates.elementStrike : damage === 'inner' ? rates.inner : rates.outer;
    const order = rate * slip;
    const loaded = load.map((x) => x ** loadExponent);
    const inLoad = (turned: number): number => {
      if (damage === 'inner') return 1 - zone + 1.8 * zone * Math.max(0, cosine(turned + start)) ** 1.3;
      return damage === 'element' ? 0.45 + 0.55 * cosine(turned * rates.cage + start) ** 2 : 1;
    };
    const strength = (i: number, turned: number) => at(loaded, i) * at(pace, i) ** growth * inLoad(turned);
    const ring = ringing(impacts(turns, { order, jitter, strength, defects }, run), modes);
    const carrier = damage === 'inner' ? 1 : rates.cage;
    const hiss = shapedNoise(frames, rough, run);
    for (let i = 0; i < frames; i++) {
      const turned = turns[i]!;
      hiss[i] =
        hiss[i]! * (1 + 0.8 * cosine(turned * order + start) * (0.6 + 0.4 * cosine(turned * carrier)));
    }
    swell(
      hiss,
      loaded.map((x, k) => x * pace[k]! ** growth),
    );
    const tones = signalOf(frames, (i) => wave(order * turns[i]!));
    swell(
      tones,
      loaded.map((x, k) => x * pace[k]! ** 1.5),
    );
    return added(toLevel(ring, blows!), toLevel(hiss, noise!), toLevel(tones, hum!));
  };
}

/** Elements as large as they may be for their number, at most that share of the pitch diameter. */
export function bearingOf(elements: number, share: number): BearingRates {
  const widest = Math.min(share, 0.98 * Math.sin(Math.PI / elements));
  const bearing: BearingDimensions = {
    rollingElements: elements,
    elementDiameter_mm: 100 * widest,
    pitchDiameter_mm: 100,
    contactAngle_deg: 0,
  };
  return bearingRates(bearing);
}

const roughness = (f: number, f0: number): number => f / f0 / (1 + (f / f0) ** 2);

export type TyreWear = 'cupping' | 'belt' | 'flat' | 'heelAndToe';
const PROFILE_ORDERS = 90;
const TYRE_MODES: Mode[] = [
  [38, 0.15, 0.5, 0],
  [92, 0.09, 0.7, 0],
  [218, 0.03, 0.5, 0],
  [330, 0.06, 0.3, 0],
  [520, 0.08, 0.25, 0],
];

/** Radial profile over one turn, as the amplitude of each order: ordinary unevenness, and what wear adds. */
function profileOf(wear: TyreWear | null, random: Random): (order: number) => number {
  const hump = (order: number, centre: number, width: number) => Math.exp(-(((order - centre) / width) ** 2));
  const usual = (order: number) => (0.35 * rayleigh(random)) / order ** 1.1;
  if (wear === 'cupping') {
    const [cups, width] = [random.range(7, 17), random.range(1.2, 3.5)];
    return (o) =>
      usual(o) +
      0.7 * rayleigh(random) * hump(o, cups, width) +
      0.28 * rayleigh(random) * hump(o, 2 * cups, 4);
  }
  if (wear === 'belt') {
    const width = random.range(0.025, 0.06);
    return (o) => usual(o) + 0.8 * Math.exp(-((2 * o * width) ** 2)) * (1 + 0.3 * random.normal()) * o ** 0.3;
  }
  if (wear === 'flat') {
    const width = Math.PI * random.range(0.03, 0.06);
    return (o) =>
      usual(o) + (0.7 * Math.abs(Math.sin(o * width) / (o * width)) * random.range(0.6, 1.3)) / o ** 0.25;
  }
  if (wear === 'heelAndToe') {
    const blocks = random.integer(30, 63);
    return (o) =>
      usual(o) +
      0.7 * rayleigh(random) * hump(o, blocks, 3) +
      0.28 * rayleigh(random) * hump(o, blocks / 2, 3);
  }
  const pitches = random.integer(58, 79);
  return (o) => 0.8 * usual(o) + 0.05 * hump(o, pitches, 5) * rayleigh(random);
}

const rayleigh = (random: Random): number => Math.sqrt(-2 * Math.log(1 - random.range(0, 1)));

/** The profile pushes the wheel, and its slope rings the tyre. */
export function drawTyre(wheel: (typeof WHEELS)[number], wear: TyreWear | null, random: Random): Excitation {
  const profile = waveOf(harmonicsOf(PROFILE_ORDERS, random, profileOf(wear, random)));
  return ({ frames, wheel: turns, load, pace }, run) => {
    const unsteady = wander(frames, 3, run).map((x) => 1 + 0.06 * x);
    const push = swell(
      signalOf(frames, (i) => profile(turns[wheel][i]!)),
      unsteady,
    );
    const slope = signalOf(frames, (i) => (i === 0 ? 0 : 6 * (push[i]! - push[i - 1]!)));
    added(push, ringing(slope, TYRE_MODES));
    return swell(
      push,
      load[wheel].map((x, k) => x ** 0.4 * pace[k]! ** 1.8),
    );
  };
}

const BUMP_MODES: Mode[] = [
  [13, 0.2, 0.35, 0],
  [45, 0.12, 0.5, 0],
  [95, 0.1, 0.7, 0],
  [220, 0.05, 0.4, 0],
  [600, 0.08, 0.25, 0],
  [1500, 0.06, 0.12, 0],
];
const MEAN_BUMP_GAP_S = 12;

/** Bumps: the front wheels take them first, the rear ones a wheelbase later. */
function bumps(car: ModalCar, { frames, speed_m_s }: Motion, random: Random): Map<string, Float32Array> {
  const forces = new Map<string, Float32Array>();
  const gap_s = () => -MEAN_BUMP_GAP_S * Math.log(1 - random.range(0, 1));
  for (let t_s = 0.5 + gap_s(); t_s < frames / RATE_HZ - 1; t_s += gap_s()) {
    const height = (random.logRange(5, 35) * car.road) / 2;
    const under = random.pick(['left', 'right', '']);
    for (const wheel of WHEELS.filter((w) => w.endsWith(under))) {
      const later_s = wheel.startsWith('rear') ? car.wheelbase_m / at(speed_m_s, t_s * RATE_HZ) : 0;
      const start = Math.floor((t_s + later_s) * RATE_HZ);
      const length = Math.floor(random.range(0.002, 0.006) * RATE_HZ);
      if (start + length >= frames) continue;
      const force = forces.get(wheel) ?? new Float32Array(frames);
      forces.set(wheel, force);
      const push = (4 * height * random.range(0.7, 1.2)) / length;
      for (let i = 0; i < length; i++) force[start + i] = push * Math.sin((Math.PI * i) / length);
    }
  }
  return new Map([...forces].map(([wheel, force]) => [wheel, ringing(force, BUMP_MODES)]));
}

/** Road under a tyre: the body's and the axle's bounce, and the cavity of the tyre. */
function roadShape(random: Random) {
  const cavity = random.range(200, 235);
  const modes = [
    [13, 0.25, 1.2],
    [38, 0.15, 1],
    [88, 0.1, 0.9],
    [cavity, 0.03, 1.6],
    [cavity * 1.05, 0.03, 1],
  ] as const;
  return shapeOf((hz) => {
    const f = Math.max(hz, 0.5);
    let sum = (f / 12) ** 2 / (1 + (f / 12) ** 2) / (1 + (f / 350) ** 2) ** 0.75;
    for (const [f0, damping, size] of modes) {
      const x = f / f0;
      sum += (0.3 * size * x ** 2) / Math.hypot(1 - x ** 2, 2 * damping * x) / (1 + x ** 4) ** 0.7;
    }
    return sum / (1 + (f / 5000) ** 4);
  });
}

const PINK = shapeOf((f) => (f > 30 ? 1 / Math.sqrt(1 + (f / 700) ** 2) / (1 + (f / 6000) ** 4) : 0));
const BODY = shapeOf((f) => 1 / (1 + (f / 200) ** 2));
const COMBUSTION = shapeOf((f) => roughness(f, 150) / (1 + (f / 3000) ** 2));

/** What every part of a healthy car excites where it sits, by the names of the net. */
export function drawHealthyCar(
  car: ModalCar,
  random: Random,
): (motion: Motion, random: Random) => Map<string, Float32Array> {
  const road = roadShape(random);
  const hubs = WHEELS.map((wheel) => {
    const f0 = random.range(800, 3000);
    const waviness = random.logRange(0.01, 0.04);
    return {
      wheel,
      road: car.road * random.spread(1.2),
      tyre: drawTyre(wheel, null, random),
      tyreLevel: random.logRange(0.12, 0.4),
      bearing: random.logRange(0.06, 0.2),
      bearingShape: shapeOf((f) => roughness(f, f0) / (1 + (f / 8000) ** 4)),
      hum: waveOf(harmonicsOf(3, random, (k) => waviness / k)),
    };
  });
  const finalDrives = (['front', 'rear'] as const)
    .filter((end) => car.finalDrive[end])
    .map((end) => ({
      end,
      mesh: drawMesh(random),
      level: random.logRange(0.08, 0.35),
      noise: random.logRange(0.05, 0.15),
    }));
  const gearbox = {
    mesh: drawMesh(random),
    level: random.logRange(0.06, 0.3),
    noise: random.logRange(0.08, 0.25),
  };
  const shaftSizes = [random.logRange(0.05, 0.25), random.logRange(0.03, 0.12)];
  const shaft = waveOf(harmonicsOf(2, random, (k) => shaftSizes[k - 1]!));
  const shaftNoise = random.logRange(0.03, 0.08);
  const chain = {
    links: random.integer(28, 39),
    level: random.logRange(0.05, 0.15),
    noise: random.logRange(0.05, 0.12),
  };
  const engine = drawEngine(car.cylinders, random);
  const outerOrder = bearingRates(car.bearing).outer;
  return (motion, run) => {
    const { frames, pace, load, wheel: wheelTurns, torque } = motion;
    const noise = (shape = PINK, level = 1): Float32Array => scaled(shapedNoise(frames, shape, run), level);
    const withPace = (signal: Float32Array, exponent = 1) =>
      swell(
        signal,
        pace.map((x) => x ** exponent),
      );
    const felt = new Map<string, Float32Array>();
    const roughness = wander(frames, 0.5, run).map((x) => 1 + 0.2 * x);
    const tracks = { left: noise(road), right: noise(road) };
    const bumpAt = bumps(car, motion, run);
    const meanSpeed_m_s = motion.speed_m_s.reduce((a, b) => a + b) / motion.speed_m_s.length;
    for (const hub of hubs) {
      const { wheel } = hub;
      const track = tracks[wheel.endsWith('left') ? 'left' : 'right'];
      const lag = wheel.startsWith('rear') ? Math.floor((car.wheelbase_m / meanSpeed_m_s) * RATE_HZ) : 0;
      const own = noise(road, 0.6);
      // The rear wheels follow in the same track.
      const rolled = signalOf(frames, (i) => 0.8 * track[(i + frames - lag) % frames]! + own[i]!);
      swell(
        rolled,
        load[wheel].map((x, k) => hub.road * x ** 0.3 * pace[k]! ** 1.4 * roughness[k]!),
      );
      const bearing = swell(
        noise(hub.bearingShape, hub.bearing),
        load[wheel].map((x, k) => x ** 0.7 * pace[k]!),
      );
      const turns = wheelTurns[wheel];
      const hum = signalOf(frames, (i) => hub.hum(outerOrder * turns[i]!));
      const bump = bumpAt.get(wheel);
      added(rolled, toLevel(hub.tyre(motion, run), hub.tyreLevel), bearing, hum, ...(bump ? [bump] : []));
      felt.set(`hub-${wheel}`, rolled);
    }
    for (const { end, mesh, level, noise: size } of finalDrives) {
      const teeth = car.finalDrive[end]!.ringTeeth;
      const pair: Mesh = {
        teeth,
        slow: motion.axle[end],
        fast: motion.pinion[end],
        on: 'slow',
        flank: 'both',
      };
      felt.set(
        `differential-${end}`,
        added(withPace(noise(PINK, size)), scaled(mesh(pair, motion, run), level)),
      );
    }
    const whine = gearbox.mesh(gearboxMesh(motion, 'both'), motion, run);
    felt.set('transmission', added(withPace(noise(PINK, gearbox.noise)), scaled(whine, gearbox.level)));
    if (hasRear(car.layout)) {
      const propshaft = withPace(
        signalOf(frames, (i) => shaft(motion.pinion.rear[i]!)),
        2,
      );
      felt.set(
        'differential-rear-pinion',
        propshaft.map((x) => 0.6 * x),
      );
      felt.set('propshaft-centre-bearing', added(propshaft, withPace(noise(PINK, shaftNoise))));
    }
    if (car.layout === 'awd') {
      const unsteady = wander(frames, 2, run).map((x) => (0.2 * x) / (2 * Math.PI));
      const links = signalOf(frames, (i) => cosine(chain.links * motion.pinion.rear[i]! + at(unsteady, i)));
      swell(links, torqueWeight(torque, 'both'));
      felt.set('transfer-case', added(withPace(noise(PINK, chain.noise)), toLevel(links, chain.level)));
    }
    felt.set('engine', engine(motion, run));
    felt.set('body', withPace(noise(BODY, 0.12), 2.5));
    return felt;
  };
}

export const gearboxMesh = ({ gear, gearboxOutput, crank }: Motion, flank: WornFlank): Mesh => ({
  teeth: gear.teeth,
  slow: gearboxOutput,
  fast: crank,
  on: 'fast',
  flank,
});

/** Firing and its harmonics, half orders of unlike cylinders, and noise that comes with every firing. */
function drawEngine(cylinders: number, random: Random): Excitation {
  const firing = [1, random.logRange(0.3, 0.8), random.logRange(0.15, 0.4), random.logRange(0.1, 0.3), 0.1];
  const unlike = random.logRange(0.02, 0.1);
  const cycle = waveOf([
    ...firing.map((size, k): Harmonic => [(k + 1) * cylinders, size, phase(random)]),
    ...harmonicsOf(12, random, () => unlike * random.range(0.2, 1)),
  ]);
  const level = random.logRange(0.7, 2.2);
  const noiseLevel = random.logRange(0.25, 0.7);
  return ({ frames, crank, crank_Hz, torque }, run) => {
    const effort = torque.map((x) => clamp(0.35 + 0.65 * Math.abs(x), 0, 1.4));
    const orders = swell(
      signalOf(frames, (i) => cycle(crank[i]! / 2)),
      effort,
    );
    const noise = shapedNoise(frames, COMBUSTION, run);
    const lead = 1 / (2 * Math.PI);
    for (let i = 0; i < frames; i++) {
      noise[i] = noise[i]! * (1 + 0.5 * cosine((cylinders / 2) * crank[i]! + lead));
    }
    const sum = added(toLevel(orders, level), toLevel(swell(noise, effort), noiseLevel));
    return swell(
      sum,
      crank_Hz.map((hz) => (hz / 35) ** 1.2),
    );
  };
}
