import type { Wheel } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import type { Excitation } from './motion.ts';
import { added, harmonicsOf, type Mode, ringing, signalOf, swell, wander, waveOf } from './signals.ts';

/** Tyres of the modal drive: their radial profile pushes the wheel. */

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

const rayleigh = (random: Random): number => Math.sqrt(random.exponential(2));

/** The profile pushes the wheel, and its slope rings the tyre. */
export function drawTyre(wheel: Wheel, wear: TyreWear | null, random: Random): Excitation {
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
