import type BetterSqlite3 from 'better-sqlite3';

export type Database = BetterSqlite3.Database;

/** Runs `work` in one transaction, or inside the one that is open already. */
export function inTransaction<T>(db: Database, work: () => T): T {
  return db.inTransaction ? work() : db.transaction(work).immediate();
}

/**
 * Like `inTransaction`, and what it commits survives a power cut as soon as it has returned. In WAL a commit at
 * synchronous NORMAL, the garage's default, survives a crash of the program but not always one of the computer
 * (sqlite.org/pragma.html#pragma_synchronous). Syncing the log here makes earlier commits safe as well.
 */
export function durably<T>(db: Database, work: () => T): T {
  if (db.inTransaction) return work();
  db.pragma('synchronous = FULL');
  try {
    return db.transaction(work).immediate();
  } finally {
    db.pragma('synchronous = NORMAL');
  }
}
