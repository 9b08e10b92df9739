import { existsSync } from 'node:fs';
import { readdir, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { backupGarage } from '../../db/backup.ts';
import { GarageError } from '../../db/error.ts';
import type { Garage } from '../../db/open.ts';
import type { BackupMade } from '../../shared/contract/returning-car.ts';
import { message } from '../../shared/messages/message.ts';
import { makeFolder } from '../service/make-folder.ts';
import {
  copyHashed,
  FOLDERS,
  type Folder,
  hashOf,
  MANIFEST,
  type Manifest,
  readManifest,
} from './manifest.ts';

type FileCopy = Manifest['files'][number];
type NamedFile = { readonly folder: Folder; readonly file: string };

/**
 * Copies the whole garage into a folder while it is in use: the database by SQLite's online backup, then every
 * recording and picture that this copy names, each with its checksum. A folder that holds an earlier backup is brought
 * up to date; its files that have not changed are not copied again, and those that the garage has deleted since stay.
 * Until the last moment the earlier backup is complete.
 * @throws {GarageError} one sentence for the user, with the cause
 */
export async function makeBackup(garage: Garage, dataFolder: string, folder: string): Promise<BackupMade> {
  const madeAt = new Date().toISOString();
  const file = `garage-${madeAt.replaceAll(/[:.]/g, '-')}.db`;
  try {
    for (const name of FOLDERS) await makeFolder(join(folder, name));
    const earlier = existsSync(join(folder, MANIFEST)) ? await readManifest(folder) : null;
    const kept = new Map(earlier?.files.map((f) => [`${f.folder}/${f.file}`, f]));
    await backupGarage(garage, join(folder, file));
    const files: FileCopy[] = [];
    const missing: string[] = [];
    for (const named of filesNamedIn(join(folder, file))) {
      const copy = await copyFile(dataFolder, folder, named, kept.get(`${named.folder}/${named.file}`));
      if (copy) files.push(copy);
      else missing.push(named.file);
    }
    const manifest: Manifest = {
      formatVersion: 1,
      madeAt,
      garage: { file, ...(await hashOf(join(folder, file))) },
      files,
      missing,
    };
    await writeWhole(join(folder, MANIFEST), `${JSON.stringify(manifest, null, 2)}\n`);
    for (const name of await readdir(folder)) {
      if (/^garage-.*\.db(\.unfinished.*)?$/.test(name) && name !== file)
        await rm(join(folder, name), { force: true });
    }
    await removeUnfinished(folder);
    const bytes = files.reduce((sum, f) => sum + f.bytes, manifest.garage.bytes);
    return { folder, madeAt, files: files.length, bytes, missing };
  } catch (cause) {
    await rm(join(folder, file), { force: true }).catch(() => {});
    if (cause instanceof GarageError) throw cause;
    throw new GarageError(message('error.backupNotFinished', { folder }), { cause });
  }
}

function filesNamedIn(path: string): NamedFile[] {
  const db = new BetterSqlite3(path, { readonly: true });
  try {
    return db
      .prepare<[], NamedFile>(
        `SELECT 'recordings' AS folder, file FROM run
         UNION ALL SELECT 'attachments', file FROM attachment`,
      )
      .all();
  } finally {
    db.close();
  }
}

async function copyFile(
  dataFolder: string,
  backup: string,
  { folder, file }: NamedFile,
  kept: FileCopy | undefined,
): Promise<FileCopy | null> {
  const from = join(dataFolder, folder, file);
  const to = join(backup, folder, file);
  const there = kept !== undefined && existsSync(to);
  const info = await stat(from).catch(() => null);
  // Deleted from the garage since: the backup is the only one that still has it.
  if (!info) return there ? kept : null;
  if (there && kept.bytes === info.size && kept.modified_ms === info.mtimeMs) return kept;
  const unfinished = `${to}.unfinished`;
  await rm(unfinished, { force: true });
  const copied = await copyHashed(from, unfinished);
  await rename(unfinished, to);
  return { folder, file, ...copied, modified_ms: info.mtimeMs };
}

/** What an interrupted backup has left of files that the garage has deleted since. */
async function removeUnfinished(folder: string): Promise<void> {
  for (const of of FOLDERS) {
    for (const name of await readdir(join(folder, of)))
      if (name.endsWith('.unfinished')) await rm(join(folder, of, name), { force: true });
  }
}

async function writeWhole(path: string, text: string): Promise<void> {
  await writeFile(`${path}.unfinished`, text, { flush: true });
  await rename(`${path}.unfinished`, path);
}
