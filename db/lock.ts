import BetterSqlite3 from 'better-sqlite3';
import { message } from '../shared/messages/message.ts';
import type { Database } from './database.ts';
import { GarageError, garageError } from './error.ts';

/**
 * Keeps a second program from standing on the same garage: it would take a running recording for an interrupted
 * one. The lock is SQLite's own on a file beside the garage, so that the system gives it back when the process ends,
 * however it ends.
 * @returns gives the lock back
 * @throws {GarageError} when another program holds it, or its file cannot be made
 */
export function lockGarage(path: string): () => void {
  let db: Database | undefined;
  try {
    db = new BetterSqlite3(`${path}.lock`, { timeout: 0 });
    db.exec('BEGIN EXCLUSIVE');
  } catch (cause) {
    db?.close();
    if ((cause as { code?: unknown }).code !== 'SQLITE_BUSY') throw garageError(cause, path);
    throw new GarageError(message('error.garageOpen'), { cause });
  }
  const held = db;
  return () => held.close();
}
