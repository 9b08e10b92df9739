/** kill -9 at random moments over everything that writes; recordings have a test of their own (tests/recording). */
import { fork } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { MANIFEST } from '../../electron/backup/manifest.ts';
import { stageRestore, takeRestored } from '../../electron/backup/restore.ts';
import { readBundle } from '../../electron/bundles/read-bundle.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import { inspect, newFolder, openShop, sized } from './shop.ts';

const KILLS = sized(3, 40);
const RATE = 8000;

let base: string;

/** A garage with one visit in `data`, its bundle and its backup beside it. */
beforeAll(async () => {
  base = newBase();
  const bundle = join(base, 'bundle');
  mkdirSync(bundle);
  const channels = [1, 2, 3].map((channel) => ({ channel, role: 'vibration', position: `hub ${channel}` }));
  const runs = [];
  for (const file of ['run-1.wav', 'run-2.wav']) {
    const writer = await WavWriter.create(join(bundle, file), { channels: 3, sampleRate_Hz: RATE });
    const second = Array.from({ length: 3 }, (_, c) =>
      Float32Array.from({ length: RATE }, (_, i) => 0.1 * Math.sin((0.1 + 0.05 * c) * i)),
    );
    for (let s = 0; s < 3; s++) writer.write(second, RATE);
    await writer.close();
    runs.push({ file, startedAt: '2026-01-01T10:00:00Z', channels, speed: null, segments: [] });
  }
  writeFileSync(
    join(bundle, 'visit.json'),
    JSON.stringify({ formatVersion: 1, vehicle: { label: 'van', layout: 'rwd' }, runs }),
  );
  const app = await openApp({ dataFolder: join(base, 'data') });
  expect(await app.handle('bundles.import', { folder: bundle, vehicleId: null })).toMatchObject({ ok: true });
  expect(await app.handle('garage.backUp', { folder: join(base, 'backup') })).toMatchObject({ ok: true });
  await app.close();
  return () => rmSync(base, { recursive: true, force: true });
}, 60_000);

function newBase(): string {
  const folder = join('/tmp', `rumblepath-power-${process.pid}`);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
  return folder;
}

/** Lets the work go on for a random while, kills its process, and returns where it left things. */
async function workAndKill(
  kind: string,
  longest_ms: number,
): Promise<{ around: string; data: string; after_ms: number }> {
  const around = newFolder();
  cpSync(base, around, { recursive: true });
  const data = join(around, 'data');
  const after_ms = Math.round(Math.random() * longest_ms);
  const child = fork(join(import.meta.dirname, 'children', 'work-until-killed.ts'), [kind, data, around], {
    stdio: 'inherit',
  });
  onTestFinished(() => void child.kill('SIGKILL'));
  await new Promise<void>((resolve, reject) => {
    child.once('message', () => setTimeout(() => child.kill('SIGKILL'), after_ms));
    child.once('exit', (_, signal) =>
      signal === 'SIGKILL' ? resolve() : reject(new Error(`${kind} ended by itself`)),
    );
  });
  return { around, data, after_ms };
}

const filesBelow = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort();

/** Starts the program once, as the technician would, and looks for anything that belongs to nothing. */
async function expectWhole(data: string, when: string): Promise<string[]> {
  const shop = await openShop(data);
  await shop.close();
  expect(shop.reported, when).toEqual([]);
  const { faults, runs } = await inspect(data);
  expect(faults, when).toEqual([]);
  for (const run of runs) {
    expect(run.state, when).toBe('complete');
    expect(run.fileFrames, when).toBe(run.frames);
  }
  expect(readdirSync(join(data, 'recordings')).sort(), when).toEqual(runs.map((run) => run.file).sort());
  expect(
    filesBelow(data).filter((name) => /unfinished|importing|rendering/.test(name)),
    when,
  ).toEqual([]);
  return shop.notices;
}

describe(`kill -9, ${KILLS} times each`, () => {
  const each = (
    kind: string,
    longest_ms: number,
    check: (left: { around: string; data: string }, when: string) => Promise<void>,
  ) =>
    it(kind, { timeout: KILLS * 20_000 }, async () => {
      for (let i = 0; i < KILLS; i++) {
        const { after_ms, ...left } = await workAndKill(kind, longest_ms);
        await check(left, `${kind}, killed after ${after_ms} ms`);
        rmSync(left.around, { recursive: true, force: true });
      }
    });

  each('import', 4000, async ({ data }, when) => {
    const shown = readdirSync(join(data, 'recordings')).filter((name) => name.endsWith('.importing'));
    const notices = await expectWhole(data, when);
    // What start-up removes it says.
    if (shown.length > 0) expect(notices.join(), when).toMatch(/unfinished file/);
    // Each visit is there with both runs, or not at all.
    expect((await inspect(data)).runs.length % 2, when).toBe(0);
  });

  each('export', 300, async ({ around, data }, when) => {
    await expectWhole(data, when);
    for (const name of readdirSync(around).filter((n) => n.startsWith('exported-')))
      expect((await readBundle(join(around, name))).files, when).toHaveLength(2);
    // The same name again: what was left of it is no hindrance.
    const unfinished = readdirSync(around).find((n) => n.startsWith('.exported-'));
    const out = unfinished?.slice(1, -'.unfinished'.length) ?? 'exported-again';
    const shop = await openShop(data);
    await shop.ask('bundles.export', { visitId: 1, folder: join(around, out) });
    await shop.close();
    expect(
      readdirSync(around).filter((n) => n.startsWith('.')),
      when,
    ).toEqual([]);
  });

  each('backup', 800, async ({ around, data }, when) => {
    await expectWhole(data, when);
    // The backup that stands there is whole, and a machine that has nothing gets all of it.
    const machine = newFolder();
    await stageRestore(join(around, 'backup'), machine);
    takeRestored(machine);
    await expectWhole(machine, when);
    const shop = await openShop(data);
    await shop.ask('garage.backUp', { folder: join(around, 'backup') });
    await shop.close();
    const files = readdirSync(join(around, 'backup'));
    expect(
      files.filter((name) => name.startsWith('garage-')),
      when,
    ).toHaveLength(1);
    expect(
      filesBelow(join(around, 'backup')).filter((name) => name.includes('unfinished')),
      when,
    ).toEqual([]);
    expect(existsSync(join(around, 'backup', MANIFEST)), when).toBe(true);
  });

  each('restore', 1500, async ({ data }, when) => {
    await expectWhole(data, when);
    expect((await inspect(data)).runs, when).toHaveLength(2);
  });

  each('report', 800, async ({ data }, when) => {
    await expectWhole(data, when);
    const reports = join(data, 'reports');
    for (const name of existsSync(reports) ? readdirSync(reports) : [])
      expect(readFileSync(join(reports, name), 'utf8').trimEnd(), when).toMatch(/<\/html>$/);
  });
});

it('start-up removes what belongs to nothing, says so, and never touches sound or another process’s work', async () => {
  const data = newFolder();
  cpSync(join(base, 'data'), data, { recursive: true });
  const recordings = join(data, 'recordings');
  const [mine] = readdirSync(recordings);
  const ended = 2 ** 22 + 1; // beyond the largest process number of Linux
  const gone = [
    'imported-without-row.wav',
    `imported-x.wav.${ended}.importing`,
    'demo-1.wav.rendering',
    '2026-01-01T00-00-00-000Z.wav',
  ];
  for (const name of gone) writeFileSync(join(recordings, name), '');
  mkdirSync(join(data, `restore.${ended}.unfinished`, 'recordings'), { recursive: true });
  // Process 1 runs everywhere that this test does.
  const stays = ['imported-y.wav.1.importing', 'sound-without-row.wav'];
  writeFileSync(join(recordings, stays[0]!), '');
  cpSync(join(recordings, mine!), join(recordings, stays[1]!));

  const shop = await openShop(data);
  await shop.close();
  expect(shop.notices).toEqual(['5 unfinished files that an interruption had left were removed.']);
  const there = readdirSync(recordings);
  for (const name of gone) expect(there).not.toContain(name);
  for (const name of stays) expect(there).toContain(name);
  expect(filesBelow(data).filter((name) => name.startsWith('restore'))).toEqual([]);
});
