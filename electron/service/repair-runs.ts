import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import { repairWav } from '../../native/wav/wav-repair.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/**
 * Completes the runs that were being recorded when the program ended.
 * @returns a sentence for each, fit for the technician
 */
export async function repairRuns(garage: Garage, recordings: RecordingsFolder): Promise<string[]> {
  const told: string[] = [];
  for (const run of garage.runs.unfinished()) {
    const path = recordings.file(run.file);
    const frames = existsSync(path) ? await framesOf(path) : 0;
    garage.runs.markRepaired(run.id, frames);
    const seconds = (frames / run.sampleRate_Hz).toFixed(1);
    told.push(
      frames > 0
        ? `The recording ${run.file} was interrupted; its ${seconds} s have been kept.`
        : `The recording ${run.file} was interrupted before any sound was saved.`,
    );
  }
  return told;
}

async function framesOf(path: string): Promise<number> {
  try {
    return (await repairWav(path)).frames;
  } catch {
    // Killed between making the file and writing its header: there is no sound in it.
    return 0;
  }
}
