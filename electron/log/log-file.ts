import { appendFileSync, mkdirSync, readFileSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { LiveState } from '../../shared/contract/live.ts';
import type { MessageId } from '../../shared/messages/message.ts';
import { plainError } from './plain-error.ts';

/** Two files of this size at most. */
const LARGEST_BYTES = 500_000;

/** One line of the log. Only what is named here is ever written; nothing that a person has typed is among it. */
export type LogEntry =
  | {
      readonly what: 'started';
      readonly version: string;
      readonly repairedRuns: number;
      readonly leftovers: boolean;
    }
  | { readonly what: 'closed' }
  | {
      readonly what: 'live';
      readonly phase: LiveState['phase'];
      readonly source: string | null;
      readonly sampleRate_Hz: number | null;
      readonly lostFrames: number;
      readonly problem: MessageId | null;
    };

/**
 * What happened, for those who mend the program: JSON lines in `log/rumblepath.log` of the data folder. It holds
 * nothing of owners and vehicles. A log that cannot be written never disturbs the program.
 */
export class LogFile {
  readonly path: string;
  readonly #older: string;

  constructor(dataFolder: string) {
    const folder = join(dataFolder, 'log');
    this.path = join(folder, 'rumblepath.log');
    this.#older = join(folder, 'rumblepath.older.log');
    try {
      mkdirSync(folder, { recursive: true });
    } catch {
      // Said by the garage, which cannot be written to either.
    }
  }

  write(entry: LogEntry): void {
    this.#append(entry);
  }

  /** @param request the contract's name of what was asked, or what else was being done */
  error(error: unknown, request: string): void {
    this.#append({ what: 'error', request, ...plainError(error) });
  }

  /** Its lines, oldest first, those of the file before it included. */
  lines(): unknown[] {
    return [this.#older, this.path].flatMap((path) => {
      try {
        return readFileSync(path, 'utf8').split('\n').filter(Boolean).flatMap(parsed);
      } catch {
        return [];
      }
    });
  }

  #append(entry: object): void {
    try {
      if ((statSync(this.path, { throwIfNoEntry: false })?.size ?? 0) > LARGEST_BYTES)
        renameSync(this.path, this.#older);
      appendFileSync(this.path, `${JSON.stringify({ at: new Date().toISOString(), ...entry })}\n`);
    } catch {
      // A full disk is told where it matters: at the recording and at the garage.
    }
  }
}

/** A line that a killed process did not finish is left out. */
function parsed(line: string): unknown[] {
  try {
    return [JSON.parse(line)];
  } catch {
    return [];
  }
}

/** Follows the live state and logs its turns: not every second, and of a sentence which it was, never the names in it. */
export function logLive(log: LogFile): (state: LiveState) => void {
  let before = '';
  return (state) => {
    const entry = {
      what: 'live' as const,
      phase: state.phase,
      source: state.source?.kind ?? null,
      sampleRate_Hz: state.source?.sampleRate_Hz ?? null,
      lostFrames: state.lostFrames,
      problem: state.problem?.id ?? null,
    };
    const now = JSON.stringify(entry);
    if (now !== before) log.write(entry);
    before = now;
  };
}
