import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import { MEASURES_METHOD } from '../../shared/diagnosis/comparable-measures.ts';
import { runInWorker, type WorkerOptions } from '../analysis/run-in-worker.ts';
import { speedOf } from '../bundles/recorded-speed.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/**
 * Measures the recording of a run in a worker and keeps what it found in the place of what was found before.
 * @returns false when the recording is not there (any more): earlier measures stay
 */
export async function measureRunOf(
  garage: Garage,
  recordings: RecordingsFolder,
  runId: number,
  options: WorkerOptions = {},
): Promise<boolean> {
  const run = garage.runs.get(runId);
  const path = recordings.file(run.file);
  if (!existsSync(path)) return false;
  const { spec } = garage.vehicles.get(garage.visits.get(run.visitId).vehicleId);
  const { measures, spectra } = await runInWorker(
    'measureRecording',
    {
      path,
      run: { file: run.file, channels: run.channels, segments: run.segments, speed: speedOf(garage, runId) },
      vehicle: spec,
    },
    options,
  );
  garage.transaction(() => {
    garage.measures.replaceOfRun(runId, measures);
    garage.orderSpectra.replaceOfRun(runId, spectra);
    garage.measures.markMeasured(runId, MEASURES_METHOD);
  });
  return true;
}
