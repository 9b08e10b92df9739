import { basename } from 'node:path';
import { type Message, message } from '../shared/messages/message.ts';
import { ToldError } from '../shared/messages/told-error.ts';

/** Something that the technician must hear about the garage's file; the cause is for the log. */
export class GarageError extends ToldError {
  override readonly name = 'GarageError';
}

/** SQLite's primary result codes (sqlite.org/rescode.html) that a user can do something about. */
const TOLD: Record<string, (file: string) => Message> = {
  NOTADB: (file) => message('error.sqlite.NOTADB', { file }),
  CORRUPT: (file) => message('error.sqlite.CORRUPT', { file }),
  FULL: () => message('error.sqlite.FULL'),
  READONLY: (file) => message('error.sqlite.READONLY', { file }),
  CANTOPEN: (file) => message('error.sqlite.CANTOPEN', { file }),
  IOERR: (file) => message('error.sqlite.IOERR', { file }),
  BUSY: (file) => message('error.sqlite.BUSY', { file }),
  LOCKED: (file) => message('error.sqlite.BUSY', { file }),
  CONSTRAINT: () => message('error.sqlite.CONSTRAINT'),
};

/**
 * Turns whatever the database threw into a `GarageError` with its cause; a `GarageError` stays as it is.
 * @param path the garage's file, whose name the user knows
 */
export function garageError(cause: unknown, path: string): GarageError {
  if (cause instanceof GarageError) return cause;
  const primary = /^SQLITE_([A-Z]+)/.exec(String((cause as { code?: unknown } | null)?.code))?.[1];
  const told = primary === undefined ? undefined : TOLD[primary];
  const file = basename(path);
  return new GarageError(told?.(file) ?? message('error.sqlite.other', { file }), { cause });
}
