import { basename } from 'node:path';
import type { Garage } from '../../db/open.ts';
import { UNNAMED_SPEC } from '../../shared/visit-work/unnamed.ts';
import type { NewRecording, RunStart } from '../live/live-session.ts';
import type { OpenedSource } from '../live/opened-source.ts';
import type { StartedRun } from '../recording/recording-in-progress.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/** A recording is called by the moment at which it starts. */
export function newRecording(recordings: RecordingsFolder): NewRecording {
  const startedAt = new Date().toISOString();
  return { startedAt, path: recordings.file(`${startedAt.replaceAll(/[:.]/g, '-')}.wav`) };
}

/**
 * Makes the rows of a new run, and those of its visit and vehicle where the technician has skipped them.
 * @param onFinished told when the run is complete
 */
export function startRun(garage: Garage, start: RunStart, onFinished: (runId: number) => void): StartedRun {
  const { startedAt } = start;
  return garage.transaction(() => {
    const visitId = start.visitId ?? startVisit(garage, start.source, startedAt);
    const run = garage.runs.start({
      visitId,
      startedAt,
      file: basename(start.path),
      sampleRate_Hz: start.source.source.format.sampleRate_Hz,
      channels: [...start.channels],
      orderLines: [...start.orderLines],
    });
    return {
      runId: run.id,
      visitId,
      vehicleLabel: garage.vehicles.get(garage.visits.get(visitId).vehicleId).spec.label,
      startedAt,
      log: {
        addSecond: (second) => garage.runs.appendSeconds(run.id, [second]),
        addMark: (mark) => garage.runs.addMark(run.id, mark),
        addGap: (gap) => garage.runs.addGap(run.id, gap),
        addSpeed: (readings) => garage.runs.addSpeed(run.id, readings),
        addSegment: (segment) => garage.runs.addSegment(run.id, segment),
        finish: (frames) => {
          garage.runs.finish(run.id, frames);
          onFinished(run.id);
        },
        breakOff: (frames) => {
          garage.runs.markRepaired(run.id, frames);
          if (frames > 0) onFinished(run.id);
        },
      },
    };
  });
}

function startVisit(garage: Garage, source: OpenedSource, startedAt: string): number {
  const spec = source.vehicle ?? UNNAMED_SPEC;
  const ownerNote = source.kind === 'demo' ? 'Recorded from the built-in demo drive.' : '';
  const vehicle = garage.vehicles.add({ plate: '', vin: null, ownerNote, spec });
  const visit = garage.visits.start({
    vehicleId: vehicle.id,
    startedAt,
    odometer_km: spec.odometer_km ?? null,
    complaint: '',
  });
  // What was skipped before the drive comes back as a reminder.
  garage.visitWork.change(visit.id, { step: 'drive' });
  return visit.id;
}
