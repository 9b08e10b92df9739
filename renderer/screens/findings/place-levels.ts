import type { Findings } from '../../../shared/diagnosis/findings.ts';
import { REFERENCE_m_s2 } from '../../levels/scale.ts';

export type MapShows = 'evidence' | 'overall';

/** A place's level as the map shows it. */
export interface PlaceLevel {
  position: string;
  run: number;
  channel: number;
  /** Null for a channel that was left out. */
  level_db: number | null;
  heard: boolean;
  /** Size of its disc, 0 to 1 over the levels shown. */
  size: number;
}

/** Levels closer together than this are drawn nearly alike: a placement alone makes 3 dB. */
const LEAST_SPAN_db = 12;

/** The levels of one run: of what convinced, or of everything that was heard. */
export function placeLevels(findings: Findings, shows: MapShows, run: number): PlaceLevel[] {
  const { convincing, channels } = findings;
  const bad = channels.filter((c) => c.run === run && c.faults.some((fault) => fault !== 'offset'));
  const levels =
    shows === 'evidence'
      ? (convincing?.levels ?? []).filter((l) => l.run === run)
      : channels
          .filter((c) => c.run === run && !bad.includes(c))
          .flatMap((c) =>
            c.rms_m_s2 === null || c.rms_m_s2 <= 0
              ? []
              : [{ ...c, level_db: 20 * Math.log10(c.rms_m_s2 / REFERENCE_m_s2), heard: true }],
          );
  const all = levels.map((l) => l.level_db);
  const top = Math.max(...all);
  const span = Math.max(LEAST_SPAN_db, top - Math.min(...all));
  const measured = levels.map(({ position, channel, level_db, heard }) => ({
    position,
    run,
    channel,
    level_db,
    heard,
    size: 1 - (top - level_db) / span,
  }));
  const leftOut = bad
    .filter((c) => !measured.some((m) => m.channel === c.channel))
    .map(({ position, channel }) => ({ position, run, channel, level_db: null, heard: false, size: 0 }));
  return [...measured, ...leftOut];
}

/** Runs that the findings know anything of, by number. */
export const runsOf = (findings: Findings): number[] =>
  [...new Set(findings.channels.map((c) => c.run))].sort((a, b) => a - b);
