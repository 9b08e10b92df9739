import { assertFiniteNumber, assertNotEmpty, assertWholeNumber } from './validation.ts';

/**
 * How a window of N points is laid out. 'periodic': one period of N samples, for spectra (scipy `sym=False`);
 * 'symmetric': first and last point equal, for filter design (scipy `sym=True`).
 */
export type WindowSymmetry = 'periodic' | 'symmetric';

/** The windows that need no parameter, by name. */
export type WindowName = 'hann' | 'hamming' | 'blackman' | 'blackmanHarris' | 'flatTop' | 'rectangular';

/** Σ (-1)^j a_j cos(2πjn/M), the family of which all windows here but Kaiser's are members. */
function cosineSum(
  length: number,
  symmetry: WindowSymmetry,
  coefficients: readonly number[],
): Float64Array<ArrayBuffer> {
  assertWholeNumber(length, 'window length', 1);
  const window = new Float64Array(length);
  if (length === 1) return window.fill(1);
  const period = symmetry === 'periodic' ? length : length - 1;
  for (let n = 0; n < length; n++) {
    let value = 0;
    for (let j = 0; j < coefficients.length; j++) {
      // Measured from the middle, so that both halves round alike; there all signs are plus.
      value += coefficients[j]! * Math.cos(Math.PI * j * ((2 * n - period) / period));
    }
    window[n] = value;
  }
  return window;
}

/** Hann window: the everyday choice for broadband and order spectra. Noise bandwidth 1.5 bins. */
export function hann(length: number, symmetry: WindowSymmetry = 'periodic'): Float64Array<ArrayBuffer> {
  return cosineSum(length, symmetry, [0.5, 0.5]);
}

/** Hamming window, 0.54 and 0.46. Noise bandwidth 1.363 bins. */
export function hamming(length: number, symmetry: WindowSymmetry = 'periodic'): Float64Array<ArrayBuffer> {
  return cosineSum(length, symmetry, [0.54, 0.46]);
}

/** Blackman window, 0.42, 0.5 and 0.08. Noise bandwidth 1.727 bins. */
export function blackman(length: number, symmetry: WindowSymmetry = 'periodic'): Float64Array<ArrayBuffer> {
  return cosineSum(length, symmetry, [0.42, 0.5, 0.08]);
}

/**
 * Four-term Blackman-Harris window with side lobes below -92 dB (Harris, Proc. IEEE 66(1), 1978). Noise
 * bandwidth 2.004 bins.
 */
export function blackmanHarris(
  length: number,
  symmetry: WindowSymmetry = 'periodic',
): Float64Array<ArrayBuffer> {
  return cosineSum(length, symmetry, [0.35875, 0.48829, 0.14128, 0.01168]);
}

/**
 * Five-term flat-top window (D'Antona & Ferrero, Digital Signal Processing for Measurement Systems, 2006; the
 * coefficients of scipy's `flattop`): a line's level is right within 0.01 dB wherever it falls between bins.
 * Noise bandwidth 3.77 bins.
 */
export function flatTop(length: number, symmetry: WindowSymmetry = 'periodic'): Float64Array<ArrayBuffer> {
  return cosineSum(length, symmetry, [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368]);
}

/** Rectangular window: all ones. Noise bandwidth 1 bin. */
export function rectangular(length: number): Float64Array<ArrayBuffer> {
  assertWholeNumber(length, 'window length', 1);
  return new Float64Array(length).fill(1);
}

/** A window by its name, as settings and calls carry it. */
export function windowByName(
  name: WindowName,
  length: number,
  symmetry: WindowSymmetry = 'periodic',
): Float64Array<ArrayBuffer> {
  switch (name) {
    case 'hann':
      return hann(length, symmetry);
    case 'hamming':
      return hamming(length, symmetry);
    case 'blackman':
      return blackman(length, symmetry);
    case 'blackmanHarris':
      return blackmanHarris(length, symmetry);
    case 'flatTop':
      return flatTop(length, symmetry);
    case 'rectangular':
      return rectangular(length);
  }
}

/** Modified Bessel function of the first kind, order 0, by its power series; relative error near 1e-16. */
export function besselI0(x: number): number {
  const quarterSquare = (x * x) / 4;
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= quarterSquare / (k * k);
    sum += term;
  }
  return sum;
}

/**
 * Kaiser window I0(β √(1 - u²)) / I0(β), u from -1 to 1 (Kaiser 1974; Oppenheim & Schafer, Discrete-Time Signal
 * Processing, section 7.5.3).
 *
 * @param length number of points
 * @param beta shape: 0 is rectangular, larger is wider with lower side lobes; at most 700
 */
export function kaiser(
  length: number,
  beta: number,
  symmetry: WindowSymmetry = 'periodic',
): Float64Array<ArrayBuffer> {
  assertWholeNumber(length, 'window length', 1);
  assertFiniteNumber(beta, 'beta');
  if (Math.abs(beta) > 700) throw new RangeError(`beta is ${beta}; it must lie between -700 and 700`);
  const window = new Float64Array(length);
  if (length === 1) return window.fill(1);
  const halfPeriod = (symmetry === 'periodic' ? length : length - 1) / 2;
  const scale = 1 / besselI0(beta);
  for (let n = 0; n < length; n++) {
    const u = (n - halfPeriod) / halfPeriod;
    window[n] = besselI0(beta * Math.sqrt(Math.max(0, 1 - u * u))) * scale;
  }
  return window;
}

/**
 * Mean of the window: what a line's amplitude is multiplied by (Harris 1978). Divide by it for amplitude-correct
 * spectra.
 */
export function coherentGain(window: ArrayLike<number>): number {
  assertNotEmpty(window, 'window');
  let sum = 0;
  for (let n = 0; n < window.length; n++) sum += window[n]!;
  return sum / window.length;
}

/**
 * Width, in bins, of the rectangular filter that passes the same noise power as one bin of this window:
 * N Σw² / (Σw)² (Harris 1978). Times sampleRate / N it is in hertz.
 */
export function equivalentNoiseBandwidth_bins(window: ArrayLike<number>): number {
  assertNotEmpty(window, 'window');
  let sum = 0;
  let sumOfSquares = 0;
  for (let n = 0; n < window.length; n++) {
    const value = window[n]!;
    sum += value;
    sumOfSquares += value * value;
  }
  return (window.length * sumOfSquares) / (sum * sum);
}
