import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { expect, test } from 'vitest';
import { inTransaction } from '../../db/database.ts';
import { GarageError } from '../../db/error.ts';
import { MIGRATIONS } from '../../db/migrations/index.ts';
import { openGarage } from '../../db/open.ts';
import { recordingIn, secondOf } from './recording.ts';
import { newGarage, temporaryFolder } from './temporary.ts';

const messageOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    expect(error).toBeInstanceOf(GarageError);
    return (error as Error).message;
  }
  throw new Error('opened without a complaint');
};

test('a garage is as promised: log ahead of the file, foreign keys, a wait for whoever holds it', () => {
  const { db } = newGarage();
  const setting = (name: string) => Object.values(db.prepare(`PRAGMA ${name}`).get() as object)[0];
  expect(setting('journal_mode')).toBe('wal');
  expect(setting('foreign_keys')).toBe(1);
  expect(setting('synchronous')).toBe(1);
  expect(setting('busy_timeout')).toBe(2000);
  expect(setting('user_version')).toBe(MIGRATIONS.length);
});

test('a saved change is synced to the disk, a recorded second is not', () => {
  const garage = newGarage();
  const synchronous = () =>
    (garage.db.prepare('PRAGMA synchronous').get() as { synchronous: number }).synchronous;
  // 2 is FULL, 1 NORMAL (sqlite.org/pragma.html#pragma_synchronous).
  expect(garage.transaction(synchronous)).toBe(2);
  expect(inTransaction(garage.db, synchronous)).toBe(1);
});

test('after a durable change the stream goes on at normal speed, even when the change failed', () => {
  const garage = newGarage();
  recordingIn(garage);
  expect(() => garage.runs.finish(99, 0)).toThrow();
  expect(garage.db.prepare('PRAGMA synchronous').get()).toEqual({ synchronous: 1 });
});

test('what was written is there when the garage is opened again', () => {
  const path = join(temporaryFolder(), 'garage.db');
  const first = openGarage(path);
  const { run } = recordingIn(first);
  first.runs.appendSeconds(run.id, [secondOf(0)]);
  first.close();
  expect(newGarage(path).runs.history(run.id).second).toEqual([0]);
});

test('two processes may have the garage open', () => {
  const path = join(temporaryFolder(), 'garage.db');
  const app = newGarage(path);
  const commandLine = newGarage(path);
  const { vehicle } = recordingIn(app);
  expect(commandLine.vehicles.page(vehicle.id).visits).toHaveLength(1);
});

test('a file that is not a database is refused and left as it was', () => {
  const path = join(temporaryFolder(), 'holiday.jpg');
  const content = randomBytes(20_000);
  writeFileSync(path, content);
  expect(messageOf(() => openGarage(path))).toBe(
    'holiday.jpg is not a garage file; choose another one or restore a backup.',
  );
  expect(readFileSync(path)).toEqual(content);
});

test("another program's database is refused and left as it was", () => {
  const path = join(temporaryFolder(), 'other.db');
  const other = new BetterSqlite3(path);
  other.exec('CREATE TABLE visit (note TEXT); PRAGMA user_version = 2;');
  other.close();
  const content = readFileSync(path);
  expect(messageOf(() => openGarage(path))).toMatch(/^This file belongs to another program;/);
  expect(readFileSync(path)).toEqual(content);
});

test('a garage of a newer version is refused and left as it was', () => {
  const path = join(temporaryFolder(), 'garage.db');
  openGarage(path).close();
  const later = new BetterSqlite3(path);
  later.pragma(`user_version = ${MIGRATIONS.length + 1}`);
  later.close();
  const content = readFileSync(path);
  expect(messageOf(() => openGarage(path))).toBe(
    'This garage was written by a newer version of Rumblepath; install that version to open it.',
  );
  expect(readFileSync(path)).toEqual(content);
});

test('a damaged garage is said to be damaged', () => {
  const path = join(temporaryFolder(), 'garage.db');
  openGarage(path).close();
  truncateSync(path, 4096);
  expect(messageOf(() => openGarage(path))).toBe(
    'garage.db is damaged; restore the latest backup and keep the damaged file for repair.',
  );
});

test('a place where no file can be is named', () => {
  const folder = temporaryFolder();
  expect(messageOf(() => openGarage(join(folder, 'missing', 'garage.db')))).toMatch(/^There is no folder /);
  mkdirSync(join(folder, 'garage.db'));
  expect(messageOf(() => openGarage(join(folder, 'garage.db')))).toBe(
    'garage.db cannot be opened; check that its folder exists and may be written to.',
  );
});
