import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { GarageError } from '../../db/error.ts';
import { makeBackup } from '../../electron/backup/make-backup.ts';
import { MANIFEST, readManifest } from '../../electron/backup/manifest.ts';
import { stageRestore, takeRestored } from '../../electron/backup/restore.ts';
import { RecordingsFolder } from '../../electron/recording/recordings-folder.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import { recordingIn, runStart, secondOf } from '../db/recording.ts';
import { newGarage, temporaryFolder } from '../db/temporary.ts';

/** Every row of every table that is not the index of words, which holds nothing of its own. */
function rowsOf(path: string): Record<string, unknown[]> {
  const db = new BetterSqlite3(path, { readonly: true });
  try {
    const tables = db
      .prepare<[], { name: string }>(
        `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'vehicle_text%' AND name NOT LIKE 'sqlite_%'`,
      )
      .all();
    return Object.fromEntries(tables.map(({ name }) => [name, db.prepare(`SELECT * FROM ${name}`).all()]));
  } finally {
    db.close();
  }
}

const sha256 = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex');

/** A garage with a recording that is complete, and one that grows with every call of `append`. */
async function recordingGarage() {
  const dataFolder = temporaryFolder();
  const garage = newGarage(join(dataFolder, 'garage.db'));
  const recordings = new RecordingsFolder(dataFolder);
  const { visit, run } = recordingIn(garage);
  const done = garage.runs.start(runStart(visit.id, 'done.wav'));
  const wav = await WavWriter.create(recordings.file('done.wav'), { channels: 3, sampleRate_Hz: 48_000 });
  const samples = Array.from({ length: 3 }, (_, c) =>
    Float32Array.from({ length: 4800 }, (_, i) => Math.sin(0.01 * (c + 1) * i)),
  );
  wav.write(samples, 4800);
  await wav.close();
  garage.runs.finish(done.id, 4800);

  const growing = await WavWriter.create(recordings.file(run.file), { channels: 3, sampleRate_Hz: 48_000 });
  onTestFinished(() => growing.close());
  let second = 0;
  return {
    dataFolder,
    garage,
    recordings,
    run,
    async append() {
      if (!growing.write(samples, 480)) await growing.drain();
      garage.runs.appendSeconds(run.id, [secondOf(second++)]);
    },
  };
}

test('a backup taken while recording, restored on an empty machine, has the same rows and the same recordings', async () => {
  const { dataFolder, garage, run, append } = await recordingGarage();
  for (let i = 0; i < 200; i++) await append();
  const backup = join(temporaryFolder(), 'backup');
  let ready = false;
  const making = makeBackup(garage, dataFolder, backup).finally(() => {
    ready = true;
  });
  while (!ready) {
    await append();
    await new Promise(setImmediate);
  }
  const made = await making;
  expect(made).toMatchObject({ folder: backup, files: 2, missing: [] });

  const manifest = await readManifest(backup);
  const empty = join(temporaryFolder(), 'new computer');
  mkdirSync(empty);
  expect(await stageRestore(backup, empty)).toEqual({ files: 2 });
  expect(readdirSync(empty)).toEqual(['restored']);
  expect(takeRestored(empty)).toEqual({ before: null });
  expect(readdirSync(empty).sort()).toEqual(['attachments', 'garage.db', 'recordings']);

  expect(rowsOf(join(empty, 'garage.db'))).toEqual(rowsOf(join(backup, manifest.garage.file)));
  for (const { folder, file, sha256: sum } of manifest.files) {
    expect(sha256(join(empty, folder, file)), file).toBe(sum);
  }
  expect(sha256(join(empty, 'recordings', 'done.wav'))).toBe(
    sha256(join(dataFolder, 'recordings', 'done.wav')),
  );

  // There it opens; what was being recorded is complete up to the backup.
  const app = await openApp({ dataFolder: empty, report: () => {} });
  const reply = await app.handle('runs.history', { runId: run.id });
  await app.close();
  expect(reply).toMatchObject({ ok: true, value: { run: { state: 'repaired' } } });
  const { second } = (reply as { value: { second: number[] } }).value;
  expect(second.length).toBeGreaterThanOrEqual(200);
});

test('a damaged, a missing and an added-to file are each found before anything is replaced', async () => {
  const { dataFolder, garage } = await recordingGarage();
  const backup = join(temporaryFolder(), 'backup');
  await makeBackup(garage, dataFolder, backup);
  const here = join(temporaryFolder(), 'here');
  mkdirSync(here);
  writeFileSync(join(here, 'garage.db'), 'the garage that is here');
  const before = () => readdirSync(here);

  const recording = join(backup, 'recordings', 'done.wav');
  const sound = readFileSync(recording);
  const turned = Buffer.from(sound);
  turned[5000] = turned[5000]! ^ 1;
  writeFileSync(recording, turned);
  await expect(stageRestore(backup, here)).rejects.toThrow(
    /^done\.wav of the backup has been changed or damaged/,
  );
  writeFileSync(recording, Buffer.concat([sound, Buffer.of(0)]));
  await expect(stageRestore(backup, here)).rejects.toThrow(/changed or damaged/);
  rmSync(recording);
  await expect(stageRestore(backup, here)).rejects.toThrow(/^done\.wav of the backup is missing/);
  writeFileSync(recording, sound);

  const { garage: db } = await readManifest(backup);
  const file = readFileSync(join(backup, db.file));
  writeFileSync(join(backup, db.file), file.fill(7, 4096, 4196));
  await expect(stageRestore(backup, here)).rejects.toThrow(GarageError);
  expect(before()).toEqual(['garage.db']);
  expect(readFileSync(join(here, 'garage.db'), 'utf8')).toBe('the garage that is here');
  expect(takeRestored(here)).toBeNull();
});

test('a folder without a manifest, or with a nonsensical one, is no backup', async () => {
  const folder = temporaryFolder();
  const here = temporaryFolder();
  await expect(stageRestore(folder, here)).rejects.toThrow(/is not a complete backup/);
  const manifest = {
    formatVersion: 1,
    madeAt: '2026-01-01T00:00:00Z',
    garage: { file: '../../elsewhere.db', bytes: 1, sha256: 'a'.repeat(64) },
    files: [],
    missing: [],
  };
  writeFileSync(join(folder, MANIFEST), JSON.stringify(manifest));
  await expect(stageRestore(folder, here)).rejects.toThrow(/is not a complete backup/);
  expect(readdirSync(here)).toEqual([]);
});

test('what was there before a restore is kept in a folder of its own', async () => {
  const { dataFolder, garage } = await recordingGarage();
  const backup = join(temporaryFolder(), 'backup');
  await makeBackup(garage, dataFolder, backup);
  const here = temporaryFolder();
  const old = await openApp({ dataFolder: here, report: () => {} });
  await old.handle('garage.addDemo', null);
  const restored = await old.handle('garage.restore', { folder: backup });
  expect(restored).toMatchObject({ ok: true, value: { files: 2 } });
  // Until it is started again the program goes on with what it has.
  expect(await old.handle('vehicles.search', { text: 'demo estate' })).toMatchObject({ value: [{}] });
  await old.close();

  const app = await openApp({ dataFolder: here, report: () => {} });
  const notices: unknown[] = [];
  app.subscribe((event) => event.name === 'notice' && notices.push(event.payload));
  expect(await app.handle('vehicles.search', { text: '' })).toMatchObject({ value: [{ label: 'blue van' }] });
  await app.close();
  expect(JSON.stringify(notices)).toContain('before-restore-');
  const kept = readdirSync(here).find((name) => name.startsWith('before-restore-'))!;
  expect(readdirSync(join(here, kept))).toContain('garage.db');
  expect(newGarage(join(here, kept, 'garage.db')).vehicles.search('')).toHaveLength(9);
});

test('a restore that was interrupted while it took its place goes on at the next start', async () => {
  const { dataFolder, garage } = await recordingGarage();
  const backup = join(temporaryFolder(), 'backup');
  await makeBackup(garage, dataFolder, backup);
  const here = temporaryFolder();
  await stageRestore(backup, here);
  // As far as it came: the recordings were moved, the database was not.
  renameSync(join(here, 'restored', 'recordings'), join(here, 'recordings'));
  expect(takeRestored(here)).toEqual({ before: null });
  expect(existsSync(join(here, 'recordings', 'done.wav'))).toBe(true);
  expect(newGarage(join(here, 'garage.db')).vehicles.search('')).toHaveLength(1);
  expect(existsSync(join(here, 'restored'))).toBe(false);
});

test('a further backup copies only what is new, and keeps what the garage has deleted since', async () => {
  const { dataFolder, garage, recordings, append } = await recordingGarage();
  const backup = join(temporaryFolder(), 'backup');
  await makeBackup(garage, dataFolder, backup);
  const copy = join(backup, 'recordings', 'done.wav');
  const first = statSync(copy).ino;
  await append();
  await makeBackup(garage, dataFolder, backup);
  expect(statSync(copy).ino).toBe(first);
  rmSync(recordings.file('done.wav'));
  const made = await makeBackup(garage, dataFolder, backup);
  expect(made).toMatchObject({ files: 2, missing: [] });
  expect(readdirSync(backup).filter((name) => name.endsWith('.db'))).toHaveLength(1);

  const elsewhere = await makeBackup(garage, dataFolder, join(temporaryFolder(), 'another'));
  expect(elsewhere).toMatchObject({ files: 1, missing: ['done.wav'] });
});

test('a backup that cannot be made says so and leaves the earlier one complete', async () => {
  const { dataFolder, garage } = await recordingGarage();
  const backup = join(temporaryFolder(), 'backup');
  await makeBackup(garage, dataFolder, backup);
  const before = readFileSync(join(backup, MANIFEST), 'utf8');
  // A folder stands where the manifest would be written.
  mkdirSync(join(backup, `${MANIFEST}.unfinished`));
  await expect(makeBackup(garage, dataFolder, backup)).rejects.toThrow(/was not finished/);
  expect(readFileSync(join(backup, MANIFEST), 'utf8')).toBe(before);
  await stageRestore(backup, temporaryFolder());

  const file = join(temporaryFolder(), 'a file');
  writeFileSync(file, '');
  await expect(makeBackup(garage, dataFolder, file)).rejects.toThrow(GarageError);
});
