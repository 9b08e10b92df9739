import { rename, rm } from 'node:fs/promises';
import { basename } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { message } from '../shared/messages/message.ts';
import type { Database } from './database.ts';
import { GarageError, garageError } from './error.ts';

/** Faults that SQLite finds in a file, and rows without their parent; empty when it is sound. */
export function faultsOf(db: Database): string[] {
  const integrity = db.prepare<[], { integrity_check: string }>('PRAGMA integrity_check').all();
  const orphans = db.prepare<[], { table: string; parent: string }>('PRAGMA foreign_key_check').all();
  return [
    ...integrity.map((row) => row.integrity_check).filter((text) => text !== 'ok'),
    ...orphans.map((row) => `${row.table}: a row without its ${row.parent}`),
  ];
}

/**
 * Copies the garage to `path` with SQLite's online backup, while it is in use: the copy holds one moment's state.
 * It is checked before it takes the place of an older backup of that name, so that a failed one ruins nothing.
 * @throws {GarageError} one sentence for the user, with the cause
 */
export async function backupGarage(garage: { readonly db: Database }, path: string): Promise<void> {
  const unfinished = `${path}.unfinished`;
  try {
    await rm(unfinished, { force: true });
    await garage.db.backup(unfinished);
    const copy = new BetterSqlite3(unfinished);
    try {
      // A single file, complete without a log beside it, until it is opened as a garage again.
      copy.pragma('journal_mode = DELETE');
      const faults = faultsOf(copy);
      if (faults.length > 0) throw new Error(faults.join('; '));
    } finally {
      copy.close();
    }
    await rename(unfinished, path);
  } catch (cause) {
    // What cannot be removed here is what stood in the way; the sentence is about the backup.
    await rm(unfinished, { force: true }).catch(() => {});
    const why = garageError(cause, path).told;
    throw new GarageError(message('error.backupNotMade', { file: basename(path), why }), { cause });
  }
}
