import { complexFft, nextPowerOfTwo, realFft } from './fft.ts';
import { resampleToAngle } from './order-track.ts';
import type { ShaftMotion } from './speed-motion.ts';
import { assertFinite, assertNotEmpty, assertPositive } from './validation.ts';
import { hann } from './windows.ts';

/** A frequency band in Hz. */
export type Band = readonly [low_Hz: number, high_Hz: number];

/** The squared envelope of a signal in one band, at a rate that its bandwidth needs. */
export type SquaredEnvelope = {
  readonly band_Hz: Band;
  readonly sampleRate_Hz: number;
  /** Squared magnitude of the band's analytic signal, in the signal's unit squared. */
  readonly samples: Float64Array;
};

/**
 * Squared envelopes of a signal in several bands, from one transform of the whole signal: the band's positive
 * frequencies are moved to zero and transformed back at the rate of twice the bandwidth, so that the square does not
 * fold. (Squaring the one-sided signal: Ho & Randall, Mech. Syst. Signal Process. 14, 2000; from memory.)
 * @param samples time signal, any unit
 * @param bands each within 0 and half the sample rate, lower edge first
 * @throws RangeError for an empty signal, NaN, infinity or a band outside the signal's
 */
export function squaredEnvelopes(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  bands: readonly Band[],
): SquaredEnvelope[] {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertNotEmpty(samples, 'samples');
  assertFinite(samples, 'samples');
  const size = Math.max(16, nextPowerOfTwo(samples.length));
  const spectrum = realFft(size).forward(samples);
  return bands.map((band) => squaredEnvelopeOf(spectrum, size, samples.length, sampleRate_Hz, band));
}

function squaredEnvelopeOf(
  spectrum: Float64Array,
  size: number,
  length: number,
  sampleRate_Hz: number,
  band: Band,
): SquaredEnvelope {
  const step = sampleRate_Hz / size;
  const from = Math.max(1, Math.round(band[0] / step));
  const to = Math.min(size / 2, Math.round(band[1] / step));
  if (!(to > from)) {
    throw new RangeError(
      `band ${band[0]} to ${band[1]} Hz does not lie within 0 and ${sampleRate_Hz / 2} Hz`,
    );
  }
  const small = Math.max(8, nextPowerOfTwo(2 * (to - from)));
  const shifted = new Float64Array(2 * small);
  for (let k = from; k < to; k++) {
    shifted[2 * (k - from)] = spectrum[2 * k]!;
    shifted[2 * (k - from) + 1] = spectrum[2 * k + 1]!;
  }
  const analytic = complexFft(small).inverse(shifted, new Float64Array(2 * small));
  // The inverse divides by the small size; a one-sided signal has twice the positive half.
  const scale = (2 * small) / size;
  const count = Math.max(1, Math.floor((length * small) / size));
  const out = new Float64Array(count);
  for (let n = 0; n < count; n++) {
    out[n] = (analytic[2 * n]! * scale) ** 2 + (analytic[2 * n + 1]! * scale) ** 2;
  }
  return { band_Hz: band, sampleRate_Hz: (sampleRate_Hz * small) / size, samples: out };
}

/** Power of the envelope's fluctuation over frequency or order. */
export type EnvelopeSpectrum = {
  readonly band_Hz: Band;
  /** Frequency (Hz) or order of bin k is k × step. */
  readonly step: number;
  /** Distance of two lines that are just told apart, in the same unit: one over the length. */
  readonly resolution: number;
  /** Squared magnitude of the Hann-windowed transform, arbitrary scale. */
  readonly power: Float64Array;
};

/**
 * Single knocks (stones, doors) are cut at this many times the median of the squared envelope. Gaussian noise
 * reaches it once in 2^40 samples; a periodic knock that is cut stays periodic.
 */
const LIMIT_OVER_MEDIAN = 40;

/** So many values give the median well enough. */
const MEDIAN_VALUES = 4000;

/**
 * Squared envelope spectrum in Hz, for a shaft at constant speed.
 * @param top_Hz highest frequency wanted
 */
export function envelopeSpectrum(envelope: SquaredEnvelope, top_Hz: number): EnvelopeSpectrum {
  assertPositive(top_Hz, 'top_Hz');
  return spectrumOf(limited(envelope.samples), envelope.sampleRate_Hz, top_Hz, envelope.band_Hz);
}

/**
 * Squared envelope spectrum in orders of a shaft whose speed may vary: the envelope, not the signal, is resampled to
 * equal angle, so that resonances stay where they are.
 * @param motion the shaft's motion on the signal's clock
 * @param topOrder highest order wanted
 * @returns null when the motion covers less than a turn of the signal
 */
export function envelopeOrderSpectrum(
  envelope: SquaredEnvelope,
  motion: ShaftMotion,
  topOrder: number,
): EnvelopeSpectrum | null {
  assertPositive(topOrder, 'topOrder');
  const samplesPerTurn = Math.ceil(2.6 * topOrder);
  const signal = resampleToAngle(limited(envelope.samples), envelope.sampleRate_Hz, motion, samplesPerTurn);
  return signal && spectrumOf(signal.samples, samplesPerTurn, topOrder, envelope.band_Hz);
}

function limited(samples: Float64Array): Float64Array {
  const stride = Math.max(1, Math.floor(samples.length / MEDIAN_VALUES));
  const sorted = samples.filter((_, i) => i % stride === 0).sort();
  const limit = LIMIT_OVER_MEDIAN * sorted[sorted.length >> 1]!;
  return samples.map((v) => Math.min(v, limit));
}

function spectrumOf(samples: Float64Array, rate: number, top: number, band_Hz: Band): EnvelopeSpectrum {
  const n = samples.length;
  let mean = 0;
  for (const v of samples) mean += v / n;
  const window = hann(n);
  const size = nextPowerOfTwo(2 * n);
  const spectrum = realFft(size).forward(window.map((w, i) => w * (samples[i]! - mean)));
  const step = rate / size;
  const bins = Math.min(size / 2 + 1, Math.ceil(top / step) + 2);
  const power = new Float64Array(bins);
  for (let k = 0; k < bins; k++) power[k] = spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;
  return { band_Hz, step, resolution: rate / n, power };
}
