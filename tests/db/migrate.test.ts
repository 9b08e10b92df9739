import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { faultsOf } from '../../db/backup.ts';
import type { Database } from '../../db/database.ts';
import { GarageError } from '../../db/error.ts';
import { migrate } from '../../db/migrate.ts';
import { MIGRATIONS } from '../../db/migrations/index.ts';
import { english } from '../../shared/messages/tell.ts';
import { newGarage, temporaryFolder } from './temporary.ts';

const FIXTURES = join(import.meta.dirname, 'fixtures');
const VERSIONS = readdirSync(FIXTURES)
  .map((name) => Number(/^version-(\d+)\.sql$/.exec(name)![1]))
  .sort((a, b) => a - b);

/** A file as that version of the program left it behind, with its log folded in. */
function fileOfVersion(version: number): string {
  const path = join(temporaryFolder(), 'garage.db');
  const db = new BetterSqlite3(path);
  db.pragma('journal_mode = WAL');
  db.exec(readFileSync(join(FIXTURES, `version-${version}.sql`), 'utf8'));
  db.close();
  return path;
}

const schemaOf = (db: Database) =>
  db.prepare('SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name').all();

test('every version of the schema has its fixture', () => {
  expect(VERSIONS).toEqual(MIGRATIONS.map((_, i) => i + 1));
});

test.each(VERSIONS)('a garage of version %i opens with all that it held', (version) => {
  const garage = newGarage(fileOfVersion(version));
  expect(schemaOf(garage.db)).toEqual(schemaOf(newGarage().db));
  expect(faultsOf(garage.db)).toEqual([]);

  expect(garage.vehicles.get(1).spec).toEqual({ label: 'blue van', layout: 'rwd', colour: 'blue' });
  expect(garage.vehicles.page(1).visits).toMatchObject([
    { id: 2, complaint: 'hums louder', runs: 1 },
    { id: 1, seconds: 2, loudest: { position: 'hub-rear-left', rms_m_s2: 100 } },
  ]);
  expect(garage.runs.history(1)).toMatchObject({
    run: {
      file: 'run-1.wav',
      state: 'complete',
      segments: [{ from_s: 0, to_s: 2, state: 'drive' }],
      marks: [{ at_s: 0.5, text: 'bridge' }],
      gaps: [{ firstFrame: 48_000, frames: 480 }],
    },
    second: [0, 1],
    speed_km_h: [80, null],
    rms: [[0.25, 0.5]],
    peak: [[1, 1]],
    orders: [[[0.25, 0.5]]],
  });
  expect(garage.runs.speed(1)).toEqual({ t_s: [0, 1], v_km_h: [79, 80] });
  expect(garage.runs.unfinished().map((run) => run.id)).toEqual([2]);
  expect(garage.settings.get('shop', z.object({ name: z.string() }))).toEqual({ name: 'Invented Workshop' });
  expect(garage.vehicles.search('hums louder').map((row) => row.id)).toEqual([1]);
  expect(garage.vehicles.search('boat').map((row) => row.id)).toEqual([2]);
  expect(garage.measures.ofVehicle(1).map((m) => m.value)).toEqual(version < 3 ? [] : [1.25]);
  expect(garage.bundleKeys.of(1, 1)).toEqual(version < 4 ? {} : { weather: 'dry' });
  expect(garage.outcomes.ofVehicle(1).map((o) => o.note)).toEqual(version < 5 ? [] : ['fluid changed']);
  expect(garage.vehicles.search('rear differential').map((row) => row.id)).toEqual(version < 5 ? [] : [1]);
  expect(garage.wearLimits.of(1, 'invented series')).toBe(version < 5 ? null : 2.5);
  const unmeasured = { runId: 1, visitId: 1, vehicleId: 1 };
  expect(garage.measures.unmeasured('run-1.wav', 'measures 1')).toEqual(version < 5 ? unmeasured : null);
  expect(garage.measures.unmeasured('run-2.wav', 'measures 1')).toBeNull();
  expect(garage.visitWork.unfinished().map((w) => w.visitId)).toEqual(version < 6 ? [] : [2]);
  expect(garage.visitWork.place(1).skipped).toEqual(version < 6 ? [] : ['roadCard']);
  expect(garage.visitWork.form(1, 'inspection', z.object({ note: z.string() }))).toEqual(
    version < 6 ? null : { note: 'dry and clean' },
  );
  expect(garage.drafts.ofVisit(2)).toEqual(version < 6 ? {} : { rigging: { channels: '1: hub' } });
  expect(garage.drafts.get(null, 'settings')).toEqual(version < 6 ? null : { labour: '9x' });
  expect(garage.riggingChecks.ofVisit(1).map((c) => c.result.check)).toEqual(version < 6 ? [] : ['polarity']);
  expect(garage.attachments.ofVisit(1).map((a) => a.name)).toEqual(version < 6 ? [] : ['magnet.jpg']);
  // They hold sentences, of before there were messages.
  const findings = garage.findings.ofVisit(1)?.findings;
  expect(findings && english(findings.summary)).toBe(version < 7 ? undefined : 'Nothing abnormal was heard.');
  const place = { channel: 1, state: 'drive', speedBand: { low_km_h: 70, high_km_h: 80 } } as const;
  expect(garage.orderSpectra.of(1, place)?.rms).toEqual(
    version < 5 ? undefined : Float32Array.of(0.25, 0.5, 1),
  );
});

const FAULTS = {
  'fails in its second statement': 'ALTER TABLE vehicle ADD COLUMN colour TEXT; SELECT no_such_function();',
  'fails after it rewrote every page': `
    CREATE TABLE filler AS WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000)
      SELECT i, hex(randomblob(200)) AS text FROM n;
    UPDATE vehicle SET owner_note = 'lost'; DROP TABLE run_second; INSERT INTO nowhere VALUES (1);`,
  'leaves rows without their parent':
    'PRAGMA foreign_keys = OFF; DELETE FROM run_speed; DELETE FROM visit WHERE id = 1;',
};

test.each(Object.entries(FAULTS))('a migration that %s leaves the file as it was, byte by byte', (_, sql) => {
  for (const version of VERSIONS) {
    for (const journal of ['WAL', 'DELETE']) {
      const path = fileOfVersion(version);
      const db = new BetterSqlite3(path);
      db.pragma(`journal_mode = ${journal}`);
      db.close();
      const before = readFileSync(path);

      const again = new BetterSqlite3(path);
      expect(() => migrate(again, [...MIGRATIONS, sql])).toThrow(GarageError);
      again.close();
      expect(readFileSync(path).equals(before), `version ${version}, ${journal}`).toBe(true);
    }
  }
});

test('all pending steps are one: when the last fails, the earlier ones are undone', () => {
  const db = new BetterSqlite3(fileOfVersion(1));
  expect(() => migrate(db, [...MIGRATIONS, 'nonsense'])).toThrow(/is as it was/);
  expect(db.prepare('PRAGMA user_version').get()).toEqual({ user_version: 1 });
  expect(db.prepare(`SELECT name FROM sqlite_schema WHERE name = 'measure'`).all()).toEqual([]);
  db.close();
});

test('a new garage that cannot be made leaves no half of one', () => {
  const path = join(temporaryFolder(), 'garage.db');
  const db = new BetterSqlite3(path);
  expect(() => migrate(db, [MIGRATIONS[0]!, 'nonsense'])).toThrow(GarageError);
  expect(schemaOf(db)).toEqual([]);
  migrate(db);
  expect(db.prepare('PRAGMA user_version').get()).toEqual({ user_version: MIGRATIONS.length });
  db.close();
});
