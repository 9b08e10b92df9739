import { nextPowerOfTwo } from './fft.ts';
import { SingleConvolution } from './fft-single.ts';
import { assertFinite, assertNotEmpty, assertWholeNumber } from './validation.ts';

/**
 * Streaming FIR filter that keeps every `factor`-th sample, in single precision by overlap-save (Oppenheim &
 * Schafer, Discrete-Time Signal Processing, section 8.7.3): for long offline work. Needs `loadSingleFft()`.
 * `StreamingDecimator` is the one for live blocks: exact in double precision, and quick on short ones.
 *
 * Output m belongs to input m · factor, late by the taps' own delay, and comes in bursts of a whole transform; at the end of a
 * signal, silence pushes out the rest.
 */
export class SingleFirDecimator {
  readonly factor: number;
  readonly #convolution: SingleConvolution;
  /** The last taps - 1 samples, then those that wait for a whole transform. */
  readonly #samples: Float32Array;
  readonly #history: number;
  #filled: number;
  /** Samples to pass over in the next transform before the first that is kept. */
  #skip = 0;

  /**
   * @param taps any number of them, finite
   * @param factor whole number of at least 1; 1 keeps all samples
   */
  constructor(taps: Float64Array, factor: number) {
    assertNotEmpty(taps, 'taps');
    assertFinite(taps, 'taps');
    assertWholeNumber(factor, 'factor', 1);
    this.factor = factor;
    this.#history = taps.length - 1;
    this.#convolution = new SingleConvolution(taps, Math.max(1024, nextPowerOfTwo(8 * taps.length)));
    this.#samples = new Float32Array(this.#convolution.size);
    this.#filled = this.#history;
  }

  /** Forgets the past. */
  reset(): void {
    this.#samples.fill(0);
    this.#filled = this.#history;
    this.#skip = 0;
  }

  /** Most samples that a call with `frames` of input can write. */
  outputLength(frames: number): number {
    return Math.ceil((frames + this.#samples.length) / this.factor);
  }

  /**
   * @param input samples that follow those of the call before
   * @param output receives the samples that are ready, in the input's unit; see `outputLength`
   * @returns how many were written
   * @throws RangeError when the input holds NaN or infinity (the filter then starts afresh), or the output has no
   *   room
   */
  process(input: Float32Array | Float64Array, output: Float32Array | Float64Array): number {
    const samples = this.#samples;
    let written = 0;
    let taken = 0;
    while (taken < input.length) {
      const count = Math.min(samples.length - this.#filled, input.length - taken);
      samples.set(input.subarray(taken, taken + count), this.#filled);
      taken += count;
      this.#filled += count;
      if (this.#filled === samples.length) written = this.#filterInto(output, written);
    }
    return written;
  }

  #filterInto(output: Float32Array | Float64Array, at: number): number {
    const samples = this.#samples;
    this.#convolution.samples.set(samples);
    this.#convolution.convolve();
    const filtered = this.#convolution.samples;
    // One bad sample spoils the whole block: one look finds it.
    if (!Number.isFinite(filtered[0])) {
      const block = samples.slice();
      this.reset();
      assertFinite(block, 'signal');
      throw new RangeError('signal: the filter overflowed; its values are too large');
    }
    let written = at;
    let n = this.#history + this.#skip;
    if (output.length - at < Math.ceil((samples.length - n) / this.factor)) {
      throw new RangeError(`output has ${output.length} samples; that is too few for what is ready`);
    }
    for (; n < samples.length; n += this.factor) output[written++] = filtered[n]!;
    this.#skip = n - samples.length;
    samples.copyWithin(0, samples.length - this.#history);
    this.#filled = this.#history;
    return written;
  }
}
