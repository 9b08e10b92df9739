import { message } from '../shared/messages/message.ts';
import type { Database } from './database.ts';
import { GarageError } from './error.ts';
import { MIGRATIONS } from './migrations/index.ts';

/** Says in the file's header that it is a garage ("RPgr" in ASCII). */
export const APPLICATION_ID = 0x52506772;

const pragma = (db: Database, name: string): number =>
  (db.prepare(`PRAGMA ${name}`).get() as Record<string, number>)[name]!;

/**
 * Brings the file to the newest schema. All pending steps and the version number are one transaction: if any
 * step fails the file stays as it was.
 * @param migrations the schema's history; a test may give a shorter or a faulty one
 * @throws {GarageError} when the file belongs to another program or to a newer version of this one, or a step fails
 */
export function migrate(db: Database, migrations: readonly string[] = MIGRATIONS): void {
  const newest = migrations.length;
  const version = pragma(db, 'user_version');
  const tables = db.prepare('SELECT count(*) AS n FROM sqlite_schema').get() as { n: number };
  if ((tables.n > 0 || version > 0) && pragma(db, 'application_id') !== APPLICATION_ID) {
    throw new GarageError(message('error.garageOfAnother'));
  }
  if (version > newest) {
    throw new GarageError(message('error.garageNewer'));
  }
  if (version === newest) return;

  // A step may rebuild a table (sqlite.org/lang_altertable.html#otheralter), which the checks would forbid
  // half-way; they are made up for before the commit.
  db.pragma('foreign_keys = OFF');
  const allSteps = db.transaction(() => {
    // Read again under the lock: another process may have been quicker.
    for (let step = pragma(db, 'user_version'); step < newest; step++) db.exec(migrations[step]!);
    const orphans = db.prepare('PRAGMA foreign_key_check').all();
    if (orphans.length > 0) throw new Error(`migration leaves ${orphans.length} rows without their parent`);
    db.exec(`PRAGMA user_version = ${newest}; PRAGMA application_id = ${APPLICATION_ID};`);
  });
  try {
    allSteps.immediate();
  } catch (cause) {
    throw new GarageError(message('error.garageNotMigrated'), { cause });
  }
}
