import { median } from '../dsp/levels.ts';
import type { OrderFrames } from '../dsp/order-spectrum.ts';
import type { Stretch } from './stretches.ts';

/** An averaged power spectrum over order, in mean square of a sine on the bin. */
export type PowerOverOrder = {
  readonly step: number;
  readonly power: Float64Array;
  readonly noiseBandwidth_bins: number;
  readonly blocks: number;
};

/** Blocks whose power is this many times the middle one's hold a bump or a stone, not the car's own noise. */
const BUMP = 6;

/** Mean over the blocks that lie in a stretch, bumps left out; null when there are none. */
export function stretchSpectrum(frames: OrderFrames, stretch: Stretch): PowerOverOrder | null {
  const inside: number[] = [];
  for (let b = 0; b < frames.power.length; b++) {
    const t = frames.t_s[b]!;
    if (t >= stretch.from_s && t <= stretch.to_s) inside.push(b);
  }
  if (inside.length === 0) return null;
  const total = inside.map((b) => frames.power[b]!.reduce((sum, p, k) => (k < 2 ? sum : sum + p), 0));
  const limit = BUMP * median(total);
  const kept = inside.filter((_, i) => total[i]! <= limit);
  const power = new Float64Array(frames.power[0]!.length);
  for (const b of kept) {
    const block = frames.power[b]!;
    for (let k = 0; k < power.length; k++) power[k] = power[k]! + block[k]!;
  }
  for (let k = 0; k < power.length; k++) power[k] = power[k]! / kept.length;
  return { step: frames.step, power, noiseBandwidth_bins: frames.noiseBandwidth_bins, blocks: kept.length };
}

/** The mean of several spectra of one channel, longer ones counting for more; null when there are none. */
export function pooled(spectra: readonly PowerOverOrder[]): PowerOverOrder | null {
  const first = spectra[0];
  if (!first) return null;
  const blocks = spectra.reduce((sum, s) => sum + s.blocks, 0);
  const power = new Float64Array(first.power.length);
  for (const s of spectra) {
    for (let k = 0; k < power.length; k++) power[k] = power[k]! + (s.power[k]! * s.blocks) / blocks;
  }
  return { ...first, power, blocks };
}

/**
 * Power over the mean noise within a line's width from which a line counts as seen. The noise of a line's five bins
 * over half-overlapped blocks scatters by about √(0.5 / blocks) of itself; five times that by chance is rare.
 */
export function seenRatio(blocks: number): number {
  return 1 + 5 * Math.sqrt(0.5 / Math.max(1, blocks));
}

/** One line at one pickup in one stretch. Powers are mean squares. */
export type LinePower = {
  /** Line with the noise under it taken away; may be 0. */
  readonly line: number;
  /** Noise within the line's own width. */
  readonly noiseInLine: number;
  /** Noise in the third octave around the line. */
  readonly noiseInThird: number;
  readonly order: number;
};

/** Relative width of a third octave, 2^(1/6) - 2^(-1/6). */
const THIRD = 2 ** (1 / 6) - 2 ** (-1 / 6);
/** The Hann window's main lobe reaches two bins to either side. */
const LOBE_BINS = 2;

/** Expected mean over median of a power bin averaged over `blocks` half-overlapped blocks. */
function meanOverMedian(blocks: number): number {
  // For χ² with ν degrees of freedom the median is about ν (1 - 2/(9ν))³ (Wilson & Hilferty 1931).
  const nu = Math.max(2, 1.4 * blocks);
  return 1 / (1 - 2 / (9 * nu)) ** 3;
}

/**
 * Power of the line nearest to `order` and of the noise around it.
 * @param tolerance half width of the search in orders, beyond one bin
 * @returns null when the order lies outside the spectrum
 */
export function linePower(spectrum: PowerOverOrder, order: number, tolerance: number): LinePower | null {
  const { step, power, noiseBandwidth_bins, blocks } = spectrum;
  const lobe = Math.max(1, Math.round((LOBE_BINS * noiseBandwidth_bins) / 1.5));
  const centre = Math.round(order / step);
  const search = Math.max(1, Math.round(tolerance / step));
  const around = Math.max(6 * lobe, Math.round((0.5 * THIRD * order) / step));
  if (centre - lobe < 2 || centre + search + lobe >= power.length) return null;
  let best = centre;
  for (let k = centre - search; k <= centre + search; k++) if (power[k]! > power[best]!) best = k;
  const beside: number[] = [];
  for (let k = Math.max(1, best - around); k <= Math.min(power.length - 1, best + around); k++) {
    if (Math.abs(k - best) > 2 * lobe) beside.push(power[k]!);
  }
  if (beside.length < 4) return null;
  const density = median(beside) * meanOverMedian(blocks);
  let sum = 0;
  for (let k = best - lobe; k <= best + lobe; k++) sum += power[k]!;
  const total = sum / noiseBandwidth_bins;
  const noiseInLine = (density * (2 * lobe + 1)) / noiseBandwidth_bins;
  return {
    line: Math.max(0, total - noiseInLine),
    noiseInLine,
    noiseInThird: (density * THIRD * order) / step / noiseBandwidth_bins,
    order: best * step,
  };
}
