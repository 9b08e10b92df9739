import { chiSquaredQuantile } from './chi-squared.ts';
import { nextPowerOfTwo, type RealTransform, realFft } from './fft.ts';
import { type Precision, realTransform } from './real-transform.ts';
import { assertFinite, assertNotEmpty, assertPositive, assertWholeNumber } from './validation.ts';
import { coherentGain, equivalentNoiseBandwidth_bins, type WindowName, windowByName } from './windows.ts';

/** RMS of the lines of one stretch of signal. */
export interface LineSpectrum {
  /** Distance of two bins; bin k lies at k · step_Hz. */
  step_Hz: number;
  /** RMS of a line at each bin, in the signal's unit: A/√2 for a sine of amplitude A. */
  rms: Float64Array<ArrayBuffer>;
}

/**
 * Amplitude-correct spectrum of a whole signal: a sine of amplitude A on a bin reads A/√2, DC its own value.
 * Between bins Hann reads up to 1.42 dB low, flatTop at most 0.01 dB (Harris, Proc. IEEE 66(1), 1978).
 *
 * @param signal at least one sample, of any unit; followed by zeros up to the next power of two
 * @throws RangeError when empty, NaN or infinite
 */
export function lineSpectrum(
  signal: ArrayLike<number>,
  sampleRate_Hz: number,
  window: WindowName = 'hann',
): LineSpectrum {
  assertNotEmpty(signal, 'signal');
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  const taper = windowByName(window, signal.length);
  const fft = realFft(nextPowerOfTwo(Math.max(2, signal.length)));
  const tapered = new Float64Array(signal.length);
  for (let i = 0; i < signal.length; i++) tapered[i] = signal[i]! * taper[i]!;
  const spectrum = fft.forward(tapered);
  const gain = coherentGain(taper) * signal.length;
  const rms = new Float64Array(fft.bins);
  for (let k = 0; k < fft.bins; k++) {
    const oneSided = k === 0 || k === fft.bins - 1 ? 1 : Math.SQRT2;
    rms[k] = (oneSided * Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!)) / gain;
  }
  return { step_Hz: sampleRate_Hz / fft.size, rms };
}

/** How a long signal is cut up and averaged. */
export interface AveragingOptions {
  /** Samples in one segment; the transform is as long, or the next power of two. */
  segmentLength: number;
  /** Share of a segment that the next one repeats, 0 to below 1. Default 0.5. */
  overlap?: number;
  /** Default 'hann'. */
  window?: WindowName;
  /** 'constant' takes each segment's mean away first. Default 'constant'. */
  detrend?: 'constant' | 'none';
  /** Default 'double'. */
  precision?: Precision;
}

/** An averaged one-sided power spectral density. */
export interface PowerSpectralDensity {
  /** Distance of two bins; bin k lies at k · step_Hz. */
  step_Hz: number;
  /** Unit squared per hertz, at each bin. */
  density: Float64Array<ArrayBuffer>;
  /** Segments averaged. */
  averages: number;
  /** Independent averages that would scatter as little; fewer than `averages` when segments overlap. */
  equivalentAverages: number;
  /** Equivalent noise bandwidth of the window. */
  noiseBandwidth_Hz: number;
}

/** Cuts a stream into overlapping, tapered segments and transforms each: what all averaged spectra share. */
export class SegmentTransform {
  readonly segmentLength: number;
  readonly hop: number;
  readonly window: Float64Array<ArrayBuffer>;
  readonly #transform: RealTransform;
  readonly #removeMean: boolean;
  readonly #pending: Float64Array;
  #filled = 0;

  /** @throws RangeError for options out of range */
  constructor(options: AveragingOptions) {
    const { segmentLength, overlap = 0.5, window = 'hann', detrend = 'constant', precision } = options;
    assertWholeNumber(segmentLength, 'segmentLength', 1);
    if (!(overlap >= 0 && overlap < 1)) {
      throw new RangeError(`overlap is ${overlap}; it must be at least 0 and less than 1`);
    }
    this.segmentLength = segmentLength;
    this.hop = segmentLength - Math.floor(segmentLength * overlap);
    this.window = windowByName(window, segmentLength);
    this.#transform = realTransform(segmentLength, precision);
    this.#removeMean = detrend === 'constant';
    this.#pending = new Float64Array(segmentLength);
  }

  /** Length of the transform in samples. */
  get size(): number {
    return this.#transform.size;
  }

  /** Number of bins of a segment's spectrum. */
  get bins(): number {
    return this.#transform.size / 2 + 1;
  }

  /** Forgets the samples that wait for the rest of their segment. */
  reset(): void {
    this.#filled = 0;
  }

  /**
   * Takes in the samples that follow and calls `use` with the spectrum of every segment that they complete (re,
   * im interleaved, valid only during the call). Allocates nothing.
   *
   * @param from first sample of `signal` to take
   * @param to sample before which to stop
   * @returns number of segments completed
   */
  push(
    signal: Float32Array | Float64Array,
    use: (spectrum: Float64Array | Float32Array) => void,
    from = 0,
    to: number = signal.length,
  ): number {
    const pending = this.#pending;
    const length = this.segmentLength;
    let taken = from;
    let completed = 0;
    while (taken < to) {
      const count = Math.min(length - this.#filled, to - taken);
      const filled = this.#filled;
      for (let i = 0; i < count; i++) pending[filled + i] = signal[taken + i]!;
      this.#filled += count;
      taken += count;
      if (this.#filled === length) {
        completed++;
        use(this.#transformPending());
        pending.copyWithin(0, this.hop);
        this.#filled = length - this.hop;
      }
    }
    return completed;
  }

  #transformPending(): Float64Array | Float32Array {
    const pending = this.#pending;
    const { window, segmentLength } = this;
    const input = this.#transform.input;
    const average = this.#removeMean ? sumOf(pending) / segmentLength : 0;
    for (let i = 0; i < segmentLength; i++) input[i] = (pending[i]! - average) * window[i]!;
    input.fill(0, segmentLength);
    this.#transform.transform();
    return this.#transform.spectrum;
  }
}

/** Four running sums: one alone would wait for its own last addition. */
function sumOf(values: Float64Array): number {
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  const whole = values.length - (values.length % 4);
  for (let i = 0; i < whole; i += 4) {
    a += values[i]!;
    b += values[i + 1]!;
    c += values[i + 2]!;
    d += values[i + 3]!;
  }
  for (let i = whole; i < values.length; i++) a += values[i]!;
  return a + b + (c + d);
}

/** Averages the power spectral density of a stream; see `welch`. */
export class WelchAverager {
  readonly #segments: SegmentTransform;
  readonly #sampleRate_Hz: number;
  readonly #power: Float64Array;
  readonly #accumulate: (spectrum: Float64Array | Float32Array) => void;
  #averages = 0;

  constructor(sampleRate_Hz: number, options: AveragingOptions) {
    assertPositive(sampleRate_Hz, 'sampleRate_Hz');
    this.#sampleRate_Hz = sampleRate_Hz;
    this.#segments = new SegmentTransform(options);
    const power = new Float64Array(this.#segments.bins);
    this.#power = power;
    this.#accumulate = (spectrum) => {
      addPower(power, spectrum);
      this.#averages++;
    };
  }

  /** Segments averaged so far. */
  get averages(): number {
    return this.#averages;
  }

  /** Takes in the samples that follow, without allocation. @throws RangeError for NaN or infinity */
  push(signal: Float32Array | Float64Array): void {
    this.#segments.push(signal, this.#accumulate);
  }

  /** Begins a new average. */
  reset(): void {
    this.#segments.reset();
    this.#power.fill(0);
    this.#averages = 0;
  }

  /** The average so far. @throws RangeError before the first whole segment */
  result(): PowerSpectralDensity {
    if (this.#averages === 0) throw new RangeError('signal: no whole segment yet, so there is no average');
    const { window, hop, size, bins } = this.#segments;
    const scale = densityScale(window, this.#sampleRate_Hz) / this.#averages;
    const density = new Float64Array(bins);
    for (let k = 0; k < bins; k++) density[k] = this.#power[k]! * scale * (k === 0 || k === bins - 1 ? 1 : 2);
    return {
      step_Hz: this.#sampleRate_Hz / size,
      density,
      averages: this.#averages,
      equivalentAverages: equivalentAverages(window, hop, this.#averages),
      noiseBandwidth_Hz: (equivalentNoiseBandwidth_bins(window) * this.#sampleRate_Hz) / window.length,
    };
  }
}

function addPower(power: Float64Array, spectrum: Float64Array | Float32Array): void {
  for (let k = 0, j = 0; k < power.length; k++, j += 2) {
    const re = spectrum[j]!;
    const im = spectrum[j + 1]!;
    power[k] = power[k]! + (re * re + im * im);
  }
}

/** Factor from |X|² to the two-sided density: 1 / (sampleRate · Σw²). */
export function densityScale(window: Float64Array, sampleRate_Hz: number): number {
  let sumOfSquares = 0;
  for (const value of window) sumOfSquares += value * value;
  return 1 / (sampleRate_Hz * sumOfSquares);
}

/**
 * Independent averages with the scatter of `averages` overlapping ones: K / (1 + 2 Σ (1 - j/K) ρ_j), where
 * ρ_j is the squared correlation of the window with itself moved by j hops (Welch, IEEE Trans. Audio
 * Electroacoust. 15(2), 1967).
 */
export function equivalentAverages(window: Float64Array, hop: number, averages: number): number {
  let sumOfSquares = 0;
  for (const value of window) sumOfSquares += value * value;
  let sum = 0;
  for (let j = 1; j < averages && j * hop < window.length; j++) {
    let correlation = 0;
    for (let i = j * hop; i < window.length; i++) correlation += window[i]! * window[i - j * hop]!;
    sum += (1 - j / averages) * (correlation / sumOfSquares) ** 2;
  }
  return averages / (1 + 2 * sum);
}

/**
 * One-sided power spectral density by Welch's method (IEEE Trans. Audio Electroacoust. 15(2), 1967), as
 * `scipy.signal.welch` with scaling 'density'.
 *
 * @param signal at least one sample, of any unit; one shorter than a segment is taken as a single short segment
 * @throws RangeError when empty, NaN or infinite, or for options out of range
 */
export function welch(
  signal: Float32Array | Float64Array,
  sampleRate_Hz: number,
  options: AveragingOptions,
): PowerSpectralDensity {
  assertNotEmpty(signal, 'signal');
  const averager = new WelchAverager(sampleRate_Hz, {
    ...options,
    segmentLength: Math.min(options.segmentLength, signal.length),
  });
  averager.push(signal);
  return averager.result();
}

/**
 * RMS that a single line at each bin would have, from a density: √(density · noise bandwidth). For tonal parts;
 * noise reads higher the wider the window.
 */
export function lineRmsFromDensity(psd: PowerSpectralDensity): Float64Array<ArrayBuffer> {
  return psd.density.map((density) => Math.sqrt(density * psd.noiseBandwidth_Hz));
}

/**
 * Factors by which to multiply an averaged density for the ends of its confidence interval: ν/χ²(1-α/2, ν) and
 * ν/χ²(α/2, ν) with ν = 2 · equivalentAverages degrees of freedom (Bendat & Piersol, Random Data, 4th ed.,
 * section 8.5; holds for noise, not for lines).
 *
 * @param confidence probability that the interval holds the true value, between 0 and 1
 */
export function densityConfidence(
  psd: Pick<PowerSpectralDensity, 'equivalentAverages'>,
  confidence = 0.95,
): { lower: number; upper: number } {
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`confidence is ${confidence}; it must lie between 0 and 1`);
  }
  const degreesOfFreedom = 2 * psd.equivalentAverages;
  const tail = (1 - confidence) / 2;
  return {
    lower: degreesOfFreedom / chiSquaredQuantile(1 - tail, degreesOfFreedom),
    upper: degreesOfFreedom / chiSquaredQuantile(tail, degreesOfFreedom),
  };
}

/**
 * Mean square of the signal between two frequencies, in the unit squared: the density integrated, each bin taken
 * as constant over its width and counted by the share of it that lies in the band.
 *
 * @throws RangeError when the edges are not finite or not in ascending order
 */
export function bandMeanSquare(
  psd: Pick<PowerSpectralDensity, 'step_Hz' | 'density'>,
  low_Hz: number,
  high_Hz: number,
): number {
  assertFinite([low_Hz, high_Hz], 'band edges');
  if (low_Hz > high_Hz)
    throw new RangeError(`band edges ${low_Hz} and ${high_Hz} Hz must be in ascending order`);
  const { step_Hz, density } = psd;
  const last = density.length - 1;
  const first = Math.max(0, Math.round(low_Hz / step_Hz));
  const end = Math.min(last, Math.round(high_Hz / step_Hz));
  let sum = 0;
  for (let k = first; k <= end; k++) {
    // The first and the last bin stand for half a width, yet hold all of their power.
    const from = Math.max(0, k - 0.5) * step_Hz;
    const to = Math.min(last, k + 0.5) * step_Hz;
    const share = (Math.min(high_Hz, to) - Math.max(low_Hz, from)) / (to - from);
    if (share > 0) sum += density[k]! * step_Hz * share;
  }
  return sum;
}
