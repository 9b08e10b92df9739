import { singleComplexFft, singleFft } from '../dsp/fft-single.ts';

/**
 * One pass over a channel's samples that leaves everything the features need: levels in quarter-octave bands over
 * time, a signal of lower rate for orders, and squared envelopes of octave bands. A half-overlapped sine window on
 * the way in and again on the way out adds up to one, so a single transform per block serves all three.
 */

/** Octave bands whose envelopes are followed, in Hz. */
export const CARRIER_BANDS_HZ = [
  [1200, 2400],
  [2400, 4800],
  [4800, 9600],
] as const;

/** Quarter-octave bands from 25 Hz on: edges 25 × 2^(k/4). */
export const LEVEL_BANDS = 35;
export const levelBandEdge_Hz = (k: number): number => 25 * 2 ** (k / 4);

/** Rate that the signal for orders must at least keep, and that of envelopes. */
const ORDER_RATE_HZ = 4400;
const ENVELOPE_RATE_HZ = 600;

export type FrontEndPlan = {
  readonly sampleRate_Hz: number;
  /** Samples per block; blocks begin `hop` apart. */
  readonly block: number;
  readonly hop: number;
  readonly orderRate_Hz: number;
  readonly envelopeRate_Hz: number;
};

/** @param sampleRate_Hz at least 2000 */
export function frontEndPlan(sampleRate_Hz: number): FrontEndPlan {
  if (!(sampleRate_Hz >= 2000))
    throw new RangeError(`sample rate is ${sampleRate_Hz} Hz; at least 2000 is needed`);
  let block = 512;
  while (block < 0.3 * sampleRate_Hz) block *= 2;
  let orderDivisor = 1;
  while (sampleRate_Hz / (2 * orderDivisor) >= ORDER_RATE_HZ) orderDivisor *= 2;
  let envelopeDivisor = 1;
  while (sampleRate_Hz / (2 * envelopeDivisor) >= ENVELOPE_RATE_HZ) envelopeDivisor *= 2;
  return {
    sampleRate_Hz,
    block,
    hop: block / 2,
    orderRate_Hz: sampleRate_Hz / orderDivisor,
    envelopeRate_Hz: sampleRate_Hz / envelopeDivisor,
  };
}

/** What the pass leaves of one channel; sample n of each signal lies at n / its rate from the run's start. */
export type ChannelDigest = {
  readonly plan: FrontEndPlan;
  /** Number of blocks; block b is centred on b × hop samples and is half there before and half after. */
  readonly blocks: number;
  /** Mean square per block and quarter-octave band, block-major; NaN above the Nyquist rate. */
  readonly bandPower: Float64Array;
  /** The signal below `orderRate_Hz` / 2. */
  readonly low: Float32Array;
  /** Squared envelope of each carrier band (mean square of the carrier), null where the rate is too low. */
  readonly envelopes: readonly (Float32Array | null)[];
};

/**
 * A bin this many times the middle magnitude around it belongs to a tone. Tones are held down to it before the
 * envelope is taken: a mesh with its sidebands would else beat at the turning rates of its gears and pass for
 * impacts. Impacts themselves spread over all bins and stay.
 */
const TONE = 3;
const TONE_WINDOW_BINS = 64;

type Carrier = { firstBin: number; bins: number; size: number };

type Tables = { readonly window: Float64Array; readonly bandOfBin: Int16Array };
const tables = new WeakMap<FrontEndPlan, Tables>();

/** Made once for all channels of a run. */
function tablesOf(plan: FrontEndPlan): Tables {
  const known = tables.get(plan);
  if (known) return known;
  const { block, sampleRate_Hz } = plan;
  const bandOfBin = new Int16Array(block / 2 + 1).fill(-1);
  for (let k = 1; k < block / 2; k++) {
    const band = Math.floor(4 * Math.log2((k * sampleRate_Hz) / block / 25));
    if (band >= 0 && band < LEVEL_BANDS) bandOfBin[k] = band;
  }
  const window = Float64Array.from({ length: block }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / block));
  tables.set(plan, { window, bandOfBin });
  return { window, bandOfBin };
}

/** Takes a channel's samples block by block; see the file's head. `loadSingleFft()` must have been awaited. */
export class FrontEnd {
  readonly #plan: FrontEndPlan;
  readonly #window: Float64Array;
  readonly #pending: Float64Array;
  #filled: number;
  #blocks = 0;
  readonly #capacity: number;
  readonly #bandOfBin: Int16Array;
  readonly #bandPower: Float64Array;
  readonly #low: Float32Array;
  readonly #lowSize: number;
  readonly #carriers: (Carrier | null)[];
  readonly #analytic: (Float64Array | null)[];
  readonly #envelopes: (Float32Array | null)[];
  readonly #envelopeSize: number;

  /** @param frames how many samples will come at most */
  constructor(plan: FrontEndPlan, frames: number) {
    const { block, hop, sampleRate_Hz } = plan;
    this.#plan = plan;
    const { window, bandOfBin } = tablesOf(plan);
    this.#window = window;
    this.#bandOfBin = bandOfBin;
    this.#pending = new Float64Array(block);
    // The first half block is silence before the run, so that its first samples get their full weight.
    this.#filled = hop;
    this.#capacity = Math.ceil(frames / hop) + 1;
    this.#bandPower = new Float64Array(this.#capacity * LEVEL_BANDS);
    this.#lowSize = Math.round((block * plan.orderRate_Hz) / sampleRate_Hz);
    this.#low = new Float32Array((this.#capacity + 1) * (this.#lowSize / 2));
    this.#envelopeSize = Math.round((block * plan.envelopeRate_Hz) / sampleRate_Hz);
    this.#carriers = CARRIER_BANDS_HZ.map(([lo, hi]) => {
      if (hi > 0.5 * sampleRate_Hz) return null;
      // Even, so that the shift down to zero turns by whole turns from block to block.
      const firstBin = 2 * Math.round((0.5 * lo * block) / sampleRate_Hz);
      const bins = Math.round((hi * block) / sampleRate_Hz) - firstBin;
      let size = this.#envelopeSize;
      while (size < bins) size *= 2;
      // Made now: while a block is processed, the memory that holds its spectrum must not move.
      singleComplexFft(size);
      return { firstBin, bins, size };
    });
    this.#analytic = this.#carriers.map((c) => c && new Float64Array(c.size));
    this.#envelopes = this.#carriers.map(
      (c) => c && new Float32Array((this.#capacity + 1) * (this.#envelopeSize / 2)),
    );
  }

  push(samples: Float32Array, count: number): void {
    const { block, hop } = this.#plan;
    let taken = 0;
    while (taken < count) {
      const n = Math.min(block - this.#filled, count - taken);
      this.#pending.set(samples.subarray(taken, taken + n), this.#filled);
      this.#filled += n;
      taken += n;
      if (this.#filled === block) {
        this.#process();
        this.#pending.copyWithin(0, hop);
        this.#filled = hop;
      }
    }
  }

  finish(): ChannelDigest {
    if (this.#blocks < this.#capacity) {
      this.#pending.fill(0, this.#filled);
      this.#process();
    }
    const { hop, sampleRate_Hz } = this.#plan;
    const blocks = this.#blocks;
    const usedBands = Math.floor(4 * Math.log2((0.45 * sampleRate_Hz) / 25));
    const bandPower = this.#bandPower.subarray(0, blocks * LEVEL_BANDS);
    for (let b = 0; b < blocks; b++)
      for (let k = Math.max(0, usedBands); k < LEVEL_BANDS; k++) bandPower[b * LEVEL_BANDS + k] = Number.NaN;
    // The silent half block before the run is cut off again.
    const cut = (x: Float32Array, rate: number): Float32Array => {
      const half = Math.round((hop * rate) / sampleRate_Hz);
      return x.subarray(half, half + (blocks - 1) * half);
    };
    return {
      plan: this.#plan,
      blocks,
      bandPower,
      low: cut(this.#low, this.#plan.orderRate_Hz),
      envelopes: this.#envelopes.map((e) => e && cut(e, this.#plan.envelopeRate_Hz)),
    };
  }

  #process(): void {
    const { block } = this.#plan;
    const b = this.#blocks++;
    const fft = singleFft(block);
    const input = fft.input;
    const window = this.#window;
    const pending = this.#pending;
    for (let i = 0; i < block; i++) input[i] = pending[i]! * window[i]!;
    fft.transform();
    const spectrum = fft.spectrum;
    this.#addBandPower(spectrum, b);
    this.#addCarriers(spectrum, b);
    this.#addLow(spectrum, b);
  }

  #addBandPower(spectrum: Float32Array, b: number): void {
    const { block } = this.#plan;
    const bands = this.#bandPower.subarray(b * LEVEL_BANDS, (b + 1) * LEVEL_BANDS);
    const bandOfBin = this.#bandOfBin;
    // One-sided (2) and freed of the window, whose mean square is a half (2).
    const scale = 4 / block / block;
    for (let k = 1; k < bandOfBin.length; k++) {
      const band = bandOfBin[k]!;
      if (band < 0) continue;
      const re = spectrum[2 * k]!;
      const im = spectrum[2 * k + 1]!;
      bands[band] = bands[band]! + scale * (re * re + im * im);
    }
  }

  #addLow(spectrum: Float32Array, b: number): void {
    const size = this.#lowSize;
    const step = this.#plan.block / size;
    const fft = singleFft(size);
    // The fetched spectrum may be the same plan's when nothing is decimated.
    const small = fft.spectrum;
    const bins = size / 2;
    if (step > 1) for (let k = 0; k < 2 * bins; k++) small[k] = spectrum[k]!;
    small[1] = 0;
    small[2 * bins] = 0;
    small[2 * bins + 1] = 0;
    fft.transformBack();
    const out = fft.input;
    const half = size / 2;
    const low = this.#low;
    for (let i = 0; i < size; i++) {
      const at = b * half + i;
      low[at] = low[at]! + (out[i]! / step) * this.#window[i * step]!;
    }
  }

  #addCarriers(spectrum: Float32Array, b: number): void {
    const { block } = this.#plan;
    this.#carriers.forEach((carrier, c) => {
      if (!carrier) return;
      const { firstBin, bins, size } = carrier;
      const fft = singleComplexFft(size);
      const input = fft.spectrum;
      const output = fft.output;
      input.fill(0);
      for (let from = 0; from < bins; from += TONE_WINDOW_BINS) {
        const to = Math.min(bins, from + TONE_WINDOW_BINS);
        const ceiling = toneCeiling(spectrum, firstBin + from, firstBin + to);
        for (let k = from; k < to; k++) {
          const re = spectrum[2 * (firstBin + k)]!;
          const im = spectrum[2 * (firstBin + k) + 1]!;
          const power = re * re + im * im;
          // Cosine slopes over a tenth of the band at each edge keep the filter's answer short.
          const edge = Math.min(k + 0.5, bins - k - 0.5) / (0.1 * bins);
          let gain = edge >= 1 ? 1 : Math.sin(0.5 * Math.PI * edge);
          if (power > ceiling) gain *= Math.sqrt(ceiling / power);
          input[2 * k] = re * gain;
          input[2 * k + 1] = im * gain;
        }
      }
      fft.transformBack();
      const tail = this.#analytic[c]!;
      const half = size / 2;
      const perOut = size / this.#envelopeSize;
      const envelope = this.#envelopes[c]!;
      const scale = (2 * (size / block) ** 2) / perOut;
      const at = b * (this.#envelopeSize / 2);
      const step = block / size;
      for (let i = 0; i < half; i++) {
        const w = this.#window[i * step]!;
        const re = output[2 * i]! * w + tail[2 * i]!;
        const im = output[2 * i + 1]! * w + tail[2 * i + 1]!;
        const n = at + Math.floor(i / perOut);
        envelope[n] = envelope[n]! + scale * (re * re + im * im);
      }
      for (let i = 0; i < half; i++) {
        const w = this.#window[(half + i) * step]!;
        tail[2 * i] = output[2 * (half + i)]! * w;
        tail[2 * i + 1] = output[2 * (half + i) + 1]! * w;
      }
    });
  }
}

/** Power above which a bin is a tone, from the mean of the roots of the magnitudes: a few tones hardly move it. */
function toneCeiling(spectrum: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let k = from; k < to; k++) {
    const re = spectrum[2 * k]!;
    const im = spectrum[2 * k + 1]!;
    sum += Math.sqrt(Math.sqrt(re * re + im * im));
  }
  const middle = (sum / (to - from)) ** 2;
  return (TONE * middle) ** 2;
}
