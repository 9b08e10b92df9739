import { readdirSync, statSync } from 'node:fs';
import { cpus, release, totalmem } from 'node:os';
import { join } from 'node:path';
import { faultsOf } from '../../db/backup.ts';
import type { Garage } from '../../db/open.ts';
import type { LogFile } from '../log/log-file.ts';
import { plainError } from '../log/plain-error.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { PROGRAM_VERSION } from '../service/program-version.ts';

export interface SupportSurroundings {
  /** Or the error with which it could not be opened. */
  readonly garage: Garage | Error;
  readonly recordings: RecordingsFolder;
  readonly log: LogFile;
}

/**
 * Everything that helps to find a fault, as one readable text. Numbers, versions and the log; no vehicle, no owner,
 * no sentence that anybody typed, no sound, no path of this computer.
 */
export async function supportBundle({ garage, recordings, log }: SupportSurroundings): Promise<string> {
  const bundle = {
    contains:
      'Versions, the kind of computer, counts of what the garage holds, and the log. No vehicle, no owner, no text that was typed in, no recording.',
    madeAt: new Date().toISOString(),
    program: {
      version: PROGRAM_VERSION,
      node: process.versions.node,
      electron: process.versions.electron ?? null,
    },
    computer: {
      system: `${process.platform} ${release()}`,
      processor: `${cpus().length} × ${cpus()[0]?.model ?? process.arch}`,
      memory_MB: Math.round(totalmem() / 1e6),
    },
    garage: garage instanceof Error ? plainError(garage) : garageFigures(garage),
    recordings: await recordingFigures(garage, recordings),
    log: log.lines(),
  };
  return `${JSON.stringify(bundle, null, 2)}\n`;
}

function garageFigures({ db, path }: Garage) {
  const tables = db
    .prepare<[], { name: string }>(
      `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'vehicle_text%' AND name NOT LIKE 'sqlite_%'`,
    )
    .all();
  const count = (table: string) =>
    db.prepare<[], { n: number }>(`SELECT count(*) AS n FROM "${table}"`).get()!.n;
  const runs = db.prepare<[], { state: string; n: number }>(
    'SELECT state, count(*) AS n FROM run GROUP BY state',
  );
  return {
    schema: db.pragma('user_version', { simple: true }),
    bytes: statSync(path).size,
    faults: faultsOf(db).length,
    rows: Object.fromEntries(tables.map(({ name }) => [name, count(name)])),
    runs: Object.fromEntries(runs.all().map(({ state, n }) => [state, n])),
  };
}

async function recordingFigures(garage: Garage | Error, recordings: RecordingsFolder) {
  const names = readdirSync(recordings.path);
  const named = garage instanceof Error ? null : garage.runs.files();
  const there = new Set(names);
  return {
    files: names.length,
    bytes: names.reduce((sum, name) => sum + statSync(join(recordings.path, name)).size, 0),
    withoutRun: named && names.filter((name) => !named.has(name)).length,
    runsWithoutFile: named && [...named].filter((name) => !there.has(name)).length,
    freeBytes: await recordings.freeBytes(),
  };
}
