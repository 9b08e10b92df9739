import FFT from 'fft.js';
import { assertFinite, assertWholeNumber } from './validation.ts';

/** Smallest power of two that is at least `value` (1 for values up to 1). */
export function nextPowerOfTwo(value: number): number {
  let power = 1;
  while (power < value) power *= 2;
  return power;
}

/** True for 1, 2, 4, 8, … */
export function isPowerOfTwo(value: number): boolean {
  return Number.isSafeInteger(value) && value >= 1 && nextPowerOfTwo(value) === value;
}

/**
 * What the averaged spectra need of a transform, in either precision: fill `input`, call `transform()`, read
 * `spectrum` (one-sided, re, im interleaved, length size + 2).
 */
export interface RealTransform {
  readonly size: number;
  readonly input: Float64Array | Float32Array;
  readonly spectrum: Float64Array | Float32Array;
  transform(): void;
}

/**
 * Discrete Fourier transform of real samples in double precision.
 *
 * X[k] = Σ x[n] exp(-2πi kn/N), unscaled, as `numpy.fft.rfft`; the inverse divides by N, as `irfft`.
 * The real samples are packed as N/2 complex ones, transformed by fft.js and split afterwards (Press et al.,
 * Numerical Recipes, 3rd ed., section 12.3.2): half the work of a complex transform.
 *
 * Not re-entrant, and cheap to keep: see `realFft` for plans shared within a thread.
 */
export class RealFft implements RealTransform {
  /** Number of real samples N. */
  readonly size: number;
  /** Number of complex bins, N/2 + 1; bin k lies at k · sampleRate / N. */
  readonly bins: number;
  /** Result of `transform`. */
  readonly spectrum: Float64Array;
  readonly #half: FFT | null;
  /** The samples two by two, read as complex numbers. */
  readonly #packed: Float64Array;
  readonly #cosine: Float64Array;
  readonly #sine: Float64Array;

  /**
   * @param size number of real samples, a power of two of at least 2
   * @throws RangeError for another size
   */
  constructor(size: number) {
    if (!isPowerOfTwo(size) || size < 2) {
      throw new RangeError(`FFT size is ${size}; it must be a power of two of at least 2`);
    }
    this.size = size;
    this.bins = size / 2 + 1;
    this.#half = size >= 4 ? new FFT(size / 2) : null;
    this.#packed = new Float64Array(size);
    this.spectrum = new Float64Array(size + 2);
    const quarter = Math.floor(size / 4) + 1;
    this.#cosine = new Float64Array(quarter);
    this.#sine = new Float64Array(quarter);
    for (let k = 0; k < quarter; k++) {
      this.#cosine[k] = Math.cos((2 * Math.PI * k) / size);
      this.#sine[k] = Math.sin((2 * Math.PI * k) / size);
    }
  }

  /** The N samples that `transform` reads; overwritten by `forward` and `inverse`. */
  get input(): Float64Array {
    return this.#packed;
  }

  /** From `input` to `spectrum`, without allocation. @throws RangeError when `input` holds NaN or infinity */
  transform(): void {
    this.#transformPacked(this.spectrum);
    if (!Number.isFinite(this.spectrum[0])) assertFinite(this.#packed, 'FFT input');
  }

  /**
   * @param input N real samples; fewer are taken as followed by zeros
   * @param out receives the spectrum; made when left out
   * @returns one-sided spectrum, N/2 + 1 complex bins as re, im pairs (length N + 2), in the input's unit
   * @throws RangeError when the input is longer than N or holds NaN or infinity
   */
  forward(input: ArrayLike<number>, out: Float64Array = new Float64Array(this.size + 2)): Float64Array {
    const size = this.size;
    if (input.length > size) throw new RangeError(`input has ${input.length} samples; the FFT takes ${size}`);
    if (out.length < size + 2) throw new RangeError(`out has length ${out.length}; it must be ${size + 2}`);
    const packed = this.#packed;
    if (input instanceof Float64Array) packed.set(input);
    else for (let i = 0; i < input.length; i++) packed[i] = input[i]!;
    packed.fill(0, input.length);
    this.#transformPacked(out);
    // Bin 0 is the sum of all samples, so one look at it finds a NaN or infinity anywhere in the input.
    if (!Number.isFinite(out[0])) assertFinite(input, 'FFT input');
    return out;
  }

  #transformPacked(out: Float64Array): void {
    const size = this.size;
    if (this.#half) this.#half.transform(out, this.#packed);
    else out.set(this.#packed);

    const cosine = this.#cosine;
    const sine = this.#sine;
    const sumEven = out[0]!;
    const sumOdd = out[1]!;
    for (let k = 1, low = 2, high = size - 2; low <= high; k++, low += 2, high -= 2) {
      const lowRe = out[low]!;
      const lowIm = out[low + 1]!;
      const highRe = out[high]!;
      const highIm = out[high + 1]!;
      const evenRe = 0.5 * (lowRe + highRe);
      const evenIm = 0.5 * (lowIm - highIm);
      const oddRe = 0.5 * (lowIm + highIm);
      const oddIm = 0.5 * (highRe - lowRe);
      const c = cosine[k]!;
      const s = sine[k]!;
      const turnedRe = c * oddRe + s * oddIm;
      const turnedIm = c * oddIm - s * oddRe;
      out[low] = evenRe + turnedRe;
      out[low + 1] = evenIm + turnedIm;
      out[high] = evenRe - turnedRe;
      out[high + 1] = turnedIm - evenIm;
    }
    out[0] = sumEven + sumOdd;
    out[1] = 0;
    out[size] = sumEven - sumOdd;
    out[size + 1] = 0;
  }

  /**
   * @param spectrum one-sided spectrum as `forward` returns it; the imaginary parts of the first and last bin
   *   are taken as zero
   * @param out receives the N samples; made when left out. Must have length N exactly.
   * @returns N real samples
   * @throws RangeError for wrong lengths, NaN or infinity
   */
  inverse(spectrum: ArrayLike<number>, out: Float64Array = new Float64Array(this.size)): Float64Array {
    const size = this.size;
    if (spectrum.length !== size + 2) {
      throw new RangeError(`spectrum has length ${spectrum.length}; it must be ${size + 2}`);
    }
    if (out.length !== size) throw new RangeError(`out has length ${out.length}; it must be ${size}`);
    const packed = this.#packed;
    const cosine = this.#cosine;
    const sine = this.#sine;
    packed[0] = 0.5 * (spectrum[0]! + spectrum[size]!);
    packed[1] = 0.5 * (spectrum[0]! - spectrum[size]!);
    for (let k = 1, low = 2, high = size - 2; low <= high; k++, low += 2, high -= 2) {
      const lowRe = spectrum[low]!;
      const lowIm = spectrum[low + 1]!;
      const highRe = spectrum[high]!;
      const highIm = spectrum[high + 1]!;
      const evenRe = 0.5 * (lowRe + highRe);
      const evenIm = 0.5 * (lowIm - highIm);
      const turnedRe = 0.5 * (lowRe - highRe);
      const turnedIm = 0.5 * (lowIm + highIm);
      const c = cosine[k]!;
      const s = sine[k]!;
      const oddRe = c * turnedRe - s * turnedIm;
      const oddIm = c * turnedIm + s * turnedRe;
      packed[low] = evenRe - oddIm;
      packed[low + 1] = evenIm + oddRe;
      packed[high] = evenRe + oddIm;
      packed[high + 1] = oddRe - evenIm;
    }
    if (this.#half) this.#half.inverseTransform(out, packed);
    else out.set(packed);
    // Every bin that counts enters sample 0 (its real part) and sample 1 (its imaginary part).
    if (!Number.isFinite(out[0]! + out[1]!)) assertFinite(spectrum, 'spectrum');
    return out;
  }
}

/**
 * Discrete Fourier transform of complex samples in double precision, interleaved re, im; unscaled forward,
 * divided by N backward, as `numpy.fft.fft` and `ifft`.
 */
export class ComplexFft {
  /** Number of complex samples N. */
  readonly size: number;
  readonly #fft: FFT;

  /** @throws RangeError unless `size` is a power of two of at least 2 */
  constructor(size: number) {
    if (!isPowerOfTwo(size) || size < 2) {
      throw new RangeError(`FFT size is ${size}; it must be a power of two of at least 2`);
    }
    this.size = size;
    this.#fft = new FFT(size);
  }

  /** `input` and `out`: 2N interleaved numbers, two different arrays. */
  forward(input: Float64Array, out: Float64Array): Float64Array {
    this.#check(input, out);
    this.#fft.transform(out, input);
    if (!Number.isFinite(out[0]! + out[1]!)) assertFinite(input, 'FFT input');
    return out;
  }

  /** `spectrum` and `out`: 2N interleaved numbers, two different arrays. */
  inverse(spectrum: Float64Array, out: Float64Array): Float64Array {
    this.#check(spectrum, out);
    this.#fft.inverseTransform(out, spectrum);
    if (!Number.isFinite(out[0]! + out[1]!)) assertFinite(spectrum, 'spectrum');
    return out;
  }

  #check(input: Float64Array, out: Float64Array): void {
    const length = 2 * this.size;
    if (input.length !== length || out.length !== length) {
      throw new RangeError(`complex FFT of ${this.size} takes and gives ${length} numbers`);
    }
  }
}

const realPlans = new Map<number, RealFft>();
const complexPlans = new Map<number, ComplexFft>();

/** The thread's shared plan for real transforms of `size` samples (a power of two of at least 2). */
export function realFft(size: number): RealFft {
  assertWholeNumber(size, 'FFT size', 2);
  let plan = realPlans.get(size);
  if (!plan) realPlans.set(size, (plan = new RealFft(size)));
  return plan;
}

/** The thread's shared plan for complex transforms of `size` samples (a power of two of at least 2). */
export function complexFft(size: number): ComplexFft {
  assertWholeNumber(size, 'FFT size', 2);
  let plan = complexPlans.get(size);
  if (!plan) complexPlans.set(size, (plan = new ComplexFft(size)));
  return plan;
}
