import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { backupGarage, faultsOf } from '../../db/backup.ts';
import { GarageError } from '../../db/error.ts';
import { recordingIn, secondOf } from './recording.ts';
import { newGarage, temporaryFolder } from './temporary.ts';

test('a backup made while a run is recorded is one moment of it, and opens as a garage', async () => {
  const garage = newGarage();
  const { vehicle, run } = recordingIn(garage);
  let n = 0;
  const append = () => garage.runs.appendSeconds(run.id, [secondOf(n++)]);
  while (n < 3000) append();

  const path = join(temporaryFolder(), 'backup.db');
  let done = false;
  const backup = backupGarage(garage, path).then(() => {
    done = true;
  });
  const before = n;
  while (!done) {
    append();
    await new Promise(setImmediate);
  }
  await backup;
  expect(n).toBeGreaterThan(before);

  // Complete in itself, before it is opened.
  expect(readdirSync(join(path, '..'))).toEqual(['backup.db']);
  const copy = newGarage(path);
  expect(faultsOf(copy.db)).toEqual([]);
  expect(copy.vehicles.get(vehicle.id)).toEqual(vehicle);
  const { second, rms } = copy.runs.history(run.id);
  expect(second.length).toBeGreaterThanOrEqual(before);
  expect(second).toEqual(second.map((_, i) => i));
  expect(rms[0]).toEqual(second);
  expect(copy.vehicles.search('hums')).toHaveLength(1);
});

test('a new backup takes the place of the old one only when it is complete', async () => {
  const garage = newGarage();
  recordingIn(garage);
  const path = join(temporaryFolder(), 'backup.db');
  await backupGarage(garage, path);
  garage.vehicles.change(1, { ...garage.vehicles.get(1), ownerNote: 'newer' });
  await backupGarage(garage, path);
  expect(newGarage(path).vehicles.get(1).ownerNote).toBe('newer');
});

test('a backup that cannot be made says so and leaves the earlier one', async () => {
  const garage = newGarage();
  const folder = temporaryFolder();
  const path = join(folder, 'backup.db');
  writeFileSync(path, 'the earlier one');
  // A folder stands where the unfinished copy would be written.
  mkdirSync(join(folder, 'backup.db.unfinished', 'in-the-way'), { recursive: true });
  await expect(backupGarage(garage, path)).rejects.toThrow(GarageError);
  await expect(backupGarage(garage, path)).rejects.toThrow(/^The backup backup\.db was not made/);
  expect(readFileSync(path, 'utf8')).toBe('the earlier one');

  const nowhere = join(folder, 'missing', 'backup.db');
  await expect(backupGarage(garage, nowhere)).rejects.toThrow(/was not made/);
  expect(existsSync(nowhere)).toBe(false);
});

test('the check finds what is wrong', () => {
  const { db } = newGarage();
  db.pragma('foreign_keys = OFF');
  db.exec(`INSERT INTO run_mark (run_id, at_s, text) VALUES (9, 0, 'orphan')`);
  expect(faultsOf(db)).toEqual(['run_mark: a row without its run']);
});
