import { WHEELS } from '../../shared/driveline/words.ts';
import type { Random } from '../road-drive/random.ts';
import type { ModalCar, Motion } from './motion.ts';
import { at, type Mode, RATE_HZ, ringing, shapeOf } from './signals.ts';

/** What the road does to the wheels of the modal drive. */

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
export function bumps(
  car: ModalCar,
  { frames, speed_m_s }: Motion,
  random: Random,
): Map<string, Float32Array> {
  const forces = new Map<string, Float32Array>();
  const gap_s = () => random.exponential(MEAN_BUMP_GAP_S);
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
export function roadShape(random: Random) {
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
