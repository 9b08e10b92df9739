import { spawn } from 'node:child_process';
import { copyFileSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import BetterSqlite3 from 'better-sqlite3';
import { expect, test } from 'vitest';
import { faultsOf } from '../../db/backup.ts';
import { MIGRATIONS } from '../../db/migrations/index.ts';
import { seedLargeGarage } from '../../seeds/garage/large-garage.ts';
import { newGarage, temporaryFolder } from './temporary.ts';

/** Starts a child, ends it without warning `delay_ms` after its first line, and returns the lines it told. */
async function runAndKill(child: string, args: readonly string[], delay_ms: number): Promise<string[]> {
  const running = spawn(process.execPath, [join(import.meta.dirname, 'children', child), ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let told = '';
  const begun = new Promise<void>((resolve, reject) => {
    running.stdout.on('data', (chunk) => {
      told += chunk;
      resolve();
    });
    running.once('exit', () => reject(new Error('the child ended by itself')));
  });
  const ended = new Promise((resolve) => running.once('close', resolve));
  await begun;
  await wait(delay_ms);
  running.kill('SIGKILL');
  await ended;
  return told.slice(0, told.lastIndexOf('\n')).split('\n');
}

// Spread over checkpoints of the log (about every 1000 pages) as well as the moments between.
test.each([3, 41, 97, 180, 333])(
  'kill -9 %i ms into a recording loses no second that was saved',
  async (delay_ms) => {
    const path = join(temporaryFolder(), 'garage.db');
    const told = await runAndKill('append.ts', [path], delay_ms);

    const garage = newGarage(path);
    expect(faultsOf(garage.db)).toEqual([]);
    const [run, ...others] = garage.runs.unfinished();
    expect(others).toEqual([]);
    const { second, rms } = garage.runs.history(run!.id);
    expect(second.length).toBeGreaterThanOrEqual(told.length);
    expect(second).toEqual(second.map((_, i) => i));
    expect(rms[0]).toEqual(second);
    expect(garage.runs.markRepaired(run!.id, second.length * 48_000).state).toBe('repaired');
  },
);

test('kill -9 during a migration leaves the old schema or the new one, and every row', async () => {
  const folder = temporaryFolder();
  const old = join(folder, 'old.db');
  const db = new BetterSqlite3(old);
  db.exec(readFileSync(join(import.meta.dirname, 'fixtures', 'version-1.sql'), 'utf8'));
  // Enough of them that the migration takes a while.
  db.exec(`INSERT INTO vehicle (plate, owner_note, spec, created_at, recency_s)
    WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000)
    SELECT 'RP ' || i, 'note ' || hex(randomblob(20)), '{"label":"van","layout":"fwd"}', '2026-01-01T00:00:00Z', i
    FROM n`);
  db.close();

  for (const delay_ms of [0, 60, 120, 180, 400]) {
    const path = join(folder, `killed-after-${delay_ms}.db`);
    copyFileSync(old, path);
    await runAndKill('migrate.ts', [path], delay_ms);
    const killed = new BetterSqlite3(path);
    const { user_version } = killed.prepare('PRAGMA user_version').get() as { user_version: number };
    expect([1, MIGRATIONS.length]).toContain(user_version);
    killed.close();

    const garage = newGarage(path);
    expect(faultsOf(garage.db)).toEqual([]);
    expect(garage.db.prepare('SELECT count(*) AS n FROM vehicle').get()).toEqual({ n: 20_002 });
    expect(garage.vehicles.search('boat').map((row) => row.id)).toEqual([2]);
  }
});

test.each([2, 70, 200])('kill -9 %i ms into backups leaves a backup that is whole', async (delay_ms) => {
  const folder = temporaryFolder();
  const path = join(folder, 'garage.db');
  const garage = newGarage(path);
  seedLargeGarage(garage, { vehicles: 300, visitsPerVehicle: 5, seed: 1 });
  await runAndKill('backup.ts', [path, join(folder, 'backup.db')], delay_ms);

  const copy = newGarage(join(folder, 'backup.db'));
  expect(faultsOf(copy.db)).toEqual([]);
  expect(copy.measures.ofVehicle(300)).toEqual(garage.measures.ofVehicle(300));
});
