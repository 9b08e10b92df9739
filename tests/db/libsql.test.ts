import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import { faultsOf } from '../../db/backup.ts';
import { openGarage } from '../../db/open.ts';
import { recordingIn, secondOf, VAN } from './recording.ts';
import { newGarage, temporaryFolder } from './temporary.ts';

// The shell's test runtime cannot load better-sqlite3; there libsql takes its place behind the same code.
vi.mock('better-sqlite3', () => import('libsql'));

test('the garage works on libsql as well, and its file is the same', async () => {
  const path = join(temporaryFolder(), 'garage.db');
  const garage = openGarage(path);
  const { vehicle, visit, run } = recordingIn(garage);
  garage.runs.appendSeconds(run.id, [secondOf(0), { ...secondOf(1), speed_km_h: null }]);
  garage.runs.addMark(run.id, { at_s: 1, text: 'bridge' });
  garage.runs.addGap(run.id, { firstFrame: 10, frames: 5 });
  garage.runs.addSpeed(run.id, { t_s: [0], v_km_h: [80] });
  expect(() => garage.runs.finish(99, 1)).toThrow('This run is not in the garage.');
  garage.runs.finish(run.id, 96_000);
  garage.measures.replaceOfRun(run.id, [
    {
      channel: 1,
      kind: 'bandLevel',
      part: 'hub',
      label: '891-1122 Hz',
      unit: 'm/s²',
      method: 'band-level 1',
      state: 'float',
      speedBand: { low_km_h: 70, high_km_h: 90 },
      value: 0.5,
      spread: null,
      repeats: 1,
    },
  ]);
  garage.settings.set('shop', { name: 'Invented Workshop' });
  expect(() =>
    garage.transaction(() => {
      garage.vehicles.add({ ...VAN, plate: 'HALF 1' });
      throw new Error('stop');
    }),
  ).toThrow('stop');

  const state = () => [
    garage.vehicles.search('rear hums'),
    garage.vehicles.search('half'),
    garage.vehicles.page(vehicle.id),
    garage.visits.get(visit.id),
    garage.runs.history(run.id),
    garage.runs.speed(run.id),
    garage.runs.unfinished(),
    garage.measures.ofVehicle(vehicle.id),
    faultsOf(garage.db),
  ];
  const onLibsql = state();
  expect(garage.vehicles.search('rear hums')).toHaveLength(1);
  expect(garage.runs.history(run.id).rms[1]).toEqual([0.25, 1.25]);
  garage.close();

  vi.doUnmock('better-sqlite3');
  vi.resetModules();
  const { openGarage: openOnSqlite } = await import('../../db/open.ts');
  const sqlite = openOnSqlite(path);
  Object.assign(garage, sqlite);
  expect(state()).toEqual(onLibsql);
  sqlite.close();
});

test('a file that is not a garage is refused there too', () => {
  const path = join(temporaryFolder(), 'holiday.jpg');
  writeFileSync(path, Buffer.alloc(20_000, 'not a database '));
  expect(() => newGarage(path)).toThrow(/^holiday\.jpg is not a garage file/);
});
