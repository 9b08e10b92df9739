import { coherence, crossSpectra, delay } from '../dsp/coherence.ts';
import { isLeftOut } from './channel-faults.ts';
import type { RunDigest } from './run-digest.ts';
import type { Stretch } from './stretches.ts';

/** Octaves, Hz, in which it is asked how much two pickups hear of the same noise. */
export const TOGETHER_BANDS_HZ = [
  [100, 200],
  [200, 400],
  [400, 800],
  [800, 1600],
  [1600, 3200],
] as const;

/** What two pickups of one run hear of the same noise, and which of them hears it first. */
export type HeardTogether = {
  readonly run: number;
  readonly a: number;
  readonly b: number;
  /** Mean coherence in each of `TOGETHER_BANDS_HZ` beyond what chance makes, 0 to 1; NaN above the signal's rate. */
  readonly coherence: readonly number[];
  /** Positive when `b` follows `a`; null when they hear nothing in common. */
  readonly delay_s: number | null;
};

const SEGMENT = 1024;
/** Share of the rate up to which the signal is whole. */
const HIGHEST = 0.45;
/** The noise that reaches other parts of the running gear is sought here, Hz: below, the road shakes all at once. */
const DELAY_BAND_HZ = [150, 2500] as const;
/** No way over the running gear takes longer. */
const LONGEST_S = 0.006;

/**
 * Coherence and delay between every two sound pickups of a run. A noise that is made at one place and heard at the
 * other is the same noise at both, later at the second; two parts that merely hum alike are not coherent.
 */
export function heardTogether(
  run: number,
  digest: RunDigest,
  stretches: readonly Stretch[],
): HeardTogether[] {
  const channels = digest.channels.filter((c) => !isLeftOut(c.faults));
  if (channels.length < 2 || stretches.length === 0) return [];
  const { orderRate_Hz } = channels[0]!.digest.plan;
  const from = Math.floor(Math.min(...stretches.map((s) => s.from_s)) * orderRate_Hz);
  const to = Math.floor(Math.max(...stretches.map((s) => s.to_s)) * orderRate_Hz);
  const matrix = crossSpectra(
    channels.map((c) => c.digest.low.subarray(from, to)),
    orderRate_Hz,
    { segmentLength: SEGMENT, precision: 'single' },
  );
  const highest_Hz = HIGHEST * orderRate_Hz;
  const chance = 1 / matrix.equivalentAverages;
  return channels.flatMap((a, i) =>
    channels.slice(i + 1).map((b, n): HeardTogether => {
      const j = i + 1 + n;
      const squared = coherence(matrix, i, j);
      const byBand = TOGETHER_BANDS_HZ.map(([low, high]) => {
        const first = Math.ceil(low / matrix.step_Hz);
        const last = Math.floor(Math.min(high, highest_Hz) / matrix.step_Hz);
        if (last - first < 3) return Number.NaN;
        const mean = squared.subarray(first, last + 1).reduce((x, y) => x + y, 0) / (last - first + 1);
        return Math.max(0, mean - chance);
      });
      const [low, high] = DELAY_BAND_HZ;
      const late = delay(matrix, i, j, [low, Math.min(high, highest_Hz)], LONGEST_S);
      return { run, a: a.channel, b: b.channel, coherence: byBand, delay_s: late?.delay_s ?? null };
    }),
  );
}
