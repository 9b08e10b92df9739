import type { Band } from './envelope.ts';
import { nextPowerOfTwo, realFft } from './fft.ts';
import { assertFinite, assertPositive, assertWholeNumber } from './validation.ts';
import { hann } from './windows.ts';

/** Stretches into which a record is cut, so that one stone or door spoils one of them only. */
const STRETCHES = 9;

function median(values: number[]): number {
  const sorted = values.sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** Kurtosis over frequency. */
export type SpectralKurtosis = {
  /** Frequency of bin k is k × step. */
  readonly step_Hz: number;
  /** 0 for steady Gaussian noise, -1 for a tone, above 0 where knocks stand out. */
  readonly value: Float64Array;
};

/**
 * Spectral kurtosis E|X|⁴ / (E|X|²)² - 2 of the short-time transform (Antoni, Mech. Syst. Signal Process. 20, 2006),
 * as the median over stretches of the record: the usual estimate follows a single stone or door.
 * @param samples time signal, any unit
 * @param size samples per frame, a power of two; shorter than the time between knocks
 * @returns size / 2 + 1 values; each stretch estimates with a standard deviation of about 2 / √frames
 * @throws RangeError when the record holds fewer than four frames in each stretch
 */
export function spectralKurtosis(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  size: number,
): SpectralKurtosis {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertWholeNumber(size, 'size', 4);
  assertFinite(samples, 'samples');
  const hop = size / 2;
  const perStretch = Math.floor((samples.length / STRETCHES - size) / hop) + 1;
  if (perStretch < 4) {
    throw new RangeError(
      `samples has ${samples.length} values; frames of ${size} need ${STRETCHES * 3 * size}`,
    );
  }
  const fft = realFft(size);
  const window = hann(size);
  const block = new Float64Array(size);
  const spectrum = new Float64Array(size + 2);
  const bins = size / 2 + 1;
  const estimates: Float64Array[] = [];
  for (let s = 0; s < STRETCHES; s++) {
    const start = Math.floor((s * samples.length) / STRETCHES);
    const second = new Float64Array(bins);
    const fourth = new Float64Array(bins);
    for (let b = 0; b < perStretch; b++) {
      for (let i = 0; i < size; i++) block[i] = samples[start + b * hop + i]! * window[i]!;
      fft.forward(block, spectrum);
      for (let k = 0; k < bins; k++) {
        const power = spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;
        second[k] = second[k]! + power;
        fourth[k] = fourth[k]! + power * power;
      }
    }
    // 0 Hz and half the rate are real: their Gaussian kurtosis is 3, not 2.
    const gaussian = (k: number): number => (k === 0 || k === bins - 1 ? 3 : 2);
    estimates.push(
      fourth.map((v, k) => (second[k]! > 0 ? (perStretch * v) / second[k]! ** 2 - gaussian(k) : 0)),
    );
  }
  return {
    step_Hz: sampleRate_Hz / size,
    value: Float64Array.from({ length: bins }, (_, k) => median(estimates.map((e) => e[k]!))),
  };
}

/** Demodulation below this is drowned by road and engine rumble (common practice). */
export const LOWEST_EDGE_HZ = 500;
/** Bands end here as a share of the sample rate: the anti-alias filter of the interface takes the rest. */
const HIGHEST_SHARE = 0.48;

/**
 * Bands in which to look for knocks: octaves in half-octave steps, and the whole. Few enough that looking in all of
 * them costs little in false alarms, wide enough that any resonance fills one.
 * @param lowest_Hz lower edge of the first band; a band must be wider than the highest rate sought
 * @returns at least one band
 * @throws RangeError when the sample rate leaves no band
 */
export function demodulationBands(sampleRate_Hz: number, lowest_Hz = LOWEST_EDGE_HZ): Band[] {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(lowest_Hz, 'lowest_Hz');
  const top = HIGHEST_SHARE * sampleRate_Hz;
  if (lowest_Hz >= top) {
    throw new RangeError(`at ${sampleRate_Hz} samples a second there is no band above ${lowest_Hz} Hz`);
  }
  const bands: Band[] = [];
  for (let edge = lowest_Hz; 2 * edge <= top; edge *= Math.SQRT2) bands.push([edge, 2 * edge]);
  bands.push([lowest_Hz, top]);
  return bands;
}

/**
 * In noise the median over the stretches scatters by about 1 / √frames of a stretch; the highest of a hundred bins lies
 * three and a half times as high.
 */
const IMPULSIVE_OVER_ERROR = 4.5;

/**
 * The band around the highest spectral kurtosis, down to half of it on either side: where knocks stand out most.
 * @param leastWidth_Hz the band is at least so wide
 * @param fastest_Hz frames are shorter than the time between knocks at this rate
 * @returns null when no frequency is more impulsive than noise, or the record is too short to tell
 */
export function impulsiveBand(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  leastWidth_Hz: number,
  fastest_Hz: number,
): Band | null {
  const size = Math.max(16, nextPowerOfTwo(sampleRate_Hz / fastest_Hz) / 2);
  const frames = Math.floor((samples.length / STRETCHES - size) / (size / 2)) + 1;
  if (frames < 16) return null;
  const { value, step_Hz } = spectralKurtosis(samples, sampleRate_Hz, size);
  const top = Math.floor((HIGHEST_SHARE * sampleRate_Hz) / step_Hz);
  const bottom = Math.ceil(LOWEST_EDGE_HZ / step_Hz);
  let best = bottom;
  for (let k = bottom; k <= top; k++) if (value[k]! > value[best]!) best = k;
  if (!(value[best]! > IMPULSIVE_OVER_ERROR / Math.sqrt(frames))) return null;
  let from = best;
  let to = best;
  while (from > bottom && value[from - 1]! > value[best]! / 2) from--;
  while (to < top && value[to + 1]! > value[best]! / 2) to++;
  const widen = Math.max(0, (leastWidth_Hz - (to - from + 1) * step_Hz) / 2);
  const low = Math.max(LOWEST_EDGE_HZ, (from - 0.5) * step_Hz - widen);
  return [
    low,
    Math.min(HIGHEST_SHARE * sampleRate_Hz, Math.max((to + 0.5) * step_Hz + widen, low + leastWidth_Hz)),
  ];
}
