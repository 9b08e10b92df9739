import { constants } from 'node:fs';
import { copyFile, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { Garage } from '../../db/open.ts';
import { WavError } from '../../native/wav/wav-header.ts';
import type { BundleRun, VisitBundle } from '../../shared/bundle/visit.ts';
import type { Run, Visit } from '../../shared/contract/garage.ts';
import { message } from '../../shared/messages/message.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { makeFolder } from '../service/make-folder.ts';
import { speedOf } from './recorded-speed.ts';

/**
 * Writes a visit as a bundle folder. What tells who owns the vehicle (plate, VIN, the owner's words) stays in the
 * garage. The folder appears under its name only when it is complete; one that exists is never overwritten.
 */
export async function exportBundle(
  garage: Garage,
  recordings: RecordingsFolder,
  visitId: number,
  out: string,
): Promise<void> {
  const visit = garage.visits.get(visitId);
  const bundle = bundleOf(garage, visit);
  const unfinished = join(dirname(out), `.${basename(out)}.unfinished`);
  try {
    // What an interrupted attempt has left.
    await rm(unfinished, { recursive: true, force: true });
    await makeFolder(unfinished);
    for (const [i, run] of visit.runs.entries()) {
      await copyFile(
        recordings.file(run.file),
        join(unfinished, `run-${i + 1}.wav`),
        constants.COPYFILE_EXCL,
      );
    }
    await writeFile(join(unfinished, 'visit.json'), `${JSON.stringify(bundle, null, 2)}\n`, { flag: 'wx' });
    await rename(unfinished, out);
  } catch (cause) {
    // What cannot be removed here is what stood in the way.
    await rm(unfinished, { recursive: true, force: true }).catch(() => {});
    throw new WavError(message('error.notExported', { folder: out }), { cause });
  }
}

/** What `visit.json` says of a visit; its run k is written to `run-k.wav`. */
export function bundleOf(garage: Garage, visit: Visit): VisitBundle {
  const { spec } = garage.vehicles.get(visit.vehicleId);
  return {
    ...garage.bundleKeys.of(visit.id, null),
    formatVersion: 1,
    vehicle: { ...spec, odometer_km: visit.odometer_km ?? spec.odometer_km ?? null },
    runs: visit.runs.map((run, i) => bundleRun(garage, run, `run-${i + 1}.wav`)),
  };
}

function bundleRun(garage: Garage, run: Run, file: string): BundleRun {
  return {
    ...garage.bundleKeys.of(run.visitId, run.id),
    file,
    startedAt: run.startedAt,
    channels: run.channels,
    speed: run.channels.some((c) => c.role === 'tacho') ? null : speedOf(garage, run.id),
    segments: run.segments,
    ...(run.marks.length > 0 ? { marks: run.marks } : {}),
    ...(run.gaps.length > 0 ? { gaps: run.gaps } : {}),
  };
}
