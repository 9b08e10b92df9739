import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import { repairWav } from '../../native/wav/wav-repair.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/**
 * Completes the runs that were being recorded when the program ended.
 * @returns a sentence for each, fit for the technician
 */
export async function repairRuns(garage: Garage, recordings: RecordingsFolder): Promise<Message[]> {
  const told: Message[] = [];
  for (const run of garage.runs.unfinished()) {
    const path = recordings.file(run.file);
    const frames = existsSync(path) ? await framesOf(path) : 0;
    garage.runs.markRepaired(run.id, frames);
    const { file, sampleRate_Hz } = run;
    told.push(
      frames > 0
        ? message('notice.recordingKept', { file, kept_s: frames / sampleRate_Hz })
        : message('notice.recordingEmpty', { file }),
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
