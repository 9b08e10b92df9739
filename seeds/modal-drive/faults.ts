import { bearingRates } from '../../shared/driveline/bearing.ts';
import type { DrivingState, Source, Wheel } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import { bearingOf, drawBadBearing } from './bad-bearing.ts';
import { drawMesh, gearboxMesh, torqueWeight, type WornFlank } from './mesh.ts';
import { clamp, type Excitation, type ModalCar, type Motion } from './motion.ts';
import { modalPlaces } from './net.ts';
import {
  added,
  at,
  type Course,
  cosine,
  harmonicsOf,
  impacts,
  type Mode,
  pickWeighted,
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
import { drawTyre } from './tyre.ts';

/** What goes wrong in the modal drive's cars: for every kind of part several faults, each with laws of its own. */

export interface ModalFault {
  /** Structure that it excites. */
  readonly on: string;
  /** Places on the part. */
  readonly heardAt: readonly string[];
  /** Where it stands out. */
  readonly band_Hz: readonly [number, number];
  readonly needs: readonly DrivingState[];
  readonly excitation: Excitation;
}

export function drawFault(source: Exclude<Source, 'none'>, car: ModalCar, random: Random): ModalFault {
  if (source === 'propshaft-centre-bearing') return drawPropshaftFault(source, random);
  if (source === 'transmission') return drawGearboxFault(source, random);
  if (source === 'engine') {
    const excitation = drawEngineFault(car, random);
    return { on: source, heardAt: ['engine-mount'], band_Hz: [20, 3000], needs: [], excitation };
  }
  if (source === 'differential-front' || source === 'differential-rear') {
    return drawFinalDriveFault(source, car, random);
  }
  const wheel = source.replace(/^(wheel-bearing|tyre)-/, '') as Wheel;
  const hub = `hub-${wheel}`;
  const place = { on: hub, heardAt: [hub], needs: [] };
  if (source.startsWith('tyre')) {
    const wear = pickWeighted(
      [
        ['cupping', 0.45],
        ['belt', 0.2],
        ['flat', 0.15],
        ['heelAndToe', 0.2],
      ] as const,
      random,
    );
    return { ...place, band_Hz: [20, 1200], excitation: drawTyre(wheel, wear, random) };
  }
  const bad = drawBadBearing(
    [
      ['outer', 0.35],
      ['inner', 0.33],
      ['element', 0.1],
      ['worn', 0.22],
    ],
    [250, 9000],
    random,
  );
  const rates = bearingRates(car.bearing);
  const excitation: Excitation = (motion, run) =>
    bad({ turns: motion.wheel[wheel], rates, load: motion.load[wheel], pace: motion.pace }, run);
  return { ...place, band_Hz: [150, 3000], excitation };
}

/** Damage to the bearings of shafts in gearboxes. */
const OF_SHAFTS = [
  ['outer', 0.35],
  ['inner', 0.35],
  ['worn', 0.3],
] as const;
const IN_GEARBOXES_HZ = [300, 7000] as const;

/** Load of a shaft's bearing: some of its own, and more with torque either way. */
const underTorque = (torque: Course, own: number): Course =>
  torque.map((x) => own + clamp(Math.abs(x), 0, 1));

function drawFinalDriveFault(
  source: 'differential-front' | 'differential-rear',
  car: ModalCar,
  random: Random,
): ModalFault {
  const end = source === 'differential-front' ? 'front' : 'rear';
  const place = {
    on: source,
    heardAt: modalPlaces(car.layout).filter((name) => name.startsWith(source)),
    band_Hz: [100, 4000] as const,
  };
  const worn = pickWeighted<WornFlank | 'pinionBearing'>(
    [
      ['drive', 0.33],
      ['coast', 0.2],
      ['both', 0.2],
      ['float', 0.07],
      ['pinionBearing', 0.2],
    ],
    random,
  );
  if (worn === 'pinionBearing') {
    const bad = drawBadBearing(OF_SHAFTS, IN_GEARBOXES_HZ, random);
    const rates = bearingOf(random.integer(15, 20), random.range(0.16, 0.22));
    const excitation: Excitation = ({ pinion, torque, pace }, run) =>
      bad({ turns: pinion[end], rates, load: underTorque(torque, 0.5), pace }, run);
    return { ...place, needs: [], excitation };
  }
  const mesh = drawMesh(random, 1.2);
  const teeth = car.finalDrive[end]!.ringTeeth;
  const rough = shapeOf((f) => (f > 80 ? 1 / (1 + (f / 900) ** 2) : 0));
  const excitation: Excitation = (motion, run) => {
    const { frames, axle, pinion, torque } = motion;
    const tones = mesh({ teeth, slow: axle[end], fast: pinion[end], on: 'slow', flank: worn }, motion, run);
    const hiss = swell(shapedNoise(frames, rough, run), torqueWeight(torque, worn));
    return added(tones, toLevel(hiss, 0.15));
  };
  return { ...place, needs: worn === 'coast' || worn === 'float' ? [worn] : [], excitation };
}

function drawPropshaftFault(source: string, random: Random): ModalFault {
  const bad = drawBadBearing(
    [
      ['outer', 0.3],
      ['inner', 0.3],
      ['element', 0.1],
      ['worn', 0.3],
    ],
    [180, 5000],
    random,
  );
  const rates = bearingOf(random.integer(8, 10), random.range(0.2, 0.26));
  const knock: Mode[] = [
    [random.range(60, 160), 0.1, 1, 0],
    [random.range(250, 700), 0.07, 0.6, 0],
    [1400, 0.06, 0.2, 0],
  ];
  const orders = waveOf(harmonicsOf(8, random, (k) => random.range(0.2, 1) / Math.sqrt(k)));
  const loose = random.chance(0.3);
  const excitation: Excitation = ({ frames, pinion, torque, pace }, run) => {
    const turns = pinion.rear;
    const load = torque.map((x) => 0.7 + 0.5 * clamp(Math.abs(x), 0, 1));
    const unbalance = swell(
      signalOf(frames, (i) => orders(turns[i]!)),
      pace.map((x, k) => x ** 2 * load[k]!),
    );
    toLevel(unbalance, 1);
    if (!loose) {
      const bearing = bad({ turns, rates, load: load.map((x) => 0.85 + 0.3 * x), pace }, run);
      return added(bearing, scaled(unbalance, 0.25));
    }
    const strength = (i: number, turned: number) => at(load, i) * (0.6 + 0.5 * cosine(turned / 2));
    const blows = impacts(turns, { order: 2, jitter: 0.03, strength }, run);
    return added(unbalance, toLevel(ringing(blows, knock), 0.7));
  };
  return { on: source, heardAt: [source], band_Hz: [30, 2500], needs: [], excitation };
}

function drawGearboxFault(source: string, random: Random): ModalFault {
  const kind = pickWeighted(
    [
      ['whine', 0.5],
      ['crank', 0.25],
      ['gearboxOutput', 0.25],
    ] as const,
    random,
  );
  const place = { on: source, heardAt: [source], band_Hz: [100, 4000] as const };
  if (kind === 'whine') {
    const flank = pickWeighted(
      [
        ['drive', 0.5],
        ['coast', 0.2],
        ['both', 0.3],
      ] as const,
      random,
    );
    const mesh = drawMesh(random);
    const excitation: Excitation = (motion, run) => mesh(gearboxMesh(motion, flank), motion, run);
    return { ...place, needs: flank === 'coast' ? ['coast'] : [], excitation };
  }
  const bad = drawBadBearing(OF_SHAFTS, IN_GEARBOXES_HZ, random);
  const rates = bearingOf(random.integer(9, 14), random.range(0.18, 0.25));
  const excitation: Excitation = (motion, run) =>
    bad({ turns: motion[kind], rates, load: underTorque(motion.torque, 0.55), pace: motion.pace }, run);
  return { ...place, needs: [], excitation };
}

/** Over that at 35 turns a second. */
const paceOf = ({ crank_Hz }: Motion): Course => crank_Hz.map((hz) => hz / 35);

function drawEngineFault(car: ModalCar, random: Random): Excitation {
  const kind = pickWeighted(
    [
      ['misfire', 0.28],
      ['mount', 0.2],
      ['accessory', 0.25],
      ['tappet', 0.15],
      ['bottomEnd', 0.12],
    ] as const,
    random,
  );
  const falling = (k: number): number => random.range(0.3, 1) / k ** 0.35;
  if (kind === 'misfire') {
    const halfOrders = waveOf(harmonicsOf(12, random, falling));
    return ({ frames, crank, torque }, run) => {
      const unsteady = wander(frames, 4, run);
      const effort = torque.map((x, k) => (0.3 + clamp(x, 0, 1.2)) * (1 + 0.25 * unsteady[k]!));
      return swell(
        signalOf(frames, (i) => halfOrders(crank[i]! / 2)),
        effort,
      );
    };
  }
  if (kind === 'mount') {
    // Hard or torn: firing orders and those of the crank pass on.
    const firing = waveOf(harmonicsOf(8, random, falling));
    const turning = waveOf(harmonicsOf(6, random, falling));
    return (motion) => {
      const { frames, crank, torque } = motion;
      const pace = paceOf(motion);
      const effort = underTorque(torque, 0.4).map((x, k) => x * pace[k]!);
      const fired = swell(
        signalOf(frames, (i) => firing((car.cylinders / 2) * crank[i]!)),
        effort,
      );
      const turned = swell(
        signalOf(frames, (i) => turning(crank[i]!)),
        pace.map((x) => x ** 1.5),
      );
      return added(toLevel(fired, 1), toLevel(turned, 0.35));
    };
  }
  if (kind === 'accessory') {
    const bad = drawBadBearing(
      [
        ['outer', 0.3],
        ['inner', 0.3],
        ['worn', 0.4],
      ],
      [400, 8000],
      random,
    );
    const rates = bearingOf(random.integer(8, 10), random.range(0.2, 0.26));
    const poles = 36;
    return (motion, run) => {
      const { frames, crank } = motion;
      const turns = crank.map((turned) => turned * car.pulley);
      const pace = paceOf(motion);
      const unsteady = wander(frames, 3, run).map((x) => (0.1 * x) / (2 * Math.PI));
      const load = pace.map(() => 1);
      const bearing = bad({ turns, rates, load, pace: pace.map((x) => clamp(x, 0.3, 3)) }, run);
      const tone = signalOf(frames, (i) => 0.35 * cosine(poles * turns[i]! + at(unsteady, i)));
      return added(bearing, swell(tone, pace));
    };
  }
  const knock: Mode[] = [
    [random.range(150, 500), 0.08, 0.5, 0],
    [random.range(900, 2500), 0.05, 1, 0],
    [random.range(3000, 6000), 0.04, 0.5, 1],
  ];
  return (motion, run) => {
    const pace = paceOf(motion);
    if (kind === 'tappet') {
      const strength = (i: number) => at(pace, i);
      return ringing(impacts(motion.crank, { order: 0.5, jitter: 0.004, strength }, run), knock);
    }
    const effort = underTorque(motion.torque, 0.4);
    const strength = (i: number, turned: number) =>
      at(effort, i) * at(pace, i) * (1 + 0.4 * cosine(turned / 2));
    return ringing(impacts(motion.crank, { order: 1, jitter: 0.008, strength }, run), knock);
  };
}
