import { nextPowerOfTwo, RealFft } from './fft.ts';
import { assertFinite, assertNotEmpty, assertPositive, assertWholeNumber } from './validation.ts';
import { kaiser } from './windows.ts';

/**
 * Kaiser window shape for a stopband attenuation in dB (Kaiser 1974; Oppenheim & Schafer, Discrete-Time Signal
 * Processing, equation 7.75).
 */
export function kaiserBeta(attenuation_dB: number): number {
  assertPositive(attenuation_dB, 'attenuation_dB');
  if (attenuation_dB > 50) return 0.1102 * (attenuation_dB - 8.7);
  if (attenuation_dB > 21) return 0.5842 * (attenuation_dB - 21) ** 0.4 + 0.07886 * (attenuation_dB - 21);
  return 0;
}

/**
 * Odd number of taps with which a Kaiser design reaches an attenuation over a transition band (Oppenheim &
 * Schafer, equation 7.76).
 *
 * @param transition width of the transition band as a fraction of the sample rate
 */
export function kaiserLength(attenuation_dB: number, transition: number): number {
  assertPositive(transition, 'transition');
  const order = Math.ceil((attenuation_dB - 7.95) / (2.285 * 2 * Math.PI * transition));
  return Math.max(1, order + 1 + (order % 2));
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}

/**
 * Linear-phase low-pass by the window method, gain 1 at 0 Hz, as `scipy.signal.firwin(len(window), cutoff)`.
 *
 * @param window symmetric window, as long as the filter
 * @param cutoff -6 dB point as a fraction of the sample rate, between 0 and 0.5
 * @returns taps; the delay is (length - 1) / 2 samples
 */
export function windowedSincLowpass(window: Float64Array, cutoff: number): Float64Array<ArrayBuffer> {
  assertNotEmpty(window, 'window');
  if (!(cutoff > 0 && cutoff < 0.5)) {
    throw new RangeError(`cutoff is ${cutoff} of the sample rate; it must lie between 0 and 0.5`);
  }
  const middle = (window.length - 1) / 2;
  const taps = new Float64Array(window.length);
  let sum = 0;
  for (let n = 0; n < taps.length; n++) {
    taps[n] = 2 * cutoff * sinc(2 * cutoff * (n - middle)) * window[n]!;
    sum += taps[n]!;
  }
  for (let n = 0; n < taps.length; n++) taps[n]! /= sum;
  return taps;
}

/**
 * Linear-phase low-pass with a stated stopband, by a Kaiser window.
 *
 * @param pass_Hz the gain is 1 within the ripple up to here; the ripple is as small as the stopband
 * @param stop_Hz attenuated by `attenuation_dB` from here on
 * @returns an odd number of taps; the delay is (length - 1) / 2 samples
 * @throws RangeError unless 0 < pass_Hz < stop_Hz and their middle lies below half the sample rate
 */
export function firLowpass(
  pass_Hz: number,
  stop_Hz: number,
  attenuation_dB: number,
  sampleRate_Hz: number,
): Float64Array<ArrayBuffer> {
  assertPositive(pass_Hz, 'pass_Hz');
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  if (!(stop_Hz > pass_Hz)) throw new RangeError(`stop_Hz ${stop_Hz} must lie above pass_Hz ${pass_Hz}`);
  const length = kaiserLength(attenuation_dB, (stop_Hz - pass_Hz) / sampleRate_Hz);
  const window = kaiser(length, kaiserBeta(attenuation_dB), 'symmetric');
  return windowedSincLowpass(window, (pass_Hz + stop_Hz) / 2 / sampleRate_Hz);
}

/**
 * Linear-phase band-pass with a stated stopband, by a Kaiser window: the gain is 1 from `low_Hz` to `high_Hz` and
 * falls to the stopband within `transition_Hz` on either side.
 *
 * @returns an odd number of taps; the delay is (length - 1) / 2 samples
 */
export function firBandpass(
  low_Hz: number,
  high_Hz: number,
  transition_Hz: number,
  attenuation_dB: number,
  sampleRate_Hz: number,
): Float64Array<ArrayBuffer> {
  assertPositive(transition_Hz, 'transition_Hz');
  const lower = (low_Hz - transition_Hz / 2) / sampleRate_Hz;
  const upper = (high_Hz + transition_Hz / 2) / sampleRate_Hz;
  if (!(lower > 0 && upper > lower && upper < 0.5)) {
    throw new RangeError(
      `the band ${low_Hz} to ${high_Hz} Hz with its transitions must lie between 0 and ${sampleRate_Hz / 2} Hz`,
    );
  }
  const length = kaiserLength(attenuation_dB, transition_Hz / sampleRate_Hz);
  const window = kaiser(length, kaiserBeta(attenuation_dB), 'symmetric');
  const middle = (length - 1) / 2;
  const taps = new Float64Array(length);
  let gain = 0;
  for (let n = 0; n < length; n++) {
    const t = n - middle;
    taps[n] = (2 * upper * sinc(2 * upper * t) - 2 * lower * sinc(2 * lower * t)) * window[n]!;
    gain += taps[n]! * Math.cos(Math.PI * (lower + upper) * t);
  }
  for (let n = 0; n < length; n++) taps[n]! /= gain;
  return taps;
}

/** From this many taps on, and for blocks as long, the transform is faster than the sum. */
const LONG = 128;

/**
 * Streaming FIR filter over blocks of any length, without allocation; long filters by overlap-save (Oppenheim &
 * Schafer, section 8.7.3). Its output is late by the taps' own delay, not by more.
 */
export class FirFilter {
  readonly #taps: Float64Array;
  /** The taps, last first: the order in which samples lie. */
  readonly #reversed: Float64Array;
  /** The last taps - 1 samples, then those being filtered. */
  readonly #samples: Float64Array;
  readonly #chunk: number;
  readonly #fft: RealFft | null;
  readonly #response: Float64Array | null;
  readonly #spectrum: Float64Array;
  readonly #filtered: Float64Array;

  /** @throws RangeError when there are no taps or some are not finite */
  constructor(taps: Float64Array) {
    assertNotEmpty(taps, 'taps');
    assertFinite(taps, 'taps');
    this.#taps = taps.slice();
    this.#reversed = taps.slice().reverse();
    const history = taps.length - 1;
    if (taps.length >= LONG) {
      const fft = new RealFft(Math.max(1024, nextPowerOfTwo(4 * taps.length)));
      this.#fft = fft;
      this.#response = fft.forward(taps);
      this.#chunk = fft.size - history;
      this.#spectrum = new Float64Array(fft.size + 2);
      this.#filtered = new Float64Array(fft.size);
    } else {
      this.#fft = null;
      this.#response = null;
      this.#chunk = 512;
      this.#spectrum = new Float64Array(0);
      this.#filtered = new Float64Array(this.#chunk);
    }
    this.#samples = new Float64Array(history + this.#chunk);
  }

  /** Forgets the past. */
  reset(): void {
    this.#samples.fill(0);
  }

  /**
   * @param input samples that follow those of the call before
   * @param output receives as many samples, in the input's unit; may be `input` itself
   * @returns `output`
   * @throws RangeError when the input holds NaN or infinity; the filter then starts afresh
   */
  process<Output extends Float32Array | Float64Array>(
    input: Float32Array | Float64Array,
    output: Output,
  ): Output {
    if (output.length < input.length) {
      throw new RangeError(`output has ${output.length} samples; it must have at least ${input.length}`);
    }
    const history = this.#taps.length - 1;
    const samples = this.#samples;
    for (let start = 0; start < input.length; start += this.#chunk) {
      const count = Math.min(this.#chunk, input.length - start);
      for (let i = 0; i < count; i++) samples[history + i] = input[start + i]!;
      const first =
        this.#fft && this.#response && count >= LONG
          ? this.#convolve(this.#fft, this.#response, count)
          : this.#sum(count);
      let witness = 0;
      for (let i = 0; i < count; i++) {
        const value = this.#filtered[first + i]!;
        output[start + i] = value;
        witness += value * 0;
      }
      if (witness !== 0) {
        const bad = samples.slice(history, history + count);
        this.reset();
        assertFinite(bad, 'signal');
        throw new RangeError('signal: the filter overflowed; its values are too large');
      }
      samples.copyWithin(0, count, count + history);
    }
    return output;
  }

  #sum(count: number): number {
    for (let i = 0; i < count; i++) this.#filtered[i] = dot(this.#reversed, this.#samples, i);
    return 0;
  }

  #convolve(fft: RealFft, response: Float64Array, count: number): number {
    const history = this.#taps.length - 1;
    this.#samples.fill(0, history + count);
    const spectrum = fft.forward(this.#samples, this.#spectrum);
    for (let j = 0; j < spectrum.length; j += 2) {
      const re = spectrum[j]!;
      const im = spectrum[j + 1]!;
      spectrum[j] = re * response[j]! - im * response[j + 1]!;
      spectrum[j + 1] = re * response[j + 1]! + im * response[j]!;
    }
    fft.inverse(spectrum, this.#filtered);
    return history;
  }
}

/** Σ weights[k] · samples[offset + k] over the first `length` weights, in four running sums. */
export function dot(
  weights: Float64Array,
  samples: Float64Array,
  offset: number,
  length: number = weights.length,
): number {
  const whole = length - (length % 4);
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  for (let k = 0; k < whole; k += 4) {
    a += weights[k]! * samples[offset + k]!;
    b += weights[k + 1]! * samples[offset + k + 1]!;
    c += weights[k + 2]! * samples[offset + k + 2]!;
    d += weights[k + 3]! * samples[offset + k + 3]!;
  }
  for (let k = whole; k < length; k++) a += weights[k]! * samples[offset + k]!;
  return a + b + (c + d);
}

/**
 * Filters a whole signal from rest (scipy's `lfilter(taps, 1, x)`); late by (taps - 1) / 2 samples for
 * linear-phase taps.
 *
 * @throws RangeError for NaN or infinity
 */
export function firFilter(
  taps: Float64Array,
  signal: Float32Array | Float64Array,
): Float64Array<ArrayBuffer> {
  return new FirFilter(taps).process(signal, new Float64Array(signal.length));
}

/**
 * Filters a whole signal with linear-phase taps and takes their delay out again (`scipy.signal.convolve`, mode
 * 'same'); zeros are taken before and after the signal.
 *
 * @param taps an odd number of them, symmetric
 * @throws RangeError for an even number of taps, NaN or infinity
 */
export function firFilterZeroDelay(
  taps: Float64Array,
  signal: Float32Array | Float64Array,
): Float64Array<ArrayBuffer> {
  assertWholeNumber((taps.length - 1) / 2, 'half the number of taps', 0);
  const delay = (taps.length - 1) / 2;
  const extended = new Float64Array(signal.length + delay);
  extended.set(signal);
  return firFilter(taps, extended).slice(delay);
}
