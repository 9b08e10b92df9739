import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { onTestFinished } from 'vitest';
import { faultsOf } from '../../db/backup.ts';
import { openGarage } from '../../db/open.ts';
import { type OpenAppOptions, openApp } from '../../electron/service/open-app.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import type { Run } from '../../shared/contract/garage.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';

/** `RUMBLEPATH_SOAK=1`, as set by `npm run soak`, asks for every fault test in its full size. */
export const SOAK = process.env.RUMBLEPATH_SOAK === '1';
export const sized = (inCi: number, inSoak: number): number => (SOAK ? inSoak : inCi);

export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'rumblepath-faults-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** The program without a screen, with all that it says counted. */
export async function openShop(dataFolder: string, options: Partial<OpenAppOptions> = {}) {
  const reported: unknown[] = [];
  const app = await openApp({ dataFolder, report: (error) => reported.push(error), ...options });
  const notices: string[] = [];
  const problems: string[] = [];
  let levels = 0;
  let state: LiveState | null = null;
  app.subscribe((event) => {
    if (event.name === 'notice') notices.push(english(event.payload));
    else if (event.name === 'live.levels') levels++;
    else if (event.name === 'live.state') {
      state = event.payload;
      const problem = state.problem && english(state.problem);
      if (problem && problem !== problems.at(-1)) problems.push(problem);
    }
  });
  let closed: Promise<void> | undefined;
  const close = () => (closed ??= app.close());
  onTestFinished(() => close());
  return {
    app,
    notices,
    problems,
    reported,
    close,
    get levels() {
      return levels;
    },
    get state() {
      return state;
    },
    /** @throws the sentence with which the request was refused */
    async ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
      const reply = await app.handle(name, input);
      if (reply.ok) return reply.value as RequestOutput<N>;
      throw new Error(english(reply.told));
    },
    /** The demo drive, unheard. */
    async openDemo() {
      await this.ask('live.listen', { on: false });
      await this.ask('live.open', { source: { kind: 'demo' }, visitId: null, channels: [] });
    },
  };
}

export async function until(seconds: number, done: () => boolean): Promise<boolean> {
  for (const end = performance.now() + seconds * 1000; performance.now() < end; await sleep(20))
    if (done()) return true;
  return done();
}

export interface KeptRun extends Run {
  /** Frames in its file, null where there is none. */
  readonly fileFrames: number | null;
  readonly headerIsTrue: boolean;
}

/** What stands in a garage that nobody has open: faults of the database, runs with their files. */
export async function inspect(dataFolder: string): Promise<{ faults: string[]; runs: KeptRun[] }> {
  const garage = openGarage(join(dataFolder, 'garage.db'));
  try {
    const ids = garage.db.prepare<[], { id: number }>('SELECT id FROM run ORDER BY id').all();
    const runs: KeptRun[] = [];
    for (const { id } of ids) {
      const run = garage.runs.get(id);
      const wav = await openWav(join(dataFolder, 'recordings', run.file)).catch(() => null);
      runs.push({ ...run, fileFrames: wav?.frames ?? null, headerIsTrue: wav?.headerIsTrue ?? false });
      await wav?.close();
    }
    return { faults: faultsOf(garage.db), runs };
  } finally {
    garage.close();
  }
}
