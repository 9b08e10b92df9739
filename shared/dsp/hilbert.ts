import { nextPowerOfTwo, realFft } from './fft.ts';
import { assertNotEmpty } from './validation.ts';

/** A complex signal whose real part is the signal it was made from. */
export interface AnalyticSignal {
  real: Float64Array<ArrayBuffer>;
  imaginary: Float64Array<ArrayBuffer>;
}

/**
 * Hilbert transform of a whole signal: every component a quarter turn later, in the signal's unit (Oppenheim &
 * Schafer, Discrete-Time Signal Processing, section 12.4). As `scipy.signal.hilbert(x, N=nfft).imag`, nfft the
 * next power of two: the signal is taken as followed by zeros, so the ends are off as with any finite stretch.
 *
 * @param signal at least one sample
 * @throws RangeError when empty, NaN or infinite
 */
export function hilbertTransform(signal: ArrayLike<number>): Float64Array<ArrayBuffer> {
  assertNotEmpty(signal, 'signal');
  const fft = realFft(nextPowerOfTwo(Math.max(2, signal.length)));
  const spectrum = fft.forward(signal);
  for (let j = 0; j < spectrum.length; j += 2) {
    const re = spectrum[j]!;
    spectrum[j] = spectrum[j + 1]!;
    spectrum[j + 1] = -re;
  }
  // A constant and the highest bin have no quadrature.
  spectrum[0] = spectrum[1] = 0;
  spectrum[fft.size] = spectrum[fft.size + 1] = 0;
  return fft.inverse(spectrum).slice(0, signal.length) as Float64Array<ArrayBuffer>;
}

/** The signal with its Hilbert transform as imaginary part; see `hilbertTransform`. */
export function analyticSignal(signal: ArrayLike<number>): AnalyticSignal {
  return { real: Float64Array.from(signal), imaginary: hilbertTransform(signal) };
}

/** Magnitude of the analytic signal, the envelope, in the signal's unit; see `hilbertTransform`. */
export function hilbertEnvelope(signal: ArrayLike<number>): Float64Array<ArrayBuffer> {
  const envelope = hilbertTransform(signal);
  for (let i = 0; i < envelope.length; i++) envelope[i] = Math.hypot(signal[i]!, envelope[i]!);
  return envelope;
}

/** Squared magnitude of the analytic signal, in the signal's unit squared; see `hilbertTransform`. */
export function squaredHilbertEnvelope(signal: ArrayLike<number>): Float64Array<ArrayBuffer> {
  const envelope = hilbertTransform(signal);
  for (let i = 0; i < envelope.length; i++) envelope[i] = signal[i]! ** 2 + envelope[i]! ** 2;
  return envelope;
}
