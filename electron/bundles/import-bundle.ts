import { randomUUID } from 'node:crypto';
import { constants, renameSync } from 'node:fs';
import { copyFile, rm } from 'node:fs/promises';
import type { Garage } from '../../db/open.ts';
import { WavError } from '../../native/wav/wav-header.ts';
import type { BundleRun } from '../../shared/bundle/visit.ts';
import { message } from '../../shared/messages/message.ts';
import { runInWorker, type WorkerOptions } from '../analysis/run-in-worker.ts';
import { IMPORTED, leftoverName } from '../recording/leftovers.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { type BundleOnDisk, readBundle } from './read-bundle.ts';
import type { RunSummary } from './summarise-run.ts';
import { unknownKeysOfRun, unknownKeysOfVisit } from './unknown-keys.ts';

/**
 * Takes a bundle into the garage as a new visit, of a vehicle that is there or of a new one. Recordings are copied
 * under a passing name first; only when all are there and have been measured do the rows appear, all at once.
 * @throws {BundleError} or {WavError}; nothing is left of what was half done
 */
export async function importBundle(
  garage: Garage,
  recordings: RecordingsFolder,
  folder: string,
  vehicleId: number | null,
  options: WorkerOptions = {},
): Promise<{ vehicleId: number; visitId: number }> {
  const bundle = await readBundle(folder);
  const copies: { passing: string; name: string }[] = [];
  try {
    const summaries: RunSummary[] = [];
    for (const [i, run] of bundle.visit.runs.entries()) {
      const name = `${IMPORTED}${randomUUID()}.wav`;
      const passing = leftoverName(name, 'importing');
      copies.push({ passing, name });
      await copyRecording(bundle.files[i]!.path, recordings.file(passing));
      summaries.push(
        await runInWorker(
          'summariseRun',
          { path: recordings.file(passing), run, vehicle: bundle.visit.vehicle },
          options,
        ),
      );
    }
    return garage.transaction(() => {
      const names = copies.map(({ name }) => name);
      const made = writeRows(garage, bundle, summaries, names, vehicleId);
      // Under the same lock as the rows: whoever finds a copy without its row knows that nobody is about to write it.
      for (const { passing, name } of copies) renameSync(recordings.file(passing), recordings.file(name));
      return made;
    });
  } catch (error) {
    for (const { passing, name } of copies) {
      await rm(recordings.file(passing), { force: true });
      await rm(recordings.file(name), { force: true });
    }
    throw error;
  }
}

async function copyRecording(from: string, to: string): Promise<void> {
  try {
    await copyFile(from, to, constants.COPYFILE_EXCL);
  } catch (cause) {
    throw new WavError(message('error.importNotCopied', { file: from }), { cause });
  }
}

function writeRows(
  garage: Garage,
  { visit, files }: BundleOnDisk,
  summaries: readonly RunSummary[],
  names: readonly string[],
  vehicleId: number | null,
): { vehicleId: number; visitId: number } {
  const owner =
    vehicleId ?? garage.vehicles.add({ plate: '', vin: null, ownerNote: '', spec: visit.vehicle }).id;
  const { id: visitId } = garage.visits.start({
    vehicleId: owner,
    startedAt: visit.runs[0]?.startedAt ?? new Date().toISOString(),
    odometer_km: visit.vehicle.odometer_km ?? null,
    complaint: '',
  });
  garage.bundleKeys.keep(visitId, null, unknownKeysOfVisit(visit));
  for (const [i, run] of visit.runs.entries()) {
    const { sampleRate_Hz, frames } = files[i]!;
    writeRun(garage, visitId, run, { file: names[i]!, sampleRate_Hz, frames }, summaries[i]!);
  }
  return { vehicleId: owner, visitId };
}

function writeRun(
  garage: Garage,
  visitId: number,
  run: BundleRun,
  file: { file: string; sampleRate_Hz: number; frames: number },
  summary: RunSummary,
): void {
  const { id } = garage.runs.start({
    visitId,
    startedAt: run.startedAt,
    file: file.file,
    sampleRate_Hz: file.sampleRate_Hz,
    channels: run.channels,
    orderLines: [...summary.orderLines],
  });
  garage.bundleKeys.keep(visitId, id, unknownKeysOfRun(run));
  if (run.speed) garage.runs.addSpeed(id, run.speed);
  for (const segment of run.segments) garage.runs.addSegment(id, segment);
  for (const mark of run.marks ?? []) garage.runs.addMark(id, mark);
  for (const gap of run.gaps ?? []) garage.runs.addGap(id, gap);
  garage.runs.appendSeconds(id, summary.seconds);
  garage.runs.finish(id, file.frames);
}
