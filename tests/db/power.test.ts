import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { faultsOf } from '../../db/backup.ts';
import { newGarage, temporaryFolder } from './temporary.ts';

/** Lets a child record, ends it without warning `delay_ms` after its first second, and returns the last one told. */
async function recordAndKill(path: string, delay_ms: number): Promise<number> {
  const child = spawn(process.execPath, [join(import.meta.dirname, 'append-child.ts'), path], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let told = '';
  const recording = new Promise<void>((resolve, reject) => {
    child.stdout.on('data', (chunk) => {
      told += chunk;
      resolve();
    });
    child.once('exit', () => reject(new Error('the child ended by itself')));
  });
  const ended = new Promise((resolve) => child.once('close', resolve));
  await recording;
  await wait(delay_ms);
  child.kill('SIGKILL');
  await ended;
  return Number(told.slice(0, told.lastIndexOf('\n')).split('\n').at(-1));
}

// Spread over checkpoints of the log (about every 1000 pages) as well as the moments between.
test.each([3, 41, 97, 180, 333])('kill -9 after %i ms loses no second that was saved', async (delay_ms) => {
  const path = join(temporaryFolder(), 'garage.db');
  const lastTold = await recordAndKill(path, delay_ms);

  const garage = newGarage(path);
  expect(faultsOf(garage.db)).toEqual([]);
  const [run, ...others] = garage.runs.unfinished();
  expect(others).toEqual([]);
  const { second, rms } = garage.runs.history(run!.id);
  expect(second.length).toBeGreaterThanOrEqual(lastTold + 1);
  expect(second).toEqual(second.map((_, i) => i));
  expect(rms[0]).toEqual(second);
  expect(garage.runs.markRepaired(run!.id, second.length * 48_000).state).toBe('repaired');
});
