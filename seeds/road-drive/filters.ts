import type { Random } from './random.ts';

/**
 * Second-order sections (R. Bristow-Johnson, Audio EQ Cookbook) and noise shaped by them. A band that lies above
 * what the sample rate can hold is silent, as behind an anti-aliasing filter.
 */
export class Section {
  private readonly b: readonly [number, number, number];
  private readonly a1: number;
  private readonly a2: number;
  private z1 = 0;
  private z2 = 0;

  private constructor(b: readonly [number, number, number], a: readonly [number, number, number]) {
    this.b = [b[0] / a[0], b[1] / a[0], b[2] / a[0]];
    this.a1 = a[1] / a[0];
    this.a2 = a[2] / a[0];
  }

  static lowPass(frequency_Hz: number, sampleRate_Hz: number, q = Math.SQRT1_2): Section {
    if (frequency_Hz > 0.45 * sampleRate_Hz) return new Section([1, 0, 0], [1, 0, 0]);
    const { cos, alpha } = warped(frequency_Hz, sampleRate_Hz, q);
    return new Section([(1 - cos) / 2, 1 - cos, (1 - cos) / 2], [1 + alpha, -2 * cos, 1 - alpha]);
  }

  static highPass(frequency_Hz: number, sampleRate_Hz: number, q = Math.SQRT1_2): Section {
    if (frequency_Hz > 0.45 * sampleRate_Hz) return new Section([0, 0, 0], [1, 0, 0]);
    const { cos, alpha } = warped(frequency_Hz, sampleRate_Hz, q);
    return new Section([(1 + cos) / 2, -1 - cos, (1 + cos) / 2], [1 + alpha, -2 * cos, 1 - alpha]);
  }

  /** A resonance with unit gain at its peak. */
  static resonance(frequency_Hz: number, sampleRate_Hz: number, q: number): Section {
    if (frequency_Hz > 0.45 * sampleRate_Hz) return new Section([0, 0, 0], [1, 0, 0]);
    const { cos, alpha } = warped(frequency_Hz, sampleRate_Hz, q);
    return new Section([alpha, 0, -alpha], [1 + alpha, -2 * cos, 1 - alpha]);
  }

  process(samples: Float32Array, frames: number): void {
    const [b0, b1, b2] = this.b;
    const { a1, a2 } = this;
    let { z1, z2 } = this;
    for (let i = 0; i < frames; i++) {
      const x = samples[i]!;
      const y = b0 * x + z1;
      z1 = b1 * x - a1 * y + z2;
      z2 = b2 * x - a2 * y;
      samples[i] = y;
    }
    this.keep(z1, z2);
  }

  /** This section and then another in one pass: the processor works on both at once. */
  processWith(next: Section, samples: Float32Array, frames: number): void {
    const [b0, b1, b2] = this.b;
    const [c0, c1, c2] = next.b;
    const { a1, a2 } = this;
    const { a1: d1, a2: d2 } = next;
    let { z1, z2 } = this;
    let { z1: y1, z2: y2 } = next;
    for (let i = 0; i < frames; i++) {
      const x = samples[i]!;
      const y = b0 * x + z1;
      z1 = b1 * x - a1 * y + z2;
      z2 = b2 * x - a2 * y;
      const out = c0 * y + y1;
      y1 = c1 * y - d1 * out + y2;
      y2 = c2 * y - d2 * out;
      samples[i] = out;
    }
    this.keep(z1, z2);
    next.keep(y1, y2);
  }

  private keep(z1: number, z2: number): void {
    // Below this the state is inaudible; left alone it would sink into slow denormal numbers.
    this.z1 = Math.abs(z1) < 1e-25 ? 0 : z1;
    this.z2 = Math.abs(z2) < 1e-25 ? 0 : z2;
  }
}

function warped(frequency_Hz: number, sampleRate_Hz: number, q: number) {
  const w = (2 * Math.PI * frequency_Hz) / sampleRate_Hz;
  return { cos: Math.cos(w), alpha: Math.sin(w) / (2 * q) };
}

export type Shape = { from_Hz: number; to_Hz: number } | { resonance_Hz: number; q: number };

function sections(shape: Shape, sampleRate_Hz: number): Section[] {
  if ('resonance_Hz' in shape) return [Section.resonance(shape.resonance_Hz, sampleRate_Hz, shape.q)];
  return [Section.highPass(shape.from_Hz, sampleRate_Hz), Section.lowPass(shape.to_Hz, sampleRate_Hz)];
}

function run(sections: readonly Section[], samples: Float32Array, frames: number): void {
  const [first, second] = sections;
  if (second) first!.processWith(second, samples, frames);
  else first!.process(samples, frames);
}

/** Sample rate at which a noise's level is stated; at a lower one the part above half of it is simply missing. */
const REFERENCE_RATE_HZ = 48_000;

function whiteNoiseGain(shape: Shape): number {
  const response = new Float32Array(8192);
  response[0] = 1;
  run(sections(shape, REFERENCE_RATE_HZ), response, response.length);
  return Math.sqrt(response.reduce((sum, x) => sum + x * x, 0));
}

/** Gaussian noise in a band, made in consecutive blocks; `scale` times its samples has unit RMS. */
export class ShapedNoise {
  readonly scale: number;
  private readonly random: Random;
  private readonly sections: Section[];

  constructor(random: Random, sampleRate_Hz: number, shape: Shape) {
    this.random = random;
    this.sections = sections(shape, sampleRate_Hz);
    this.scale = Math.sqrt(sampleRate_Hz / REFERENCE_RATE_HZ) / whiteNoiseGain(shape);
  }

  /** The next block; valid until the next call for any noise. */
  next(frames: number): Float32Array {
    if (scratch.length < frames) scratch = new Float32Array(frames);
    this.random.fillNormal(scratch, frames);
    run(this.sections, scratch, frames);
    return scratch;
  }
}

/** One buffer for all noises keeps it in the cache. */
let scratch = new Float32Array(0);
