import { existsSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Garage } from '../../db/open.ts';
import { HEADER_BYTES } from '../../native/wav/wav-header.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import type { RecordingsFolder } from './recordings-folder.ts';

/** How the copies of imported recordings begin; their originals are in the bundle. */
export const IMPORTED = 'imported-';

const REPORTS = 'reports';

type Kind = 'importing' | 'unfinished';

/** A name for what is being made, which tells the process that makes it: `NAME.PID.KIND`. */
export const leftoverName = (name: string, kind: Kind): string => `${name}.${process.pid}.${kind}`;

/** Whether it is a name of `leftoverName` whose process has ended. Its own number is that of an earlier process. */
function isLeftBehind(name: string): boolean {
  const pid = Number(/\.(\d+)\.(?:importing|unfinished)$/.exec(name)?.[1]);
  return Number.isInteger(pid) && (pid === process.pid || !isRunning(pid));
}

function isRunning(pid: number): boolean {
  try {
    // Signal 0 only asks.
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    return (cause as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/**
 * Removes what an interrupted import, restore, report or demo has left, before any of them can have begun again: unfinished
 * files, copies of recordings that no run names, and new recordings without a run and without sound. A recording that
 * holds sound is never removed.
 * @returns a sentence for the technician, or null where there was nothing
 */
export function removeLeftovers(
  garage: Garage,
  recordings: RecordingsFolder,
  dataFolder: string,
): Message | null {
  let removed = 0;
  const remove = (path: string): void => {
    rmSync(path, { recursive: true, force: true });
    removed++;
  };
  for (const name of readdirSync(dataFolder)) if (isLeftBehind(name)) remove(join(dataFolder, name));
  const reports = join(dataFolder, REPORTS);
  // Only the program with this garage's lock writes there, and it has only just started.
  for (const name of existsSync(reports) ? readdirSync(reports) : [])
    if (name.endsWith('.unfinished')) remove(join(reports, name));
  // An import gives its copies their names in the transaction that writes their rows: none is half-way in here.
  garage.transaction(() => {
    const named = garage.runs.files();
    for (const name of readdirSync(recordings.path)) {
      const path = recordings.file(name);
      const orphan = name.endsWith('.wav') && !named.has(name);
      if (orphan && (name.startsWith(IMPORTED) || statSync(path).size <= HEADER_BYTES)) remove(path);
      else if (name.endsWith('.rendering') || isLeftBehind(name)) remove(path);
    }
  });
  return removed === 0 ? null : message('notice.leftoversRemoved', { count: removed });
}
