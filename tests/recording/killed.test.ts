import { fork } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { faultsOf } from '../../db/backup.ts';
import { openGarage } from '../../db/open.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import { english } from '../../shared/messages/tell.ts';
import { sized } from '../faults/shop.ts';

const KILLS = sized(6, 80);
/** What may be missing from a recording whose program was killed. */
const LOST_S = 1;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-killed-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** Records for a random while, kills, and tells what had been recorded by then. */
function recordAndKill(afterMs: number): Promise<{ runId: number; seconds: number }> {
  return new Promise((resolve, reject) => {
    const child = fork(join(import.meta.dirname, 'record-until-killed.ts'), [folder], { stdio: 'inherit' });
    let last = { runId: 0, seconds: 0 };
    child.on('message', (message: typeof last) => {
      if (last.runId === 0) setTimeout(() => child.kill('SIGKILL'), afterMs);
      last = message;
    });
    child.on('exit', (_, signal) =>
      signal === 'SIGKILL' ? resolve(last) : reject(new Error('ended by itself')),
    );
  });
}

it(`loses at most its last second when it is killed, ${KILLS} times`, {
  timeout: KILLS * 10_000,
}, async () => {
  for (let i = 0; i < KILLS; i++) {
    const { runId, seconds } = await recordAndKill(200 + Math.random() * 2500);

    const notices: string[] = [];
    const app = await openApp({ dataFolder: folder });
    app.subscribe((event) => {
      if (event.name === 'notice') notices.push(english(event.payload));
    });
    await app.close();
    expect(notices).toHaveLength(1);

    const garage = openGarage(join(folder, 'garage.db'));
    expect(faultsOf(garage.db)).toEqual([]);
    const { run, second } = garage.runs.history(runId);
    expect(run.state).toBe('repaired');
    const wav = await openWav(join(folder, 'recordings', run.file));
    expect(wav.headerIsTrue).toBe(true);
    expect(wav.frames).toBe(run.frames);
    expect(wav.frames / run.sampleRate_Hz).toBeGreaterThanOrEqual(seconds - LOST_S);
    expect(second.length).toBeGreaterThanOrEqual(Math.floor(seconds) - LOST_S);
    await wav.close();
    garage.close();
  }
});
