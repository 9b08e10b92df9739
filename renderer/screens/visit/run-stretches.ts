import type { Segment } from '../../../shared/bundle/visit.ts';
import type { Run, RunHistory } from '../../../shared/contract/garage.ts';
import type { DrivingState } from '../../../shared/driveline/words.ts';
import type { LineLevels } from '../../levels/order-groups.ts';

/** A part of a run that is looked at: the whole of it, or a stretch of one driving state. */
export interface Stretch {
  from_s: number;
  to_s: number;
  state: DrivingState | null;
}

export const runSeconds = (run: Run): number => run.frames / run.sampleRate_Hz;

export function stretchesOf(run: Run): Stretch[] {
  return [
    { from_s: 0, to_s: runSeconds(run), state: null },
    ...run.segments.map(({ from_s, to_s, state }) => ({ from_s, to_s, state })),
  ];
}

/** The state at a moment; null between segments. */
export const stateAt = (segments: readonly Segment[], at_s: number): DrivingState | null =>
  segments.find((s) => at_s >= s.from_s && at_s < s.to_s)?.state ?? null;

/** Indices of the history's seconds whose middle lies in the stretch. */
export const secondsIn = (history: RunHistory, { from_s, to_s }: Stretch): number[] =>
  history.second.flatMap((second, i) => (second + 0.5 >= from_s && second + 0.5 < to_s ? [i] : []));

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/** Median RMS of each channel over some seconds, ratio of full scale. */
export const medianLevels = (history: RunHistory, seconds: readonly number[]): number[] =>
  history.rms.map((levels) => median(seconds.map((i) => levels[i]!)));

/** Median energy of each order line on each channel; null where it was never known. */
export function medianLines(history: RunHistory, seconds: readonly number[]): LineLevels[] {
  return history.run.orderLines.map((line, l) => ({
    part: line.part,
    label: line.label,
    rms: history.run.channels.map((_, c) => {
      const known = seconds.flatMap((i) => {
        const level = history.orders[l]?.[c]?.[i];
        return level != null && level > 0 ? [level] : [];
      });
      return known.length > 0 ? median(known) : null;
    }),
  }));
}
