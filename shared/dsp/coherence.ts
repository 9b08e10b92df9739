import { type AveragingOptions, densityScale, equivalentAverages, SegmentTransform } from './spectrum.ts';
import { assertNotEmpty, assertPositive, assertSameLength, assertWholeNumber } from './validation.ts';

/**
 * Averaged one-sided cross-spectral densities of several channels: G_ij = 2 E[conj(X_i) X_j] / T for i ≤ j, as
 * `scipy.signal.csd(x_i, x_j)`; G_ji is its conjugate (Bendat & Piersol, Random Data, 4th ed., section 5.2).
 */
export interface CrossSpectralMatrix {
  channels: number;
  /** Distance of two bins; bin k lies at k · step_Hz. */
  step_Hz: number;
  bins: number;
  averages: number;
  /** Independent averages that would scatter as little; see `equivalentAverages`. */
  equivalentAverages: number;
  /**
   * For each pair i ≤ j at `pairIndex`, `bins` complex numbers as re, im pairs, in unit_i · unit_j per hertz;
   * null for a pair that was not asked for.
   */
  density: (Float64Array | null)[];
}

/** Place of the pair i ≤ j in `CrossSpectralMatrix.density`. */
export function pairIndex(channels: number, i: number, j: number): number {
  return i * channels - (i * (i - 1)) / 2 + (j - i);
}

/** The density of a pair in the order asked for: conjugated when i > j. */
function entry(matrix: CrossSpectralMatrix, i: number, j: number): { values: Float64Array; sign: 1 | -1 } {
  for (const channel of [i, j]) {
    if (!(Number.isInteger(channel) && channel >= 0 && channel < matrix.channels)) {
      throw new RangeError(`channel ${channel} is none of the ${matrix.channels} that were measured`);
    }
  }
  const values = matrix.density[pairIndex(matrix.channels, Math.min(i, j), Math.max(i, j))];
  if (!values) throw new RangeError(`the cross spectrum of channels ${i} and ${j} was not measured`);
  return { values, sign: i <= j ? 1 : -1 };
}

export interface CrossSpectrumOptions extends AveragingOptions {
  /** When given, only cross spectra with this channel are averaged, beside every channel's own density. */
  reference?: number;
}

/** Averages the cross spectra of several synchronous streams, block by block, without allocation. */
export class CrossSpectrumAverager {
  readonly #sampleRate_Hz: number;
  readonly #segments: SegmentTransform[];
  /** Spectrum of each channel's current segment. */
  readonly #current: Float64Array[];
  readonly #keep: ((spectrum: Float64Array | Float32Array) => void)[];
  readonly #sums: (Float64Array | null)[];
  readonly #step: number;
  #averages = 0;

  /** @throws RangeError for options out of range */
  constructor(channels: number, sampleRate_Hz: number, options: CrossSpectrumOptions) {
    assertWholeNumber(channels, 'channels', 1);
    assertPositive(sampleRate_Hz, 'sampleRate_Hz');
    const { reference } = options;
    this.#sampleRate_Hz = sampleRate_Hz;
    this.#segments = Array.from({ length: channels }, () => new SegmentTransform(options));
    this.#step = this.#segments[0]!.hop;
    const { bins } = this.#segments[0]!;
    this.#current = this.#segments.map(() => new Float64Array(2 * bins));
    this.#keep = this.#current.map((current) => (spectrum) => current.set(spectrum));
    this.#sums = [];
    for (let i = 0; i < channels; i++) {
      for (let j = i; j < channels; j++) {
        const wanted = i === j || reference === undefined || i === reference || j === reference;
        this.#sums.push(wanted ? new Float64Array(2 * bins) : null);
      }
    }
  }

  /**
   * @param signals the samples that follow, one equally long array for each channel
   * @throws RangeError for another number of channels, unequal lengths, NaN or infinity
   */
  push(signals: readonly (Float32Array | Float64Array)[]): void {
    if (signals.length !== this.#segments.length) {
      throw new RangeError(`signals holds ${signals.length} channels; it must hold ${this.#segments.length}`);
    }
    const first = signals[0]!;
    for (const signal of signals) assertSameLength(signal, first, 'a channel', 'the first channel');
    // No piece completes more than one segment, so that all channels' spectra of a segment are there together.
    for (let start = 0; start < first.length; start += this.#step) {
      let complete = false;
      const end = Math.min(first.length, start + this.#step);
      for (let channel = 0; channel < signals.length; channel++) {
        const segment = this.#segments[channel]!;
        complete = segment.push(signals[channel]!, this.#keep[channel]!, start, end) > 0;
      }
      if (complete) this.#add();
    }
  }

  #add(): void {
    const channels = this.#segments.length;
    let pair = 0;
    for (let i = 0; i < channels; i++) {
      for (let j = i; j < channels; j++) {
        const sum = this.#sums[pair++];
        if (sum) addCrossPower(sum, this.#current[i]!, this.#current[j]!);
      }
    }
    this.#averages++;
  }

  /** The average so far. @throws RangeError before the first whole segment */
  result(): CrossSpectralMatrix {
    if (this.#averages === 0) throw new RangeError('signals: no whole segment yet, so there is no average');
    const { window, hop, size, bins } = this.#segments[0]!;
    const scale = densityScale(window, this.#sampleRate_Hz) / this.#averages;
    return {
      channels: this.#segments.length,
      step_Hz: this.#sampleRate_Hz / size,
      bins,
      averages: this.#averages,
      equivalentAverages: equivalentAverages(window, hop, this.#averages),
      density: this.#sums.map(
        (sum) => sum?.map((value, at) => value * scale * (at < 2 || at >= 2 * bins - 2 ? 1 : 2)) ?? null,
      ),
    };
  }
}

/** sum += conj(a) · b, bin by bin. */
function addCrossPower(sum: Float64Array, a: Float64Array, b: Float64Array): void {
  for (let k = 0; k < sum.length; k += 2) {
    const aRe = a[k]!;
    const aIm = a[k + 1]!;
    const bRe = b[k]!;
    const bIm = b[k + 1]!;
    sum[k] = sum[k]! + (aRe * bRe + aIm * bIm);
    sum[k + 1] = sum[k + 1]! + (aRe * bIm - aIm * bRe);
  }
}

/**
 * Cross-spectral matrix of whole signals.
 *
 * @param signals one equally long array for each channel, at least one segment long
 * @throws RangeError for unequal lengths, NaN, infinity, or less than one segment
 */
export function crossSpectra(
  signals: readonly (Float32Array | Float64Array)[],
  sampleRate_Hz: number,
  options: CrossSpectrumOptions,
): CrossSpectralMatrix {
  if (signals.length === 0) throw new RangeError('signals is empty; it must hold at least one channel');
  assertNotEmpty(signals[0]!, 'signals[0]');
  const averager = new CrossSpectrumAverager(signals.length, sampleRate_Hz, {
    ...options,
    segmentLength: Math.min(options.segmentLength, signals[0]!.length),
  });
  averager.push(signals);
  return averager.result();
}

/** One channel's own power spectral density, in its unit squared per hertz. */
export function autoSpectrum(matrix: CrossSpectralMatrix, channel: number): Float64Array<ArrayBuffer> {
  const { values } = entry(matrix, channel, channel);
  return Float64Array.from({ length: matrix.bins }, (_, k) => values[2 * k]!);
}

/** Cross-spectral density from channel i to j, `bins` complex numbers as re, im pairs. */
export function crossSpectrum(matrix: CrossSpectralMatrix, i: number, j: number): Float64Array {
  const { values, sign } = entry(matrix, i, j);
  return values.map((value, at) => (at % 2 === 1 ? sign * value : value));
}

/**
 * Magnitude-squared coherence |G_ij|² / (G_ii G_jj), 0 to 1 at each bin: the share of one channel's power that a
 * linear path from the other explains (Bendat & Piersol, section 5.2.2). Zero where a channel is silent. With few
 * averages it is high by chance: see `coherenceByChance`.
 */
export function coherence(matrix: CrossSpectralMatrix, i: number, j: number): Float64Array<ArrayBuffer> {
  const cross = entry(matrix, i, j).values;
  const a = entry(matrix, i, i).values;
  const b = entry(matrix, j, j).values;
  const result = new Float64Array(matrix.bins);
  for (let k = 0, at = 0; k < matrix.bins; k++, at += 2) {
    const powers = a[at]! * b[at]!;
    result[k] = powers > 0 ? Math.min(1, (cross[at]! ** 2 + cross[at + 1]! ** 2) / powers) : 0;
  }
  return result;
}

/**
 * Coherence that independent channels stay below with probability `confidence` at one bin: 1 - (1 - p)^(1/(n-1))
 * for n independent averages (Carter, Proc. IEEE 75(2), 1987). With one average it is 1: nothing can be said.
 */
export function coherenceByChance(averages: number, confidence = 0.95): number {
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`confidence is ${confidence}; it must lie between 0 and 1`);
  }
  return averages <= 1 ? 1 : 1 - (1 - confidence) ** (1 / (averages - 1));
}

/** Phase by which channel j leads channel i at each bin, -π to π rad: the argument of G_ij. */
export function crossPhase_rad(matrix: CrossSpectralMatrix, i: number, j: number): Float64Array<ArrayBuffer> {
  const { values, sign } = entry(matrix, i, j);
  return Float64Array.from({ length: matrix.bins }, (_, k) =>
    Math.atan2(sign * values[2 * k + 1]!, values[2 * k]!),
  );
}

/**
 * Standard deviation of the phase at each bin, in rad: √(1 - γ²) / (γ √(2n)) (Bendat & Piersol, section 9.2.4),
 * at most that of a phase that may be anything, π/√3.
 */
export function phaseDeviation_rad(
  matrix: CrossSpectralMatrix,
  i: number,
  j: number,
): Float64Array<ArrayBuffer> {
  return coherence(matrix, i, j).map((squared) =>
    squared > 0
      ? Math.min(Math.PI / Math.sqrt(3), Math.sqrt((1 - squared) / (2 * matrix.equivalentAverages * squared)))
      : Math.PI / Math.sqrt(3),
  );
}

/** By how much one channel is later than another. */
export interface Delay {
  /** Positive when j follows i. */
  delay_s: number;
  /** Standard deviation of it, from the coherence alone. */
  deviation_s: number;
  /** Mean coherence over the band, weighted as the delay is. */
  coherence: number;
}

/**
 * Delay of channel j behind channel i over a band, from the slope of the cross-spectrum's phase: the maximum of
 * the generalised cross-correlation with the weight γ² / (1 - γ²) of maximum likelihood (Knapp & Carter, IEEE
 * Trans. Acoust. Speech Signal Process. 24(4), 1976). Right for one path without dispersion; a structure with
 * several paths or bending waves only shows which side comes first.
 *
 * @param longest_s the delay is sought between -longest_s and +longest_s
 * @returns null when no bin of the band rises above the coherence by chance
 * @throws RangeError when the band holds no bin, or the delay is sought beyond half a segment
 */
export function delay(
  matrix: CrossSpectralMatrix,
  i: number,
  j: number,
  band_Hz: readonly [number, number],
  longest_s: number,
): Delay | null {
  const first = Math.max(1, Math.ceil(band_Hz[0] / matrix.step_Hz));
  const last = Math.min(matrix.bins - 2, Math.floor(band_Hz[1] / matrix.step_Hz));
  if (!(first <= last)) throw new RangeError(`band_Hz ${band_Hz[0]} to ${band_Hz[1]} holds no bin`);
  assertPositive(longest_s, 'longest_s');
  if (longest_s > 0.5 / matrix.step_Hz) {
    throw new RangeError(`longest_s is ${longest_s}; the segments allow at most ${0.5 / matrix.step_Hz}`);
  }
  const squared = coherence(matrix, i, j);
  const phase = crossPhase_rad(matrix, i, j);
  // By chance, one bin of the band in twenty bands.
  const chance = coherenceByChance(matrix.equivalentAverages, 0.95 ** (1 / (last - first + 1)));
  const weight = new Float64Array(matrix.bins);
  let total = 0;
  let weightedCoherence = 0;
  for (let k = first; k <= last; k++) {
    if (squared[k]! <= chance) continue;
    // A coherence of exactly 1 would outweigh everything; no more than what double precision can tell.
    weight[k] = squared[k]! / Math.max(1e-9, 1 - squared[k]!);
    total += weight[k]!;
    weightedCoherence += weight[k]! * squared[k]!;
  }
  if (total === 0) return null;
  const agreement = (tau: number): number => {
    let sum = 0;
    for (let k = first; k <= last; k++) {
      if (weight[k]! > 0) sum += weight[k]! * Math.cos(phase[k]! + 2 * Math.PI * k * matrix.step_Hz * tau);
    }
    return sum;
  };
  // Eight steps to the period of the band's highest frequency cannot step over the peak.
  const step = 1 / (8 * last * matrix.step_Hz);
  let best = 0;
  let bestAgreement = Number.NEGATIVE_INFINITY;
  for (let n = -Math.floor(longest_s / step); n * step <= longest_s; n++) {
    const value = agreement(n * step);
    if (value > bestAgreement) {
      bestAgreement = value;
      best = n * step;
    }
  }
  const delay_s = maximise(agreement, Math.max(-longest_s, best - step), Math.min(longest_s, best + step));
  // Cramér-Rao bound: 1 / Σ 2n (2πf)² γ²/(1-γ²).
  let information = 0;
  for (let k = first; k <= last; k++) information += (2 * Math.PI * k * matrix.step_Hz) ** 2 * weight[k]!;
  return {
    delay_s,
    deviation_s: 1 / Math.sqrt(2 * matrix.equivalentAverages * information),
    coherence: weightedCoherence / total,
  };
}

/** Place of the maximum of a function with one peak between two ends, by golden section. */
function maximise(f: (x: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let a = low;
  let b = high;
  let c = b - golden * (b - a);
  let d = a + golden * (b - a);
  let fc = f(c);
  let fd = f(d);
  for (let n = 0; n < 60; n++) {
    if (fc > fd) {
      b = d;
      d = c;
      fd = fc;
      c = b - golden * (b - a);
      fc = f(c);
    } else {
      a = c;
      c = d;
      fc = fd;
      d = a + golden * (b - a);
      fd = f(d);
    }
  }
  return (a + b) / 2;
}

/**
 * Coherent output power γ² G_oo: the part of channel `output`'s density that a linear path from `input` explains,
 * in its unit squared per hertz (Bendat & Piersol, section 6.1.4). Noise at the input makes it too low.
 */
export function coherentOutputPower(
  matrix: CrossSpectralMatrix,
  input: number,
  output: number,
): Float64Array<ArrayBuffer> {
  const own = entry(matrix, output, output).values;
  return coherence(matrix, input, output).map((squared, k) => squared * own[2 * k]!);
}

/**
 * The channels with everything taken out that a linear path from `removed` explains: the conditioned densities
 * G_ij·r = G_ij - G_ir G_rj / G_rr (Bendat & Piersol, section 7.3). `coherence` of the result is the partial
 * coherence. The removed channel itself becomes silent. Costs one independent average.
 *
 * @throws RangeError when the matrix was measured against one reference only
 */
export function conditionedOn(matrix: CrossSpectralMatrix, removed: number): CrossSpectralMatrix {
  const { channels, bins } = matrix;
  const own = entry(matrix, removed, removed).values;
  const density: Float64Array[] = [];
  for (let i = 0; i < channels; i++) {
    // From i to the removed channel, and from there to j.
    const toRemoved = crossSpectrum(matrix, i, removed);
    for (let j = i; j < channels; j++) {
      const fromRemoved = crossSpectrum(matrix, removed, j);
      const values = crossSpectrum(matrix, i, j);
      for (let k = 0; k < 2 * bins; k += 2) {
        if (i === removed || j === removed) {
          values[k] = values[k + 1] = 0;
        } else if (own[k]! > 0) {
          const aRe = toRemoved[k]!;
          const aIm = toRemoved[k + 1]!;
          const bRe = fromRemoved[k]!;
          const bIm = fromRemoved[k + 1]!;
          values[k] = values[k]! - (aRe * bRe - aIm * bIm) / own[k]!;
          values[k + 1] = values[k + 1]! - (aRe * bIm + aIm * bRe) / own[k]!;
          // A power that rounding has made negative is none.
          if (i === j) {
            values[k] = Math.max(0, values[k]!);
            values[k + 1] = 0;
          }
        }
      }
      density.push(values);
    }
  }
  return { ...matrix, equivalentAverages: Math.max(1, matrix.equivalentAverages - 1), density };
}

/**
 * The channel with the largest mean square between two frequencies. All channels must be in one unit.
 *
 * @throws RangeError when the band holds no bin
 */
export function loudestChannel(matrix: CrossSpectralMatrix, band_Hz: readonly [number, number]): number {
  const first = Math.max(0, Math.ceil(band_Hz[0] / matrix.step_Hz));
  const last = Math.min(matrix.bins - 1, Math.floor(band_Hz[1] / matrix.step_Hz));
  if (!(first <= last)) throw new RangeError(`band_Hz ${band_Hz[0]} to ${band_Hz[1]} holds no bin`);
  let loudest = 0;
  let most = -1;
  for (let channel = 0; channel < matrix.channels; channel++) {
    const { values } = entry(matrix, channel, channel);
    let power = 0;
    for (let k = first; k <= last; k++) power += values[2 * k]!;
    if (power > most) {
      most = power;
      loudest = channel;
    }
  }
  return loudest;
}
