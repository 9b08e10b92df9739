import type { Random } from '../road-drive/random.ts';
import { clamp, type Motion } from './motion.ts';
import { at, type Course, harmonicsOf, phase, signalOf, swell, toLevel, wander, waveOf } from './signals.ts';

/** Gear pairs of the modal drive: the same laws for healthy and worn ones. */

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

export const gearboxMesh = ({ gear, gearboxOutput, crank }: Motion, flank: WornFlank): Mesh => ({
  teeth: gear.teeth,
  slow: gearboxOutput,
  fast: crank,
  on: 'fast',
  flank,
});
