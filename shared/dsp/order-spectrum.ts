import { type AngleSignal, USABLE_ORDERS } from './order-track.ts';
import { type Precision, realTransform } from './real-transform.ts';
import { assertPositive } from './validation.ts';
import { coherentGain, equivalentNoiseBandwidth_bins, hann } from './windows.ts';

/** Mean squares over order, block by block along a run. */
export type OrderFrames = {
  /** Order of bin k is k × step. */
  readonly step: number;
  /** One per block: mean square of a sine that lies on the bin, in the signal's unit squared. */
  readonly power: readonly Float64Array[];
  /** Power between two orders is the sum of its bins over this. */
  readonly noiseBandwidth_bins: number;
  /** Middle of each block in s, and the mean turning rate in it in Hz. */
  readonly t_s: Float64Array;
  readonly hz: Float64Array;
};

/**
 * Hann-windowed, half-overlapped blocks of equal angle, each with its order spectrum.
 * @param signal equal steps of a shaft's angle
 * @param turnsPerBlock block length, shortened to the signal; orders closer than about 2 / turnsPerBlock merge
 * @throws RangeError unless turnsPerBlock is above zero
 */
export function orderFrames(
  signal: AngleSignal,
  turnsPerBlock: number,
  precision: Precision = 'double',
): OrderFrames {
  assertPositive(turnsPerBlock, 'turnsPerBlock');
  const { samples, samplesPerTurn, t_s } = signal;
  const length = Math.min(samples.length, Math.max(4, Math.round(turnsPerBlock * samplesPerTurn)));
  const fft = realTransform(length, precision);
  const { size, input, spectrum } = fft;
  const window = hann(length);
  // Of both sides of the spectrum, freed of the window.
  const scale = 2 / (coherentGain(window) * length) ** 2;
  // The resampling filter's slope takes the highest orders: they are left out.
  const bins = Math.floor((USABLE_ORDERS * size) / 2) + 1;
  const hop = Math.max(1, Math.floor(length / 2));
  const count = Math.floor((samples.length - length) / hop) + 1;
  const power: Float64Array[] = [];
  const middle = new Float64Array(count);
  const hz = new Float64Array(count);
  for (let b = 0; b < count; b++) {
    const at = b * hop;
    for (let i = 0; i < length; i++) input[i] = samples[at + i]! * window[i]!;
    input.fill(0, length);
    fft.transform();
    const frame = new Float64Array(bins);
    for (let k = 0; k < bins; k++) {
      const re = spectrum[2 * k]!;
      const im = spectrum[2 * k + 1]!;
      frame[k] = scale * (re * re + im * im);
    }
    frame[0]! /= 2;
    power.push(frame);
    middle[b] = 0.5 * (t_s[at]! + t_s[at + length - 1]!);
    hz[b] = (length - 1) / samplesPerTurn / (t_s[at + length - 1]! - t_s[at]!);
  }
  const noiseBandwidth_bins = equivalentNoiseBandwidth_bins(window) * (size / length);
  return { step: samplesPerTurn / size, power, noiseBandwidth_bins, t_s: middle, hz };
}

/** RMS over order. */
export type OrderSpectrum = {
  /** Order of bin k is k × step. */
  readonly step: number;
  /** RMS of a sine that lies on the bin, in the signal's unit. */
  readonly rms: Float64Array;
  /** Power between two orders is Σ rms² over this. */
  readonly noiseBandwidth_bins: number;
  /** Number of blocks averaged. */
  readonly blocks: number;
};

/** Order spectrum: the blocks' powers averaged; see `orderFrames` for the parameters. */
export function orderSpectrum(signal: AngleSignal, turnsPerBlock: number): OrderSpectrum {
  return meanSpectrum(orderFrames(signal, turnsPerBlock));
}

/** The mean of blocks already transformed. */
export function meanSpectrum(frames: OrderFrames): OrderSpectrum {
  const { step, power, noiseBandwidth_bins } = frames;
  const rms = new Float64Array(power[0]?.length ?? 0);
  for (const frame of power) for (let k = 0; k < rms.length; k++) rms[k] = rms[k]! + frame[k]!;
  for (let k = 0; k < rms.length; k++) rms[k] = Math.sqrt(rms[k]! / power.length);
  return { step, rms, noiseBandwidth_bins, blocks: power.length };
}

/** A line of an order spectrum. */
export type OrderPeak = { readonly order: number; readonly rms: number };

/** Half width of the Hann window's main lobe in bins of an unpadded block. */
const LOBE_HALF_WIDTH = 2;

/**
 * The strongest line within `tolerance` of an order: its place by a parabola through the logarithms of the three
 * highest bins, its level from the power of the whole main lobe, so that it depends neither on where it falls
 * between the bins nor on a little smear.
 * @param tolerance half width of the search, in orders
 * @returns null when the range holds no bin of the spectrum
 * @throws RangeError unless order and tolerance are above zero
 */
export function orderPeak(spectrum: OrderSpectrum, order: number, tolerance: number): OrderPeak | null {
  assertPositive(order, 'order');
  assertPositive(tolerance, 'tolerance');
  const { rms, step } = spectrum;
  const from = Math.max(1, Math.ceil((order - tolerance) / step));
  const to = Math.min(rms.length - 2, Math.floor((order + tolerance) / step));
  if (to < from) return null;
  let best = from;
  for (let k = from; k <= to; k++) if (rms[k]! > rms[best]!) best = k;
  const below = Math.log(rms[best - 1]! + Number.MIN_VALUE);
  const top = Math.log(rms[best]! + Number.MIN_VALUE);
  const above = Math.log(rms[best + 1]! + Number.MIN_VALUE);
  const curvature = below - 2 * top + above;
  const offset = curvature < 0 ? (0.5 * (below - above)) / curvature : 0;
  return {
    order: (best + Math.max(-0.5, Math.min(0.5, offset))) * step,
    rms: orderRms(spectrum, best * step),
  };
}

/**
 * RMS of the line at an order: the power of the main lobe around it. In broadband noise this is the noise within
 * the lobe.
 * @param halfWidth orders on either side that belong to the line; by default the main lobe
 */
export function orderRms(spectrum: OrderSpectrum, order: number, halfWidth = 0): number {
  const { rms, step, noiseBandwidth_bins } = spectrum;
  const lobe = (LOBE_HALF_WIDTH * noiseBandwidth_bins) / 1.5;
  const reach = Math.max(lobe, halfWidth / step);
  const centre = order / step;
  let sum = 0;
  const from = Math.max(0, Math.round(centre - reach));
  const to = Math.min(rms.length - 1, Math.round(centre + reach));
  for (let k = from; k <= to; k++) sum += rms[k]! ** 2;
  return Math.sqrt(sum / noiseBandwidth_bins);
}
