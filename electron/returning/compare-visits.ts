import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import type { Run } from '../../shared/contract/garage.ts';
import type { OverlaidSpectrum, VisitComparison } from '../../shared/contract/returning-car.ts';
import { compareVisits, type Placement, type VisitToCompare } from '../../shared/diagnosis/compare.ts';
import type { DrivingState } from '../../shared/driveline/words.ts';
import { message } from '../../shared/messages/message.ts';
import { speedOf } from '../bundles/recorded-speed.ts';
import { LiveError } from '../live/live-session.ts';
import type { RecordedStretch } from '../live/open-pair.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

interface OfRun {
  readonly runId: number;
  readonly channel: number;
}

/** What is driven at: a state and a speed band. */
export interface Ground {
  readonly state: DrivingState;
  readonly speedBand: { readonly low_km_h: number; readonly high_km_h: number };
}

export function compareGarageVisits(
  garage: Garage,
  earlierVisitId: number,
  laterVisitId: number,
): VisitComparison {
  const [earlier, later] = [earlierVisitId, laterVisitId].map((id) => toCompare(garage, id));
  const { summary, differences, refused, ground } = compareVisits(earlier!, later!);
  return {
    earlierVisitId,
    laterVisitId,
    summary,
    differences: [...differences],
    refused: refused.map((r) => ({ ...r, positions: [...r.positions] })),
    ground: [...ground],
  };
}

function toCompare(garage: Garage, visitId: number): VisitToCompare {
  const { startedAt, runs } = garage.visits.get(visitId);
  return {
    startedAt,
    placements: runs.flatMap((run) =>
      run.channels.flatMap((c): Placement[] =>
        c.role === 'vibration'
          ? [
              {
                runId: run.id,
                channel: c.channel,
                position: c.position,
                pickup: typeof c.pickup === 'string' ? c.pickup : null,
                fullScale_m_s2: c.fullScale_m_s2 ?? null,
              },
            ]
          : [],
      ),
    ),
    measures: garage.measures.ofVisit(visitId),
  };
}

/** The spectrum over orders that a run has left in a state and speed band, in m/s². */
export function spectrumAt(
  garage: Garage,
  { runId, channel }: OfRun,
  ground: Ground,
): OverlaidSpectrum | null {
  const kept = garage.orderSpectra.of(runId, { channel, ...ground });
  const pickup = garage.runs.get(runId).channels.find((c) => c.channel === channel);
  const fullScale = pickup?.role === 'vibration' ? pickup.fullScale_m_s2 : null;
  if (!kept || !fullScale) return null;
  return {
    shaft: 'wheel',
    first: 0,
    step: kept.step,
    rms_m_s2: Array.from(kept.rms, (rms) => rms * fullScale),
  };
}

/** Told speeds are late and a little off: a stretch counts when its reading lies within this of the band. */
const TOLERANCE_KM_H = 3;

/** The longest stretch of a run in a state and speed band, to be heard. */
export function stretchToHear(
  garage: Garage,
  recordings: RecordingsFolder,
  { runId, channel }: OfRun,
  ground: Ground,
): RecordedStretch & { readonly fullScale_m_s2: number | null; readonly position: string } {
  const run = garage.runs.get(runId);
  const pickup = run.channels.find((c) => c.channel === channel);
  if (pickup?.role !== 'vibration') throw new LiveError(message('error.channelNotPickup', { channel }));
  const path = recordings.file(run.file);
  if (!existsSync(path)) {
    throw new LiveError(message('error.recordingNotKept', { file: run.file }));
  }
  const stretch = longestStretch(run, speedOf(garage, runId), ground);
  if (!stretch) throw new LiveError(message('error.noSuchStretch'));
  return {
    path,
    channelIndex: channel - 1,
    ...stretch,
    fullScale_m_s2: pickup.fullScale_m_s2 ?? null,
    position: pickup.position,
  };
}

function longestStretch(
  { segments }: Run,
  speed: { readonly t_s: readonly number[]; readonly v_km_h: readonly number[] } | null,
  { state, speedBand }: Ground,
): { from_s: number; to_s: number } | null {
  const low = speedBand.low_km_h - TOLERANCE_KM_H;
  const high = speedBand.high_km_h + TOLERANCE_KM_H;
  const stretches = segments
    .filter((segment) => segment.state === state)
    .flatMap(({ from_s, to_s }) => {
      const inside: { from_s: number; to_s: number }[] = [];
      let open: { from_s: number; to_s: number } | null = null;
      for (const [i, t] of (speed?.t_s ?? []).entries()) {
        if (t < from_s || t > to_s) continue;
        const fits = speed!.v_km_h[i]! >= low && speed!.v_km_h[i]! <= high;
        if (!fits) open = null;
        else if (open) open.to_s = t;
        else inside.push((open = { from_s: t, to_s: t }));
      }
      return inside;
    });
  return stretches.reduce<{ from_s: number; to_s: number } | null>(
    (best, s) => (s.to_s > s.from_s && (!best || s.to_s - s.from_s > best.to_s - best.from_s) ? s : best),
    null,
  );
}
