import { dot, firLowpass, kaiserBeta, kaiserLength, windowedSincLowpass } from './fir.ts';
import { assertFinite, assertNotEmpty, assertSameLength, assertWholeNumber } from './validation.ts';
import { besselI0, kaiser } from './windows.ts';

/** Design values; with them, the measured stopband stays below -100 dB everywhere. */
const STOPBAND_DB = 106;
/** Early stages and the interpolator, whose images and aliases add up. */
const STAGE_STOPBAND_DB = 116;

/**
 * Share of the output rate up to which the band stays flat: 1 / 2.56, common practice of vibration analysers.
 * From half the output rate on, everything is down by 100 dB.
 */
export const USABLE_BAND = 1 / 2.56;

const greatestCommonDivisor = (a: number, b: number): number =>
  b === 0 ? a : greatestCommonDivisor(b, a % b);

/**
 * Taps for resampling by up/down, at `up` times the input rate, gain 1 at 0 Hz: flat to `USABLE_BAND` of the lower
 * of the two rates, 100 dB down from half of it.
 */
export function resamplingTaps(up: number, down: number): Float64Array<ArrayBuffer> {
  const lowerRate = 1 / Math.max(up, down);
  return firLowpass(USABLE_BAND * lowerRate, lowerRate / 2, STOPBAND_DB, 1);
}

/**
 * Resamples a whole signal by the ratio up/down with a polyphase filter, delay taken out; as
 * `scipy.signal.resample_poly(x, up, down, window=taps)`. Zeros are taken before and after the signal.
 *
 * @param signal samples of any unit
 * @param up whole number of at least 1
 * @param down whole number of at least 1
 * @param taps an odd number of symmetric taps with gain 1 at 0 Hz, for up · rate; default `resamplingTaps`
 * @returns ceil(length · up / down) samples in the same unit
 * @throws RangeError for NaN, infinity or ratios that are not whole
 */
export function resampleRational(
  signal: Float32Array | Float64Array,
  up: number,
  down: number,
  taps?: Float64Array,
): Float64Array<ArrayBuffer> {
  assertWholeNumber(up, 'up', 1);
  assertWholeNumber(down, 'down', 1);
  assertFinite(signal, 'signal');
  const common = greatestCommonDivisor(up, down);
  const L = up / common;
  const M = down / common;
  if (L === 1 && M === 1) return Float64Array.from(signal);
  const h = taps ?? resamplingTaps(L, M);
  if (h.length % 2 === 0) throw new RangeError(`taps has ${h.length} values; their number must be odd`);
  const half = (h.length - 1) / 2;

  // Phase p holds taps p, p + L, … last first, so that each output is one inner product with the input.
  const phaseLength = Math.ceil(h.length / L);
  const phases = Array.from({ length: L }, (_, p) => {
    const phase = new Float64Array(phaseLength);
    for (let k = 0; p + k * L < h.length; k++) phase[phaseLength - 1 - k] = h[p + k * L]! * L;
    return phase;
  });
  const outputLength = Math.ceil((signal.length * L) / M);
  const padded = new Float64Array(signal.length + 2 * phaseLength);
  padded.set(signal, phaseLength);
  const output = new Float64Array(outputLength);
  for (let m = 0; m < outputLength; m++) {
    // Output m needs Σ_n x[n] h[half + mM - nL].
    const place = half + m * M;
    const newest = Math.floor(place / L);
    output[m] = dotWithin(phases[place % L]!, padded, newest + 1);
  }
  return output;
}

/** Inner product that takes zeros past the end of the samples. */
function dotWithin(weights: Float64Array, samples: Float64Array, offset: number): number {
  if (offset + weights.length <= samples.length) return dot(weights, samples, offset);
  let sum = 0;
  for (let k = 0; offset + k < samples.length; k++) sum += weights[k]! * samples[offset + k]!;
  return sum;
}

/** Samples taken in at once by a decimation stage. */
const CHUNK = 1024;

/** Outputs that a stage computes at once. */
const AT_ONCE = 4;

/** One streaming stage: symmetric low-pass, then every `factor`-th sample. Half-band taps skip their zeros. */
class DecimationStage {
  readonly #factor: number;
  readonly #length: number;
  readonly #centre: number;
  /** One weight for each pair of samples at equal distances 1, 1 + spacing, … from the middle one. */
  readonly #weights: Float64Array;
  readonly #spacing: number;
  readonly #samples: Float64Array;
  #filled: number;

  constructor({ taps, factor, halfBand }: DecimationStageDesign) {
    const middle = (taps.length - 1) / 2;
    this.#factor = factor;
    this.#length = taps.length;
    this.#centre = taps[middle]!;
    this.#spacing = halfBand ? 2 : 1;
    this.#weights = taps.slice(middle + 1).filter((_, k) => k % this.#spacing === 0);
    this.#samples = new Float64Array(taps.length - 1 + CHUNK + AT_ONCE * factor);
    this.#filled = taps.length - 1;
  }

  reset(): void {
    this.#samples.fill(0);
    this.#filled = this.#length - 1;
  }

  /**
   * Takes in `count` samples, at most `CHUNK`, from `from` on.
   *
   * @param output has room for `AT_ONCE` more than it receives
   * @returns number of samples written to `output`
   */
  process(input: Float32Array | Float64Array, from: number, count: number, output: Float64Array): number {
    const samples = this.#samples;
    const filled = this.#filled;
    for (let i = 0; i < count; i++) samples[filled + i] = input[from + i]!;
    const available = filled + count;
    const ready = Math.max(0, Math.ceil((available - this.#length + 1) / this.#factor));
    this.#filterInto(output, ready);
    const used = ready * this.#factor;
    samples.copyWithin(0, used, available);
    this.#filled = available - used;
    return ready;
  }

  /** Several outputs share each weight; those past `count` are computed in vain and not counted. */
  #filterInto(output: Float64Array, count: number): void {
    const samples = this.#samples;
    const weights = this.#weights;
    const centre = this.#centre;
    const spacing = this.#spacing;
    const step = this.#factor;
    for (let n = 0, m0 = (this.#length - 1) / 2; n < count; n += AT_ONCE, m0 += AT_ONCE * step) {
      const m1 = m0 + step;
      const m2 = m1 + step;
      const m3 = m2 + step;
      let a = centre * samples[m0]!;
      let b = centre * samples[m1]!;
      let c = centre * samples[m2]!;
      let d = centre * samples[m3]!;
      for (let k = 0, j = 1; k < weights.length; k++, j += spacing) {
        const weight = weights[k]!;
        a += weight * (samples[m0 - j]! + samples[m0 + j]!);
        b += weight * (samples[m1 - j]! + samples[m1 + j]!);
        c += weight * (samples[m2 - j]! + samples[m2 + j]!);
        d += weight * (samples[m3 - j]! + samples[m3 + j]!);
      }
      output[n] = a;
      output[n + 1] = b;
      output[n + 2] = c;
      output[n + 3] = d;
    }
  }
}

/** One stage of a decimator. */
export interface DecimationStageDesign {
  /** An odd number of symmetric taps with gain 1 at 0 Hz. */
  taps: Float64Array<ArrayBuffer>;
  factor: number;
  /** Every second tap but the middle one is zero. */
  halfBand: boolean;
}

/**
 * The low-pass taps of a decimator's stages with the factor of each, first stage first, for those who want to
 * repeat the computation elsewhere. Early stages are half-band filters that only protect what the last one keeps.
 */
export function decimationStages(factor: number): DecimationStageDesign[] {
  assertWholeNumber(factor, 'factor', 1);
  const stages: DecimationStageDesign[] = [];
  let rest = factor;
  while (rest % 2 === 0 && rest > 2) {
    // Kept: up to half the final rate, 0.5 / rest of this stage's rate; mirrored about a quarter of it: stopped.
    const transition = 0.5 - 1 / rest;
    const wanted = kaiserLength(STAGE_STOPBAND_DB, transition);
    // Half-band taps end on a weight that is not zero when their number is 3 more than a multiple of 4.
    const length = wanted + ((3 - (wanted % 4) + 4) % 4);
    const taps = windowedSincLowpass(kaiser(length, kaiserBeta(STAGE_STOPBAND_DB), 'symmetric'), 0.25);
    // The window method leaves the scale a hair off: hold the half-band property exactly.
    const middle = (length - 1) / 2;
    for (let k = 0; k < length; k++) if ((k - middle) % 2 === 0) taps[k] = 0;
    let sum = 0;
    for (const tap of taps) sum += tap;
    for (let k = 0; k < length; k++) taps[k]! *= 0.5 / sum;
    taps[middle] = 0.5;
    stages.push({ taps, factor: 2, halfBand: true });
    rest /= 2;
  }
  if (rest > 1) stages.push({ taps: resamplingTaps(1, rest), factor: rest, halfBand: false });
  return stages;
}

/**
 * Streaming decimator: flat to `USABLE_BAND` of the output rate, 100 dB down from half of it, in stages (Crochiere
 * & Rabiner, Multirate Digital Signal Processing, chapter 5). No allocation per block.
 */
export class StreamingDecimator {
  readonly factor: number;
  /** Input samples by which the output is late. */
  readonly delay_samples: number;
  readonly #stages: DecimationStage[];
  readonly #between: Float64Array[];

  /** @param factor whole number of at least 1; powers of two are fastest */
  constructor(factor: number) {
    const designs = decimationStages(factor);
    this.factor = factor;
    this.#stages = designs.map((design) => new DecimationStage(design));
    this.#between = designs.map(() => new Float64Array(CHUNK + AT_ONCE));
    let delay = 0;
    let rate = 1;
    for (const stage of designs) {
      delay += ((stage.taps.length - 1) / 2) * rate;
      rate *= stage.factor;
    }
    this.delay_samples = delay;
  }

  /** Forgets the past. */
  reset(): void {
    for (const stage of this.#stages) stage.reset();
  }

  /** Time by which the output is late. */
  delay_s(sampleRate_Hz: number): number {
    return this.delay_samples / sampleRate_Hz;
  }

  /**
   * @param input samples that follow those of the call before
   * @param output receives the samples that are ready, at most ceil(frames / factor), in the input's unit
   * @param frames how many samples the input holds, when the array is longer than the block
   * @returns how many were written
   * @throws RangeError when the input holds NaN or infinity, or the output is too short
   */
  process(
    input: Float32Array | Float64Array,
    output: Float64Array | Float32Array,
    frames: number = input.length,
  ): number {
    if (frames > input.length || output.length < Math.ceil(frames / this.factor)) {
      throw new RangeError(
        `cannot decimate ${frames} samples by ${this.factor} from ${input.length} of input into ${output.length} of output`,
      );
    }
    assertFinite(input, 'signal', frames);
    let written = 0;
    for (let start = 0; start < frames; start += CHUNK) {
      let block = input;
      let from = start;
      let count = Math.min(CHUNK, frames - start);
      for (let s = 0; s < this.#stages.length; s++) {
        const between = this.#between[s]!;
        count = this.#stages[s]!.process(block, from, count, between);
        block = between;
        from = 0;
      }
      for (let i = 0; i < count; i++) output[written + i] = block[from + i]!;
      written += count;
    }
    return written;
  }
}

/**
 * Decimates a whole signal with the delay taken out: sample m of the result belongs to sample m · factor of the
 * signal. See `StreamingDecimator` for the band that is kept.
 *
 * @returns ceil(length / factor) samples in the same unit
 * @throws RangeError for NaN or infinity
 */
export function decimate(signal: Float32Array | Float64Array, factor: number): Float64Array<ArrayBuffer> {
  const decimator = new StreamingDecimator(factor);
  const outputLength = Math.ceil(signal.length / factor);
  // Outputs come at whole multiples of the factor; silence in front makes the delay one of them.
  const lead = (factor - (decimator.delay_samples % factor)) % factor;
  const skipped = (decimator.delay_samples + lead) / factor;
  const extended = new Float64Array((outputLength + skipped) * factor);
  extended.set(signal, lead);
  const output = new Float64Array(outputLength + skipped);
  decimator.process(extended, output);
  return output.slice(skipped);
}

/** Steps between two samples for which the interpolating kernel is stored; in between it is interpolated. */
const PHASES = 1024;

/**
 * Reads uniformly sampled signals at any places between their samples: for resampling from time to shaft angle.
 * Kaiser-windowed sinc (Smith, Digital Audio Resampling, CCRMA Stanford, 2002, on the table and its linear
 * interpolation). Flat, and free of images and aliases to 100 dB, up to `USABLE_BAND` of the lower of both rates.
 */
export class SincInterpolator {
  /** Samples on either side of a place that enter its value. */
  readonly reach: number;
  readonly #kernel: Float64Array;
  /** What the samples around the place that is being read count for. */
  readonly #weights: Float64Array;

  /**
   * @param outputRatio lowest number of output samples per input sample that will be asked for. Below 1, what
   *   lies above half the output rate is taken out as well.
   * @param above what becomes of it just there: 'silent' takes all of it out. 'folded' lets what folds back come
   *   down to `USABLE_BAND` of the output rate but no further, with half the work: for those who read no higher.
   */
  constructor(outputRatio = 1, above: 'silent' | 'folded' = 'silent') {
    if (!(outputRatio > 0 && Number.isFinite(outputRatio))) {
      throw new RangeError(`outputRatio is ${outputRatio}; it must be a finite number above 0`);
    }
    const ratio = Math.min(1, outputRatio);
    const pass = USABLE_BAND * ratio;
    // At full rate nothing lies above half of it, and only images have to go.
    const stop = ratio === 1 || above === 'folded' ? (1 - USABLE_BAND) * ratio : ratio / 2;
    const cutoff = (pass + stop) / 2;
    const beta = kaiserBeta(STAGE_STOPBAND_DB);
    this.reach = Math.ceil((kaiserLength(STAGE_STOPBAND_DB, stop - pass) + 1) / 2);
    const width = 2 * this.reach;
    this.#weights = new Float64Array(width);
    this.#kernel = new Float64Array((PHASES + 1) * width);
    const scale = 1 / besselI0(beta);
    for (let phase = 0; phase <= PHASES; phase++) {
      let sum = 0;
      for (let k = 0; k < width; k++) {
        const t = k - (this.reach - 1) - phase / PHASES;
        const u = t / this.reach;
        const window = Math.abs(u) < 1 ? besselI0(beta * Math.sqrt(1 - u * u)) * scale : 0;
        const x = 2 * cutoff * t;
        const value = window * 2 * cutoff * (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));
        this.#kernel[phase * width + k] = value;
        sum += value;
      }
      for (let k = 0; k < width; k++) this.#kernel[phase * width + k]! /= sum;
    }
  }

  /**
   * Values at `positions`, in samples from the first; samples before and after the signal count as zero. Reading
   * closer than `reach` to an end is therefore inexact.
   *
   * @param signal uniformly sampled, of any unit, at least one sample
   * @param positions in samples from the first one, in any order
   * @throws RangeError for NaN or infinity in either
   */
  interpolate(signal: Float32Array | Float64Array, positions: ArrayLike<number>): Float64Array<ArrayBuffer> {
    return this.interpolateAll([signal], positions)[0]!;
  }

  /**
   * `interpolate` for several signals at once: the weights of each position are found only once.
   *
   * @param signals of equal length
   * @throws RangeError for signals of different length too
   */
  interpolateAll(
    signals: readonly (Float32Array | Float64Array)[],
    positions: ArrayLike<number>,
  ): Float64Array<ArrayBuffer>[] {
    assertFinite(positions, 'positions');
    const width = 2 * this.reach;
    const length = signals[0]?.length ?? 0;
    // Zeros on either side, so that no place needs to look where the signal ends.
    const padded = signals.map((signal) => {
      assertNotEmpty(signal, 'signal');
      assertSameLength(signal, signals[0]!, 'signal', 'the first one');
      assertFinite(signal, 'signal');
      const samples = new Float64Array(length + 2 * width);
      samples.set(signal, width);
      return samples;
    });
    const outputs = signals.map(() => new Float64Array(positions.length));
    for (let i = 0; i < positions.length; i++) {
      const base = Math.floor(positions[i]!);
      const start = base - this.reach + 1 + width;
      if (start < 0 || start > length + width) continue;
      this.#weigh(positions[i]! - base);
      for (let c = 0; c < padded.length; c++) outputs[c]![i] = dot(this.#weights, padded[c]!, start);
    }
    return outputs;
  }

  /** Sets the weights for a place this share of a step after a sample. */
  #weigh(share: number): void {
    const place = share * PHASES;
    const phase = Math.floor(place);
    const blend = place - phase;
    const kernel = this.#kernel;
    const weights = this.#weights;
    const width = weights.length;
    const low = phase * width;
    const high = low + width;
    for (let k = 0; k < width; k++) {
      const value = kernel[low + k]!;
      weights[k] = value + (kernel[high + k]! - value) * blend;
    }
  }
}
