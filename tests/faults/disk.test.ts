/** Disks that are full, cannot be written to, or do not answer: the program with its demo drive on real mounts. */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { inspect, newFolder, openShop, until } from './shop.ts';

const MOUNT_MB = 230;

/** A small disk of its own in memory. */
function mount(folder: string): void {
  mkdirSync(folder, { recursive: true });
  execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${MOUNT_MB}m`, 'rumblepath-test', folder], {
    stdio: 'pipe',
  });
}
const unmount = (folder: string): void => void execFileSync('umount', ['--lazy', folder], { stdio: 'pipe' });
const remount = (folder: string, how: 'ro' | 'rw'): void =>
  void execFileSync('mount', ['-o', `remount,${how}`, folder], { stdio: 'pipe' });

function mountingWorks(): boolean {
  const folder = join('/tmp', `rumblepath-mount-${process.pid}`);
  try {
    mount(folder);
    unmount(folder);
    return true;
  } catch {
    return false;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
const CAN_MOUNT = process.platform === 'linux' && mountingWorks();

function smallDisk(folder = newFolder()): string {
  mount(folder);
  onTestFinished(() => unmount(folder));
  return folder;
}

/** Another program's file that leaves so many bytes. */
function fill(disk: string, leave: number): string {
  const path = join(disk, 'other-programs-file');
  const { bavail, bsize } = statfsSync(disk);
  execFileSync('fallocate', ['-l', String(bavail * bsize - leave), path]);
  return path;
}

it.runIf(!CAN_MOUNT)(
  'NOTICE: mounting is not allowed here, so full and read-only disks were not tried',
  () => {
    expect(CAN_MOUNT).toBe(false);
  },
);

describe.runIf(CAN_MOUNT)('a full disk', () => {
  it('that fills up ends the recording in time, complete, with a warning', { timeout: 60_000 }, async () => {
    const disk = smallDisk();
    const shop = await openShop(disk);
    await shop.openDemo();
    await shop.ask('live.record', { on: true });
    await sleep(1500);
    fill(disk, 190e6);
    expect(await until(12, () => shop.state?.phase === 'watching')).toBe(true);
    expect(shop.problems.at(-1)).toBe(
      'The disk is nearly full: the recording was ended and is complete so far. Free some space.',
    );
    await expect(shop.ask('live.record', { on: true })).rejects.toThrow(/disk is full/);
    await shop.close();

    const { faults, runs } = await inspect(disk);
    expect(faults).toEqual([]);
    expect(runs).toHaveLength(1);
    expect(runs[0]).toMatchObject({ state: 'complete', fileFrames: runs[0]!.frames, headerIsTrue: true });
    expect(runs[0]!.frames).toBeGreaterThan(48_000);
  });

  it('that another program fills at a stroke: told within two seconds, meters go on, run closed', {
    timeout: 60_000,
  }, async () => {
    const disk = smallDisk();
    const shop = await openShop(disk);
    await shop.openDemo();
    await shop.ask('live.record', { on: true });
    await until(10, () => (shop.state?.recording?.seconds ?? 0) > 1.5);
    const saved_s = shop.state!.recording!.seconds;
    const other = fill(disk, 0);
    expect(await until(2, () => shop.problems.length > 0)).toBe(true);
    expect(await until(5, () => shop.state?.phase === 'watching')).toBe(true);
    expect(shop.problems.join(' ')).toMatch(/disk is full|history could not be written/);
    const levels = shop.levels;
    await sleep(1000);
    expect(shop.levels - levels).toBeGreaterThan(10);
    expect(shop.state?.phase).toBe('watching');

    // Room again: the next recording works, and none is left as if it were still going on.
    rmSync(other);
    await shop.ask('live.record', { on: true });
    await sleep(1500);
    await shop.ask('live.record', { on: false });
    await shop.close();
    expect(shop.reported).toEqual([]);

    const { faults, runs } = await inspect(disk);
    expect(faults).toEqual([]);
    expect(runs.map((run) => run.state)).toEqual(['repaired', 'complete']);
    for (const run of runs) expect(run).toMatchObject({ fileFrames: run.frames, headerIsTrue: true });
    expect(runs[0]!.frames / runs[0]!.sampleRate_Hz).toBeGreaterThan(saved_s - 1);
  });

  it('at start-up is said in one sentence, and nothing is lost', async () => {
    const disk = smallDisk();
    const shop = await openShop(disk);
    await shop.ask('garage.addDemo', null);
    await shop.close();
    const other = fill(disk, 0);
    const opened = await openShop(disk).then(
      () => null,
      (error: Error) => error,
    );
    // SQLite may need no new room to open; where it does, the sentence is what counts.
    if (opened) expect(opened.message).toMatch(/disk is full|cannot be/);
    rmSync(other);
    expect((await inspect(disk)).faults).toEqual([]);
  });
});

describe.runIf(CAN_MOUNT)('a folder that cannot be written to', () => {
  it('refuses a recording with what to do, makes no run, and the meters go on', async () => {
    const folder = newFolder();
    const disk = smallDisk(join(folder, 'recordings'));
    const shop = await openShop(folder);
    await shop.openDemo();
    remount(disk, 'ro');
    await expect(shop.ask('live.record', { on: true })).rejects.toThrow(
      /could not be written: the folder cannot be written to; choose another one\.$/,
    );
    const levels = shop.levels;
    await sleep(500);
    expect(shop.levels - levels).toBeGreaterThan(5);
    expect(shop.state?.phase).not.toBe('recording');
    expect(await shop.ask('vehicles.search', { text: '' })).toEqual([]);

    remount(disk, 'rw');
    await shop.ask('live.record', { on: true });
    await shop.ask('live.record', { on: false });
    await shop.close();
    expect((await inspect(folder)).runs.map((run) => run.state)).toEqual(['complete']);
  });

  it('holds a garage that is not opened, and is told from one that another window has open', async () => {
    const disk = smallDisk();
    const shop = await openShop(disk);
    await shop.close();
    remount(disk, 'ro');
    await expect(openShop(disk)).rejects.toThrow(/cannot be written to|cannot be opened/);
    remount(disk, 'rw');
    const again = await openShop(disk);
    await expect(openShop(disk)).rejects.toThrow(/open already/);
    await again.close();
  });
});

/** Every write to a file of this process behaves as `how` says, until the test is over. */
async function slowWrites(how: (write: () => Promise<unknown>) => Promise<unknown>): Promise<() => void> {
  const probe = await open('/dev/null');
  const prototype = Object.getPrototypeOf(probe) as FileHandle;
  await probe.close();
  const write = prototype.write as (...args: unknown[]) => Promise<unknown>;
  const spy = vi.spyOn(prototype, 'write').mockImplementation(function (
    this: FileHandle,
    ...args: unknown[]
  ) {
    return how(() => write.apply(this, args)) as never;
  } as never);
  const restore = () => spy.mockRestore();
  onTestFinished(restore);
  return restore;
}

describe('a slow disk', () => {
  it('that pauses for two seconds costs nothing', { timeout: 30_000 }, async () => {
    const folder = newFolder();
    const shop = await openShop(folder);
    await shop.openDemo();
    await shop.ask('live.record', { on: true });
    let paused = false;
    const restore = await slowWrites(async (write) => {
      if (!paused) await sleep(2000);
      paused = true;
      return write();
    });
    await sleep(3000);
    restore();
    await shop.ask('live.record', { on: false });
    await shop.close();
    expect(shop.problems).toEqual([]);
    const { runs } = await inspect(folder);
    expect(runs[0]).toMatchObject({ state: 'complete', fileFrames: runs[0]!.frames, gaps: [] });
  });

  it('that stands still ends the recording with a warning; meters and program go on', {
    timeout: 60_000,
  }, async () => {
    const folder = newFolder();
    const shop = await openShop(folder);
    await shop.openDemo();
    await shop.ask('live.record', { on: true });
    await sleep(1500);
    const hung: (() => void)[] = [];
    const restore = await slowWrites((write) => new Promise((resolve) => hung.push(() => resolve(write()))));
    expect(await until(15, () => shop.problems.some((text) => /disk is too slow/.test(text)))).toBe(true);
    const levels = shop.levels;
    expect(await until(5, () => shop.state?.phase === 'watching')).toBe(true);
    await until(2, () => shop.levels - levels > 10);
    expect(shop.levels - levels).toBeGreaterThan(10);
    expect(shop.reported).toEqual([]);

    restore();
    for (const go of hung) go();
    await shop.ask('live.record', { on: true });
    await shop.ask('live.record', { on: false });
    await shop.close();
    const { faults, runs } = await inspect(folder);
    expect(faults).toEqual([]);
    expect(runs.map((run) => run.state)).toEqual(['repaired', 'complete']);
    expect(runs[0]!.frames).toBeGreaterThan(24_000);
    expect(runs[0]!.fileFrames).toBeGreaterThanOrEqual(runs[0]!.frames);
    expect(existsSync(join(folder, 'recordings', runs[0]!.file))).toBe(true);
    expect(readdirSync(join(folder, 'recordings'))).toHaveLength(2);
    writeFileSync(join(folder, 'still-writable'), '');
  });
});
