import { existsSync, mkdirSync, renameSync, rmdirSync } from 'node:fs';
import { mkdir, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { faultsOf } from '../../db/backup.ts';
import { GarageError } from '../../db/error.ts';
import { openGarage } from '../../db/open.ts';
import { message } from '../../shared/messages/message.ts';
import { leftoverName } from '../recording/leftovers.ts';
import { copyHashed, FOLDERS, readManifest } from './manifest.ts';

const GARAGE = 'garage.db';
/** A restored garage that has been checked and waits to take its place. */
const RESTORED = 'restored';

/**
 * Copies a backup beside the garage and checks all of it: every checksum, and the database by opening it. Only what
 * is sound waits to take the garage's place, which `takeRestored` gives it.
 * @param dataFolder made if it is not there, as on a new computer
 * @throws {GarageError} naming what is wrong; the garage is as it was
 */
export async function stageRestore(from: string, dataFolder: string): Promise<{ files: number }> {
  const manifest = await readManifest(from);
  const staging = join(dataFolder, leftoverName('restore', 'unfinished'));
  try {
    await rm(staging, { recursive: true, force: true });
    for (const folder of FOLDERS) await mkdir(join(staging, folder), { recursive: true });
    await copyChecked(join(from, manifest.garage.file), join(staging, GARAGE), manifest.garage);
    checkGarage(join(staging, GARAGE));
    for (const file of manifest.files) {
      await copyChecked(join(from, file.folder, file.file), join(staging, file.folder, file.file), file);
    }
    await rm(join(dataFolder, RESTORED), { recursive: true, force: true });
    await rename(staging, join(dataFolder, RESTORED));
    return { files: manifest.files.length };
  } catch (cause) {
    await rm(staging, { recursive: true, force: true }).catch(() => {});
    if (cause instanceof GarageError) throw cause;
    throw new GarageError(message('error.restoreNotCopied', { folder: from }), { cause });
  }
}

async function copyChecked(
  from: string,
  to: string,
  wanted: { file: string; bytes: number; sha256: string },
): Promise<void> {
  if (!existsSync(from)) throw new GarageError(message('error.restoreMissing', { file: wanted.file }));
  const { bytes, sha256 } = await copyHashed(from, to);
  if (bytes !== wanted.bytes || sha256 !== wanted.sha256)
    throw new GarageError(message('error.restoreChanged', { file: wanted.file }));
}

/** Opens it as a garage, which also brings an older one to the newest schema. */
function checkGarage(path: string): void {
  const garage = openGarage(path);
  try {
    const faults = faultsOf(garage.db);
    if (faults.length > 0)
      throw new GarageError(message('error.restoreDamaged', { file: GARAGE, why: faults[0]! }));
  } finally {
    garage.close();
  }
}

/**
 * Gives a restored garage that waits its place, before the garage is opened. What was there before is kept in a
 * folder of its own. Interrupted, it goes on at the next start: the database is moved last.
 * @returns the folder that holds what was there before, null when there was nothing, or nothing waited
 */
export function takeRestored(dataFolder: string): { before: string | null } | null {
  const restored = join(dataFolder, RESTORED);
  if (!existsSync(join(restored, GARAGE))) return null;
  let before: string | null = null;
  if (existsSync(join(dataFolder, GARAGE))) {
    before = join(dataFolder, `before-restore-${new Date().toISOString().replaceAll(/[:.]/g, '-')}`);
    mkdirSync(before);
    // The log belongs to its database; the database itself goes last, as the sign that this was done.
    for (const name of [...FOLDERS, `${GARAGE}-wal`, `${GARAGE}-shm`, GARAGE]) {
      if (existsSync(join(dataFolder, name))) renameSync(join(dataFolder, name), join(before, name));
    }
  }
  for (const folder of FOLDERS) {
    if (!existsSync(join(restored, folder))) continue;
    // An empty folder that was made for a garage which is not there.
    if (existsSync(join(dataFolder, folder))) rmdirSync(join(dataFolder, folder));
    renameSync(join(restored, folder), join(dataFolder, folder));
  }
  renameSync(join(restored, GARAGE), join(dataFolder, GARAGE));
  rmdirSync(restored);
  return { before };
}
