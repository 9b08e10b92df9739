import { assertFinite, assertNotEmpty } from './validation.ts';

/** Reference of vibration acceleration levels: 1 µm/s² (ISO 1683:2015, table 1). */
export const ACCELERATION_REFERENCE_M_S2 = 1e-6;

/** Standard acceleration of free fall, exact by definition (ISO 80000-3). */
export const STANDARD_GRAVITY_M_S2 = 9.80665;

/**
 * Level of an amplitude-like quantity (RMS acceleration, voltage, fraction of full scale) in dB re `reference`:
 * 20 lg(value / reference). Silence gives -Infinity.
 *
 * @param value not negative, in the unit of `reference`
 */
export function levelDb(value: number, reference: number): number {
  return 20 * Math.log10(value / reference);
}

/** Level of a power-like quantity (mean square, PSD) in dB re `reference`: 10 lg(value / reference). */
export function powerLevelDb(value: number, reference: number): number {
  return 10 * Math.log10(value / reference);
}

/** Amplitude that lies `level_db` above `reference`; inverse of `levelDb`. */
export function amplitudeFromLevelDb(level_db: number, reference: number): number {
  return reference * 10 ** (level_db / 20);
}

/** Power-like quantity that lies `level_db` above `reference`; inverse of `powerLevelDb`. */
export function powerFromLevelDb(level_db: number, reference: number): number {
  return reference * 10 ** (level_db / 10);
}

/** Acceleration level in dB re 1 µm/s² of an RMS value in m/s² (ISO 1683). */
export function accelerationLevelDb(rms_m_s2: number): number {
  return levelDb(rms_m_s2, ACCELERATION_REFERENCE_M_S2);
}

/**
 * Level in dB re full scale of a value as a fraction of full scale (1.0). The RMS of a full-scale sine is
 * -3.01 dB: the reference is a full-scale constant, not a full-scale sine.
 */
export function fullScaleLevelDb(fractionOfFullScale: number): number {
  return levelDb(fractionOfFullScale, 1);
}

/** Mean of the samples, in their unit. @throws RangeError when empty or not finite */
export function mean(signal: ArrayLike<number>): number {
  assertNotEmpty(signal, 'signal');
  let sum = 0;
  for (let i = 0; i < signal.length; i++) sum += signal[i]!;
  if (!Number.isFinite(sum)) assertFinite(signal, 'signal');
  return sum / signal.length;
}

/** Mean of the squares, in the unit squared. @throws RangeError when empty or not finite */
export function meanSquare(signal: ArrayLike<number>): number {
  assertNotEmpty(signal, 'signal');
  let sum = 0;
  for (let i = 0; i < signal.length; i++) {
    const value = signal[i]!;
    sum += value * value;
  }
  if (!Number.isFinite(sum)) assertFinite(signal, 'signal');
  return sum / signal.length;
}

/** Root mean square, DC included, in the signal's unit. @throws RangeError when empty or not finite */
export function rms(signal: ArrayLike<number>): number {
  return Math.sqrt(meanSquare(signal));
}

/**
 * Standard deviation about the mean (divisor N): the RMS without DC, in the signal's unit.
 * @throws RangeError when empty or not finite
 */
export function standardDeviation(signal: ArrayLike<number>): number {
  const average = mean(signal);
  let sum = 0;
  for (let i = 0; i < signal.length; i++) {
    const deviation = signal[i]! - average;
    sum += deviation * deviation;
  }
  return Math.sqrt(sum / signal.length);
}

/** Largest magnitude, in the signal's unit. @throws RangeError when empty or not finite */
export function peak(signal: ArrayLike<number>): number {
  assertNotEmpty(signal, 'signal');
  let largest = 0;
  let witness = 0;
  for (let i = 0; i < signal.length; i++) {
    const magnitude = Math.abs(signal[i]!);
    if (magnitude > largest) largest = magnitude;
    witness += magnitude * 0;
  }
  if (witness !== 0) assertFinite(signal, 'signal');
  return largest;
}

/**
 * Peak divided by RMS, without unit: 1.414 for a sine, 3 to 4 for a healthy running gear's noise, more with
 * impacts. Silence has none: NaN.
 */
export function crestFactor(signal: ArrayLike<number>): number {
  return peak(signal) / rms(signal);
}

/**
 * Kurtosis, the fourth central moment over the squared second, without unit: 3 for Gaussian noise, 1.5 for a
 * sine, more with impacts. Silence has none: NaN.
 */
export function kurtosis(signal: ArrayLike<number>): number {
  const average = mean(signal);
  let second = 0;
  let fourth = 0;
  for (let i = 0; i < signal.length; i++) {
    const square = (signal[i]! - average) ** 2;
    second += square;
    fourth += square * square;
  }
  return (fourth * signal.length) / (second * second);
}

/** Median; of an even number of values the mean of the middle two. @throws RangeError when empty or not finite */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}

/**
 * Quantile by linear interpolation between order statistics (method 7 of Hyndman & Fan, Am. Stat. 50(4), 1996;
 * numpy's default).
 *
 * @param fraction between 0 and 1
 * @throws RangeError when empty or not finite
 */
export function quantile(values: ArrayLike<number>, fraction: number): number {
  assertNotEmpty(values, 'values');
  assertFinite(values, 'values');
  if (!(fraction >= 0 && fraction <= 1)) {
    throw new RangeError(`fraction is ${fraction}; it must lie between 0 and 1`);
  }
  const place = fraction * (values.length - 1);
  const below = Math.floor(place);
  if (scratch.length < values.length) scratch = new Float64Array(2 * values.length);
  for (let i = 0; i < values.length; i++) scratch[i] = values[i]!;
  const low = selectInPlace(scratch, values.length, below);
  if (place === below) return low;
  let high = Number.POSITIVE_INFINITY;
  for (let i = below + 1; i < values.length; i++) high = Math.min(high, scratch[i]!);
  return low + (high - low) * (place - below);
}

/** Spectra ask for thousands of medians of a few dozen values each: an array for each would cost more than the median. */
let scratch = new Float64Array(256);

/**
 * The value that would stand at `rank` if the first `count` values were sorted; afterwards none before that place is larger and
 * none behind it smaller (Hoare's FIND, Comm. ACM 4(7), 1961, algorithm 65).
 */
function selectInPlace(values: Float64Array, count: number, rank: number): number {
  let from = 0;
  let to = count - 1;
  while (from < to) {
    const pivot = values[(from + to) >> 1]!;
    let i = from;
    let j = to;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const value = values[i]!;
      values[i++] = values[j]!;
      values[j--] = value;
    }
    if (j < rank) from = i;
    if (i > rank) to = j;
  }
  return values[rank]!;
}
