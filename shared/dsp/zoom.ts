import { complexFft, nextPowerOfTwo } from './fft.ts';
import { assertFinite, assertNotEmpty, assertPositive, assertWholeNumber } from './validation.ts';
import { coherentGain, type WindowName, windowByName } from './windows.ts';

/** RMS of lines on a fine grid between two frequencies. */
export interface ZoomSpectrum {
  frequencies_Hz: Float64Array<ArrayBuffer>;
  /** RMS of a line at each frequency, in the signal's unit: A/√2 for a sine of amplitude A. */
  rms: Float64Array<ArrayBuffer>;
}

/**
 * Fourier transform of a signal at `points` equally spaced frequencies, by the chirp-z algorithm (Rabiner, Schafer &
 * Rader, Bell Syst. Tech. J. 48(5), 1969): X(f) = Σ x[n] exp(-2πi n f / sampleRate), as
 * `scipy.signal.zoom_fft(x, [from, to], m, fs=, endpoint=True)`.
 *
 * @param signal at least one sample, of any unit
 * @param from_Hz first frequency
 * @param to_Hz last frequency
 * @param points number of frequencies, both ends included; at least 1
 * @returns complex values as re, im pairs
 * @throws RangeError when empty, NaN or infinite
 */
export function zoomTransform(
  signal: ArrayLike<number>,
  sampleRate_Hz: number,
  from_Hz: number,
  to_Hz: number,
  points: number,
): Float64Array<ArrayBuffer> {
  assertNotEmpty(signal, 'signal');
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertFinite([from_Hz, to_Hz], 'band edges');
  assertWholeNumber(points, 'points', 1);
  const length = signal.length;
  const fft = complexFft(nextPowerOfTwo(Math.max(2, length + points - 1)));
  // In turns per sample: the first frequency, and from each to the next.
  const start = from_Hz / sampleRate_Hz;
  const step = points > 1 ? (to_Hz - from_Hz) / sampleRate_Hz / (points - 1) : 0;
  const turn = (turns: number): [number, number] => {
    const angle = 2 * Math.PI * (turns - Math.round(turns));
    return [Math.cos(angle), Math.sin(angle)];
  };

  // n k = (n² + k² - (k - n)²) / 2 makes the sum a convolution with a chirp.
  const chirped = new Float64Array(2 * fft.size);
  for (let n = 0; n < length; n++) {
    const [c, s] = turn(-n * start - (step * n * n) / 2);
    chirped[2 * n] = signal[n]! * c;
    chirped[2 * n + 1] = signal[n]! * s;
  }
  const chirp = new Float64Array(2 * fft.size);
  for (let k = 1 - length; k < points; k++) {
    const [c, s] = turn((step * k * k) / 2);
    const at = 2 * (k < 0 ? k + fft.size : k);
    chirp[at] = c;
    chirp[at + 1] = s;
  }
  const a = fft.forward(chirped, new Float64Array(2 * fft.size));
  const b = fft.forward(chirp, chirped);
  for (let j = 0; j < a.length; j += 2) {
    const re = a[j]! * b[j]! - a[j + 1]! * b[j + 1]!;
    a[j + 1] = a[j]! * b[j + 1]! + a[j + 1]! * b[j]!;
    a[j] = re;
  }
  const convolved = fft.inverse(a, chirp);
  const result = new Float64Array(2 * points);
  for (let k = 0; k < points; k++) {
    const [c, s] = turn(-(step * k * k) / 2);
    result[2 * k] = convolved[2 * k]! * c - convolved[2 * k + 1]! * s;
    result[2 * k + 1] = convolved[2 * k]! * s + convolved[2 * k + 1]! * c;
  }
  return result;
}

/**
 * Amplitude-correct spectrum on a fine grid between two frequencies. The grid may be as fine as wanted; what can be
 * told apart is still set by the signal's duration and the window.
 *
 * @param points number of frequencies, both ends included
 * @throws RangeError when empty, NaN or infinite, or unless 0 ≤ from_Hz < to_Hz ≤ half the sample rate
 */
export function zoomSpectrum(
  signal: ArrayLike<number>,
  sampleRate_Hz: number,
  from_Hz: number,
  to_Hz: number,
  points: number,
  window: WindowName = 'hann',
): ZoomSpectrum {
  assertNotEmpty(signal, 'signal');
  if (!(from_Hz >= 0 && to_Hz > from_Hz && to_Hz <= sampleRate_Hz / 2)) {
    throw new RangeError(
      `the zoomed band ${from_Hz} to ${to_Hz} Hz must lie between 0 and ${sampleRate_Hz / 2} Hz`,
    );
  }
  assertWholeNumber(points, 'points', 2);
  const taper = windowByName(window, signal.length);
  const tapered = Float64Array.from(taper, (weight, n) => weight * signal[n]!);
  const spectrum = zoomTransform(tapered, sampleRate_Hz, from_Hz, to_Hz, points);
  const frequencies_Hz = Float64Array.from(
    { length: points },
    (_, k) => from_Hz + ((to_Hz - from_Hz) * k) / (points - 1),
  );
  const gain = coherentGain(taper) * signal.length;
  return {
    frequencies_Hz,
    rms: frequencies_Hz.map((frequency, k) => {
      const oneSided = frequency === 0 || frequency === sampleRate_Hz / 2 ? 1 : Math.SQRT2;
      return (oneSided * Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!)) / gain;
    }),
  };
}
