import { nextPowerOfTwo, realFft } from './fft.ts';
import { assertFinite, assertNotEmpty } from './validation.ts';

/**
 * Real cepstrum: inverse transform of the logarithm of the magnitude. A family of equally spaced lines (a gear's
 * mesh with its sidebands, a harmonic series) becomes one peak at the quefrency of its spacing.
 * @param samples time signal; the spectrum is taken as zero-padded to a power of two
 * @returns value at quefrency n / sampleRate, n up to half the padded length; natural logarithm, no unit
 * @throws RangeError for an empty signal, NaN or infinity
 * @see Randall, Mech. Syst. Signal Process. 97 (2017), A history of cepstrum analysis (from memory)
 */
export function realCepstrum(samples: ArrayLike<number>): Float64Array {
  assertNotEmpty(samples, 'samples');
  assertFinite(samples, 'samples');
  const size = Math.max(4, nextPowerOfTwo(samples.length));
  const fft = realFft(size);
  const spectrum = fft.forward(samples);
  let largest = 0;
  for (let k = 0; k <= size / 2; k++)
    largest = Math.max(largest, Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!));
  // Bins of exact silence would be minus infinity: 300 dB below the largest is silence enough.
  const floor = largest > 0 ? 1e-15 * largest : 1;
  for (let k = 0; k <= size / 2; k++) {
    spectrum[2 * k] = Math.log(Math.max(floor, Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!)));
    spectrum[2 * k + 1] = 0;
  }
  return fft.inverse(spectrum).slice(0, size / 2 + 1);
}

/** Fluctuation that is only rounding, as a share of the largest value. */
const ROUNDING = 1e-12;

/**
 * Cepstrum pre-whitening: every spectral bin keeps its phase and gets magnitude one, so that tones (shaft harmonics,
 * gear mesh) weigh no more than a bin of noise and the knocks of a bearing stand out in every band alike. It is the
 * signal whose real cepstrum is set to zero. The mean is taken out first.
 * @param samples time signal, any unit
 * @returns as many samples, no unit, variance about one; silence and a constant give silence
 * @throws RangeError for an empty signal, NaN or infinity
 * @see Borghesani, Pennacchi, Randall, Sawalhi & Ricci, Mech. Syst. Signal Process. 36 (2013) (from memory)
 */
export function prewhitened(samples: ArrayLike<number>): Float64Array {
  assertNotEmpty(samples, 'samples');
  assertFinite(samples, 'samples');
  const n = samples.length;
  let mean = 0;
  let largest = 0;
  for (let i = 0; i < n; i++) {
    mean += samples[i]! / n;
    largest = Math.max(largest, Math.abs(samples[i]!));
  }
  const fluctuation = Float64Array.from(samples, (v) => v - mean);
  // What is left of a constant is rounding: whitening would blow it up.
  if (fluctuation.every((v) => Math.abs(v) <= ROUNDING * largest)) return fluctuation.fill(0);
  const size = Math.max(4, nextPowerOfTwo(n));
  const fft = realFft(size);
  const spectrum = fft.forward(fluctuation);
  for (let k = 0; k <= size / 2; k++) {
    const magnitude = Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!);
    const gain = magnitude > 0 ? Math.sqrt(size) / magnitude : 0;
    spectrum[2 * k] = spectrum[2 * k]! * gain;
    spectrum[2 * k + 1] = spectrum[2 * k + 1]! * gain;
  }
  return fft.inverse(spectrum).slice(0, n);
}
