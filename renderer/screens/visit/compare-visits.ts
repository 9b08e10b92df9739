import type { RunHistory } from '../../../shared/contract/garage.ts';
import type { DrivingState } from '../../../shared/driveline/words.ts';
import { median, stateAt } from './run-stretches.ts';

/** Fewer seconds than this in common are chance (common practice). */
const LEAST_SECONDS = 5;

export type NotComparable = 'place' | 'fullScale' | 'state' | 'speed';

export type Comparison =
  | { position: string; now_m_s2: number; then_m_s2: number; low_km_h: number; high_km_h: number }
  | { position: string; reason: NotComparable };

interface Second {
  index: number;
  speed_km_h: number;
}

function inState(history: RunHistory, state: DrivingState): Second[] | null {
  const seconds = history.second.flatMap((second, index) =>
    stateAt(history.run.segments, second + 0.5) === state
      ? [{ index, speed_km_h: history.speed_km_h[index] ?? Number.NaN }]
      : [],
  );
  return seconds.length > 0 ? seconds : null;
}

/**
 * Median RMS per position of two runs, like with like only: the same position, driving state and speed band, and a
 * known full scale on both sides. What cannot be compared is listed with the first reason.
 */
export function compareVisits(now: RunHistory, then: RunHistory, state: DrivingState): Comparison[] {
  const ours = inState(now, state) ?? [];
  const theirs = inState(then, state);
  const speeds = (seconds: readonly Second[]) =>
    seconds.map((s) => s.speed_km_h).filter((speed) => Number.isFinite(speed));
  const low = Math.max(Math.min(...speeds(ours)), Math.min(...speeds(theirs ?? [])));
  const high = Math.min(Math.max(...speeds(ours)), Math.max(...speeds(theirs ?? [])));
  const within = (seconds: readonly Second[]) =>
    seconds.filter((s) => s.speed_km_h >= low && s.speed_km_h <= high).map((s) => s.index);

  return now.run.channels.flatMap((channel, c): Comparison[] => {
    if (channel.role !== 'vibration') return [];
    const { position } = channel;
    const before = then.run.channels.findIndex((b) => b.role === 'vibration' && b.position === position);
    const other = then.run.channels[before];
    if (other?.role !== 'vibration' || position === 'unplaced') return [{ position, reason: 'place' }];
    if (channel.fullScale_m_s2 == null || other.fullScale_m_s2 == null)
      return [{ position, reason: 'fullScale' }];
    if (theirs === null) return [{ position, reason: 'state' }];
    const mine = within(ours);
    const past = within(theirs);
    if (mine.length < LEAST_SECONDS || past.length < LEAST_SECONDS) return [{ position, reason: 'speed' }];
    return [
      {
        position,
        now_m_s2: median(mine.map((i) => now.rms[c]![i]!)) * channel.fullScale_m_s2,
        then_m_s2: median(past.map((i) => then.rms[before]![i]!)) * other.fullScale_m_s2,
        low_km_h: low,
        high_km_h: high,
      },
    ];
  });
}
