import type { Garage } from '../../db/open.ts';
import type { SpeedReadings } from '../../shared/bundle/visit.ts';

/** Readings that came with a run, or else the speed that was shown at the end of each of its seconds. */
export function speedOf(garage: Garage, runId: number): SpeedReadings | null {
  const readings = garage.runs.speed(runId);
  if (readings.t_s.length > 0) return readings;
  const { second, speed_km_h } = garage.runs.history(runId);
  const shown = second.flatMap((s, i) => {
    const v_km_h = speed_km_h[i];
    return v_km_h == null ? [] : [{ t_s: s + 1, v_km_h }];
  });
  return shown.length > 0 ? { t_s: shown.map((s) => s.t_s), v_km_h: shown.map((s) => s.v_km_h) } : null;
}
