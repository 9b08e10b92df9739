import { nextPowerOfTwo, realFft } from '../../shared/dsp/fft.ts';
import { loadSingleFft, singleFft } from '../../shared/dsp/fft-single.ts';
import type { Random } from '../road-drive/random.ts';

/**
 * What the modal drive's signals are made of: slow courses, waves that repeat each turn, Gaussian noise of any shape,
 * impacts and the modes that ring after them.
 */

await loadSingleFft();

export const RATE_HZ = 24_000;
/** Frequencies at which spectra and paths are described, from zero to half the sample rate. */
export const BINS = 4097;
export const hzOf = (bin: number): number => (bin * RATE_HZ) / 2 / (BINS - 1);

/** What changes slowly over a run, once every 10 ms and straight between. */
export type Course = Float32Array;
const STEP = 240;
export const COURSE_RATE_HZ = RATE_HZ / STEP;

export function courseOf(frames: number, valueAt: (k: number) => number): Course {
  return Float32Array.from({ length: Math.ceil(frames / STEP) + 1 }, (_, k) => valueAt(k));
}

export function at(course: Course, frame: number): number {
  const k = Math.floor(frame / STEP);
  return course[k]! + (frame / STEP - k) * (course[k + 1]! - course[k]!);
}

/** Multiplies in place. */
export function swell(signal: Float32Array, course: Course): Float32Array {
  for (let i = 0; i < signal.length; i++) signal[i] = signal[i]! * at(course, i);
  return signal;
}

/** Unit mean square, nothing above the corner. */
export function wander(frames: number, corner_Hz: number, random: Random): Course {
  const waves = Array.from(
    { length: 14 },
    () => [random.range(0.02, corner_Hz), random.range(0, 1)] as const,
  );
  return courseOf(frames, (k) => {
    let sum = 0;
    for (const [f, phase] of waves) sum += cosine((f * k) / COURSE_RATE_HZ + phase);
    return sum / Math.sqrt(7);
  });
}

function rms(signal: Float32Array): number {
  let power = 0;
  for (const x of signal) power += x * x;
  return Math.sqrt(power / signal.length) + 1e-30;
}

export function scaled(signal: Float32Array, gain: number): Float32Array {
  for (let i = 0; i < signal.length; i++) signal[i] = signal[i]! * gain;
  return signal;
}

/** Scales to a root mean square, in place. */
export const toLevel = (signal: Float32Array, level: number): Float32Array =>
  scaled(signal, level / rms(signal));

/** The sum of signals, in the first. */
export function added(sum: Float32Array, ...others: Float32Array[]): Float32Array {
  for (const other of others) for (let i = 0; i < sum.length; i++) sum[i] = sum[i]! + other[i]!;
  return sum;
}

export function signalOf(frames: number, valueAt: (frame: number) => number): Float32Array {
  const out = new Float32Array(frames);
  for (let i = 0; i < frames; i++) out[i] = valueAt(i);
  return out;
}

export type Shape = Float32Array;
export const shapeOf = (amplitudeAt: (f_Hz: number) => number): Shape =>
  Float32Array.from({ length: BINS }, (_, bin) => amplitudeAt(hzOf(bin)));

/** Noise that rises with frequency up to a corner and falls from there. */
export const roughness = (f: number, f0: number): number => f / f0 / (1 + (f / f0) ** 2);

/** Gaussian noise of that amplitude spectrum and unit mean square. */
export function shapedNoise(frames: number, shape: Shape, random: Random): Float32Array {
  const fft = singleFft(nextPowerOfTwo(frames));
  const { spectrum } = fft;
  // The spectrum of white Gaussian noise is white Gaussian noise itself.
  random.fillNormal(spectrum, spectrum.length);
  spectrum[1] = 0;
  for (let bin = 0; bin < fft.bins; bin++) {
    const x = (bin * (BINS - 1)) / fft.bins;
    const k = Math.floor(x);
    const gain = shape[k]! + (x - k) * (shape[k + 1]! - shape[k]!);
    spectrum[2 * bin] = spectrum[2 * bin]! * gain;
    spectrum[2 * bin + 1] = spectrum[2 * bin + 1]! * gain;
  }
  fft.transformBack();
  return toLevel(fft.input.slice(0, frames), 1);
}

export type Harmonic = readonly [order: number, amplitude: number, phase_turns: number];
/** Where a wave stands at the start, in turns. */
export const phase = (random: Random): number => random.range(0, 1);
export const harmonicsOf = (
  count: number,
  random: Random,
  amplitudeOf: (order: number) => number,
): Harmonic[] => Array.from({ length: count }, (_, k) => [k + 1, amplitudeOf(k + 1), phase(random)]);

const TABLE = 4096;

/** A wave that repeats each turn, read from a table because it is asked for millions of times. */
export function waveOf(harmonics: readonly Harmonic[]): (turns: number) => number {
  const table = new Float32Array(TABLE + 1);
  for (const [order, amplitude, phase] of harmonics) {
    for (let i = 0; i <= TABLE; i++) {
      table[i] = table[i]! + amplitude * Math.cos(2 * Math.PI * ((order * i) / TABLE + phase));
    }
  }
  return (turns) => {
    const x = (turns - Math.floor(turns)) * TABLE;
    const k = Math.floor(x);
    return table[k]! + (x - k) * (table[k + 1]! - table[k]!);
  };
}
export const cosine = waveOf([[1, 1, 0]]);

/** A mode's answer to a blow is a decaying sine. */
export type Mode = readonly [f_Hz: number, damping: number, weight: number, phase_rad: number];

/** Parallel modes driven by a force; each is the recursion whose impulse response is its decaying sine. */
export function ringing(force: Float32Array, modes: readonly Mode[]): Float32Array {
  const out = new Float32Array(force.length);
  for (const [f_Hz, damping, weight, phase] of modes) {
    const w = (2 * Math.PI * f_Hz) / RATE_HZ;
    const turn = w * Math.sqrt(1 - damping * damping);
    const decay = Math.exp(-w * damping);
    const [b0, b1] = [weight * Math.sin(phase), weight * decay * Math.sin(turn - phase)];
    const [a1, a2] = [2 * decay * Math.cos(turn), -decay * decay];
    let [before, y1, y2] = [0, 0, 0];
    for (let i = 0; i < out.length; i++) {
      const x = force[i]!;
      const y = b0 * x + b1 * before + a1 * y1 + a2 * y2;
      [before, y2, y1] = [x, y1, y];
      out[i] = out[i]! + y;
    }
  }
  return out;
}

export interface ImpactOptions {
  /** Passes in a turn of the shaft. */
  readonly order: number;
  /** Of the way from pass to pass; it adds up, as slip does. */
  readonly jitter: number;
  readonly strength: (frame: number, turns: number) => number;
  /** Where they lie between two passes, and how hard they strike. */
  readonly defects?: readonly (readonly [offset: number, strength: number])[];
}

export function impacts(turns: Float64Array, options: ImpactOptions, random: Random): Float32Array {
  const { order, jitter, strength, defects = [[0, 1]] } = options;
  const out = new Float32Array(turns.length);
  const last = turns.length - 1;
  const passes: number[] = [];
  let next = turns[0]! + random.range(0, 1) / order;
  for (; next < turns[last]!; next += (1 + jitter * random.normal()) / order) passes.push(next);
  for (const [offset, hardness] of defects) {
    let i = 0;
    for (const pass of passes) {
      const place = pass + offset / order;
      if (place >= turns[last]!) break;
      while (turns[i + 1]! < place) i++;
      const between = (place - turns[i]!) / (turns[i + 1]! - turns[i]!);
      const height = hardness * (1 + 0.22 * random.normal()) * strength(i, place);
      out[i] = out[i]! + height * (1 - between);
      out[i + 1] = out[i + 1]! + height * between;
    }
  }
  return out;
}

const THIRD_OCTAVES_HZ = Array.from({ length: 26 }, (_, k) => 1000 * 2 ** ((k - 17) / 3));

/** Power in each third octave from 20 Hz to 6.3 kHz, in an arbitrary unit (Welch's method, Hann window). */
export function thirdOctaves(signal: Float32Array): { centre_Hz: number; power: number }[] {
  const size = 2 * (BINS - 1);
  const fft = realFft(size);
  const window = Float64Array.from(
    { length: size },
    (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size),
  );
  const powers = new Float64Array(BINS);
  for (let start = 0; start + size <= signal.length; start += size / 2) {
    for (let i = 0; i < size; i++) fft.input[i] = window[i]! * signal[start + i]!;
    fft.transform();
    for (let bin = 0; bin < BINS; bin++) {
      powers[bin] = powers[bin]! + fft.spectrum[2 * bin]! ** 2 + fft.spectrum[2 * bin + 1]! ** 2;
    }
  }
  return THIRD_OCTAVES_HZ.map((centre_Hz) => {
    const inBand = (bin: number) =>
      hzOf(bin) >= centre_Hz * 2 ** (-1 / 6) && hzOf(bin) < centre_Hz * 2 ** (1 / 6);
    return { centre_Hz, power: powers.reduce((sum, p, bin) => (inBand(bin) ? sum + p : sum), 1e-20) };
  });
}

/** One of several, as often as their weights say. */
export function pickWeighted<T>(from: readonly (readonly [T, number])[], random: Random): T {
  let rest = random.range(
    0,
    from.reduce((sum, [, weight]) => sum + weight, 0),
  );
  return (from.find(([, weight]) => (rest -= weight) < 0) ?? from.at(-1)!)[0];
}
