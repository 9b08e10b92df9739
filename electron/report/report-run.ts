import type { BundleRun, SpeedReadings } from '../../shared/bundle/visit.ts';
import { DRIVING_STATES } from '../../shared/driveline/words.ts';
import type { ReportRun } from '../../shared/report/report-data.ts';

/** A recorded drive as the report tells it: the speeds are those of the stretches that were measured. */
export function reportRun(
  { startedAt, channels, segments }: Pick<BundleRun, 'startedAt' | 'channels' | 'segments'>,
  duration_s: number | null,
  speed: SpeedReadings | null,
): ReportRun {
  const speeds = (speed?.t_s ?? []).flatMap((t, i) =>
    segments.some((s) => t >= s.from_s && t <= s.to_s) ? [speed!.v_km_h[i]!] : [],
  );
  const driven = new Set(segments.map((s) => s.state));
  return {
    startedAt,
    duration_s,
    channels: channels.flatMap((c) =>
      c.role === 'vibration'
        ? [{ channel: c.channel, position: c.position, calibrated: (c.fullScale_m_s2 ?? null) !== null }]
        : [],
    ),
    states: DRIVING_STATES.filter((s) => driven.has(s)),
    speed_km_h:
      speeds.length > 0
        ? { low: speeds.reduce((a, b) => Math.min(a, b)), high: speeds.reduce((a, b) => Math.max(a, b)) }
        : null,
  };
}
