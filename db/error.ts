import { basename } from 'node:path';

/** Something that the technician must hear about the garage's file: one sentence; the cause is for the log. */
export class GarageError extends Error {
  override readonly name = 'GarageError';
}

/** SQLite's primary result codes (sqlite.org/rescode.html) that a user can do something about. */
const SENTENCES: Record<string, (file: string) => string> = {
  NOTADB: (file) => `${file} is not a garage file; choose another one or restore a backup.`,
  CORRUPT: (file) => `${file} is damaged; restore the latest backup and keep the damaged file for repair.`,
  FULL: () => 'The disk is full, so the garage could not be saved; free some space and try again.',
  READONLY: (file) => `${file} cannot be written to; check the permissions of its folder.`,
  CANTOPEN: (file) => `${file} cannot be opened; check that its folder exists and may be written to.`,
  IOERR: (file) => `The disk does not answer properly while ${file} is used; check it before going on.`,
  BUSY: (file) => `Another program is holding ${file}; close it and try again.`,
  LOCKED: (file) => `Another program is holding ${file}; close it and try again.`,
  CONSTRAINT: () => 'This does not fit what the garage already holds, so nothing was changed.',
};

/**
 * Turns whatever the database threw into a `GarageError` with its cause; a `GarageError` stays as it is.
 * @param path the garage's file, whose name the user knows
 */
export function garageError(cause: unknown, path: string): GarageError {
  if (cause instanceof GarageError) return cause;
  const primary = /^SQLITE_([A-Z]+)/.exec(String((cause as { code?: unknown } | null)?.code))?.[1];
  const sentence = primary === undefined ? undefined : SENTENCES[primary];
  const file = basename(path);
  return new GarageError(sentence?.(file) ?? `${file} could not be used; the log says why.`, { cause });
}
