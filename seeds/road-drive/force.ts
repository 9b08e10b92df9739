import { Section, type Shape, ShapedNoise } from './filters.ts';
import type { Node } from './hops.ts';
import type { Motion } from './motion.ts';
import { Random } from './random.ts';

/**
 * What makes noise: a part adds its excitation to the node where it sits. Excitations are stated as the acceleration
 * they cause at their own node (force times the node's own accelerance), in m/s², so that levels can be compared
 * with what a pickup beside the part would show.
 */
export interface Excitation {
  readonly nodes: readonly Node[];
  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void;
}

/** Speed at which every level in the sources is stated: 80 km/h. */
export const REFERENCE_SPEED_M_S = 80 / 3.6;

/**
 * Adds a sine whose phase (in turns) and amplitude are given on the step grid, linear in between. Steps in which it
 * would pass 0.45 times the sample rate are left out.
 */
export function addTone(
  out: Float32Array,
  motion: Motion,
  phase: Float64Array,
  amplitude: Float64Array,
): void {
  const { hop, steps } = motion;
  const limit = 0.45 * hop;
  for (let step = 0; step < steps; step++) {
    const advance = phase[step + 1]! - phase[step]!;
    let size = amplitude[step]!;
    const growth = (amplitude[step + 1]! - size) / hop;
    if (advance > limit || (size === 0 && growth === 0)) continue;
    const start = 2 * Math.PI * (phase[step]! % 1);
    const turn = (2 * Math.PI * advance) / hop;
    const c = Math.cos(turn);
    const s = Math.sin(turn);
    let x = Math.cos(start);
    let y = Math.sin(start);
    const end = (step + 1) * hop;
    for (let i = step * hop; i < end; i++) {
      out[i]! += size * y;
      size += growth;
      const turned = x * c - y * s;
      y = y * c + x * s;
      x = turned;
    }
  }
}

/** A tone at a fixed multiple of a shaft. */
export class ShaftTone {
  private readonly order: number;
  private readonly offset: number;
  private phase = new Float64Array(0);

  constructor(random: Random, order: number) {
    this.order = order;
    this.offset = random.range(0, 1);
  }

  addTo(out: Float32Array, motion: Motion, turns: Float64Array, amplitude: Float64Array): void {
    if (this.phase.length !== turns.length) this.phase = new Float64Array(turns.length);
    for (let i = 0; i < turns.length; i++) this.phase[i] = this.order * turns[i]! + this.offset;
    addTone(out, motion, this.phase, amplitude);
  }
}

/** Noise in several bands whose level follows a gain on the step grid. */
export class BandNoise {
  private readonly bands: { noise: ShapedNoise; rms: number }[];

  constructor(random: Random, sampleRate_Hz: number, bands: readonly { shape: Shape; rms: number }[]) {
    this.bands = bands.map(({ shape, rms }, i) => ({
      noise: new ShapedNoise(new Random(random.word(), i), sampleRate_Hz, shape),
      rms,
    }));
  }

  addTo(out: Float32Array, motion: Motion, gain: Float64Array): void {
    const { hop, steps, frames } = motion;
    for (const { noise, rms } of this.bands) {
      const samples = noise.next(frames);
      const scale = rms * noise.scale;
      for (let step = 0; step < steps; step++) {
        let size = scale * gain[step]!;
        const growth = (scale * gain[step + 1]! - size) / hop;
        const end = (step + 1) * hop;
        for (let i = step * hop; i < end; i++) {
          out[i]! += size * samples[i]!;
          size += growth;
        }
      }
    }
  }
}

/** Short blows that set resonances ringing. */
export class Ringing {
  private readonly resonances: { section: Section; gain: number }[];
  private blows = new Float32Array(0);
  private ringing = new Float32Array(0);
  private struck = false;

  constructor(sampleRate_Hz: number, resonances: readonly { frequency_Hz: number; q: number }[]) {
    this.resonances = resonances.map(({ frequency_Hz, q }) => ({
      section: Section.resonance(frequency_Hz, sampleRate_Hz, q),
      // The first swing of the response to a unit sample has about this height; scale it to one.
      gain: (q * sampleRate_Hz) / (2 * Math.PI * frequency_Hz),
    }));
  }

  /** A blow that makes the ringing start with about `peak`, at a place between samples of the block to come. */
  strike(at: number, peak: number, frames: number): void {
    if (this.blows.length !== frames) {
      this.blows = new Float32Array(frames);
      this.ringing = new Float32Array(frames);
    }
    const i = Math.floor(at);
    const late = at - i;
    this.blows[i]! += peak * (1 - late);
    if (i + 1 < frames) this.blows[i + 1]! += peak * late;
    this.struck = true;
  }

  addTo(out: Float32Array, frames: number): void {
    if (!this.struck) return;
    for (const { section, gain } of this.resonances) {
      this.ringing.set(this.blows);
      section.process(this.ringing, frames);
      for (let i = 0; i < frames; i++) out[i]! += gain * this.ringing[i]!;
    }
    this.blows.fill(0);
  }
}

/** A value for every point of the step grid. */
export function onGrid(motion: Motion, value: (i: number) => number): Float64Array {
  const grid = new Float64Array(motion.steps + 1);
  for (let i = 0; i < grid.length; i++) grid[i] = value(i);
  return grid;
}

export const dB = (level: number) => 10 ** (level / 20);

/** Makes a gain on the step grid swell `order` times per turn of a shaft: 1 + depth cos. */
export function addModulation(
  gain: Float64Array,
  turns: Float64Array,
  order: number,
  depth: number,
  phase: number,
) {
  for (let i = 0; i < gain.length; i++) {
    gain[i]! *= 1 + depth * Math.cos(2 * Math.PI * (order * turns[i]! + phase));
  }
}
