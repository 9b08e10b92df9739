import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import { MEASURES_METHOD } from '../../shared/diagnosis/comparable-measures.ts';
import { runInWorker, type WorkerOptions } from '../analysis/run-in-worker.ts';
import { speedOf } from '../bundles/recorded-speed.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/**
 * Measures the recording of a run in a worker and keeps what it found in the place of what was found before. When the
 * run's stretches were cut anew meanwhile, it is measured once more.
 * @returns false when the recording is not there (any more): earlier measures stay
 */
export async function measureRunOf(
  garage: Garage,
  recordings: RecordingsFolder,
  runId: number,
  options: WorkerOptions = {},
): Promise<boolean> {
  for (;;) {
    const run = garage.runs.get(runId);
    const path = recordings.file(run.file);
    if (!existsSync(path)) return false;
    const { channels, segments } = run;
    const { spec } = garage.vehicles.get(garage.visits.get(run.visitId).vehicleId);
    const speed = speedOf(garage, runId);
    const { measures, spectra } = await runInWorker(
      'measureRecording',
      { path, run: { file: run.file, channels, segments, speed }, vehicle: spec },
      options,
    );
    if (JSON.stringify(garage.runs.get(runId).segments) !== JSON.stringify(segments)) continue;
    garage.transaction(() => {
      garage.measures.replaceOfRun(runId, measures);
      garage.orderSpectra.replaceOfRun(runId, spectra);
      garage.measures.markMeasured(runId, MEASURES_METHOD);
    });
    return true;
  }
}
