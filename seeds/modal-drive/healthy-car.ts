import { bearingRates } from '../../shared/driveline/bearing.ts';
import { WHEELS } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import { drawMesh, gearboxMesh, type Mesh, torqueWeight } from './mesh.ts';
import { clamp, type Excitation, type ModalCar, type Motion } from './motion.ts';
import { hasRear } from './net.ts';
import { bumps, roadShape } from './road.ts';
import {
  added,
  at,
  cosine,
  type Harmonic,
  harmonicsOf,
  phase,
  RATE_HZ,
  roughness,
  scaled,
  shapedNoise,
  shapeOf,
  signalOf,
  swell,
  toLevel,
  wander,
  waveOf,
} from './signals.ts';
import { drawTyre } from './tyre.ts';

/**
 * How the healthy parts of the modal drive excite the structure that they sit in. What is drawn first stays with the
 * car; every run is another realisation.
 */

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
    const unevenness = wander(frames, 0.5, run).map((x) => 1 + 0.2 * x);
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
        load[wheel].map((x, k) => hub.road * x ** 0.3 * pace[k]! ** 1.4 * unevenness[k]!),
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
