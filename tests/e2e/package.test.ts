import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { cp, mkdtemp, readFile, rename, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { createPackageWithOptions, extractAll } from '@electron/asar';
import { FuseV1Options, getCurrentFuseWire } from '@electron/fuses';
import { chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { root } from '../../build/bundle.ts';
import { packageProgram } from '../../build/package.ts';
import { sandboxSwitches } from '../../electron/host/browser.ts';
import { type Display, startDisplay } from './display.ts';
import { type ElectronRuntime, electronRuntime } from './electron-runtime.ts';
import { levels, screen } from './hands.ts';
import { VirtualInterface } from './virtual-interface.ts';

/** The program as it is shipped for Linux, unpacked: what is in it, how it is locked, and that it runs. */

let folder: string;
let program: string;
let display: Display;
let audio: VirtualInterface;
let running: ChildProcess;
let page: Page;

/** The runtime's folder under the names that electron-builder expects. */
async function runtimeFolder(runtime: ElectronRuntime): Promise<string> {
  const copy = join(folder, 'electron');
  await cp(dirname(runtime.executable), copy, { recursive: true });
  if (basename(runtime.executable) !== 'electron') {
    await rename(join(copy, basename(runtime.executable)), join(copy, 'electron'));
  }
  await rm(join(copy, 'resources/app'), { recursive: true, force: true });
  return copy;
}

/** The stand-in runtime cannot load better-sqlite3: see shell-app.ts. */
async function putLibsqlIn(resources: string): Promise<void> {
  const archive = join(resources, 'app.asar');
  const content = join(folder, 'content');
  extractAll(archive, content);
  const modules = join(content, 'node_modules');
  await rm(join(modules, 'better-sqlite3'), { recursive: true });
  await cp(join(root, 'node_modules/libsql'), join(modules, 'better-sqlite3'), { recursive: true });
  for (const scope of ['@libsql', '@neon-rs']) {
    await cp(join(root, 'node_modules', scope), join(modules, scope), { recursive: true });
  }
  await createPackageWithOptions(content, archive, { unpack: '**/*.node' });
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-package-'));
  const runtime = await electronRuntime();
  const version =
    runtime.version ??
    JSON.parse(await readFile(join(root, 'node_modules/electron/package.json'), 'utf8')).version;
  await packageProgram([
    '--linux',
    '--dir',
    `-c.electronVersion=${version}`,
    `-c.electronDist=${await runtimeFolder(runtime)}`,
    `-c.directories.output=${folder}`,
  ]);
  program = join(folder, 'linux-unpacked');
  if (!runtime.loadsNativeModules) await putLibsqlIn(join(program, 'resources'));
  [audio, display] = await Promise.all([VirtualInterface.start(), startDisplay()]);

  running = spawn(join(program, 'rumblepath'), ['--remote-debugging-port=0', ...sandboxSwitches()], {
    env: { ...process.env, ...audio.env, DISPLAY: display.DISPLAY, RUMBLEPATH_DATA: join(folder, 'data') },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const address = await new Promise<string>((resolve, reject) => {
    let said = '';
    running.stderr!.setEncoding('utf8').on('data', (text) => {
      said += text;
      const found = /ws:\/\/(127\.0\.0\.1:\d+)/.exec(said);
      if (found) resolve(`http://${found[1]}`);
    });
    running.once('exit', (code) => reject(new Error(`ended with ${code}: ${said}`)));
  });
  // Connecting while the window is still being made can wait for ever.
  await vi.waitFor(
    async () => {
      const targets = await (await fetch(`${address}/json/list`)).json();
      expect(targets).toContainEqual(expect.objectContaining({ type: 'page', url: 'rumblepath://app/' }));
    },
    { timeout: 60_000 },
  );
  const browser = await chromium.connectOverCDP(address);
  const [context] = browser.contexts();
  page = context!.pages()[0] ?? (await context!.waitForEvent('page'));
}, 240_000);

afterAll(async () => {
  running?.kill('SIGKILL');
  display?.close();
  await audio?.stop();
  // Its last processes may still write when the first has ended.
  await rm(folder, { recursive: true, force: true, maxRetries: 10 });
});

it('shows its screens and plays the demo drive', async () => {
  await screen(page, 'Vehicles').waitFor();
  expect(page.url()).toMatch(/^rumblepath:\/\/app\//);
  await page.getByRole('link', { name: 'Set up' }).press('Enter');
  await page.getByRole('radio', { name: /Demo drive/ }).press('Space');
  await page.getByRole('button', { name: 'Connect' }).press('Enter');
  await expect
    .poll(async () => (await levels(page).catch(() => [])).filter((level) => level > 0).length, {
      timeout: 15_000,
    })
    .toBe(8);
});

it('finds the interfaces with the child program out of its archive', async () => {
  const reply = await page.evaluate(() => window.rumblepath!.request('live.devices', null));
  expect(reply).toMatchObject({
    ok: true,
    value: expect.arrayContaining([expect.objectContaining({ name: VirtualInterface.INPUT })]),
  });
});

it('is locked: no Node from outside, no program but its own', async () => {
  const fuses = await getCurrentFuseWire(join(program, 'rumblepath'));
  const on = '1'.charCodeAt(0);
  const isOn = (fuse: FuseV1Options) => fuses[fuse] === on;
  expect({
    runAsNode: isOn(FuseV1Options.RunAsNode),
    nodeOptions: isOn(FuseV1Options.EnableNodeOptionsEnvironmentVariable),
    inspect: isOn(FuseV1Options.EnableNodeCliInspectArguments),
    fileRights: isOn(FuseV1Options.GrantFileProtocolExtraPrivileges),
    onlyArchive: isOn(FuseV1Options.OnlyLoadAppFromAsar),
    archiveChecked: isOn(FuseV1Options.EnableEmbeddedAsarIntegrityValidation),
    cookiesEncrypted: isOn(FuseV1Options.EnableCookieEncryption),
  }).toEqual({
    runAsNode: false,
    nodeOptions: false,
    inspect: false,
    fileRights: false,
    onlyArchive: true,
    archiveChecked: true,
    cookiesEncrypted: true,
  });
});

it('carries its licence and a bill of materials with the licence of every part', async () => {
  await readFile(join(program, 'resources/LICENSE'));
  const bill = JSON.parse(await readFile(join(program, 'resources/sbom.cdx.json'), 'utf8'));
  expect(bill.bomFormat).toBe('CycloneDX');
  const names = bill.components.map(({ name }: { name: string }) => name);
  expect(names).toEqual(
    expect.arrayContaining(['better-sqlite3', 'naudiodon', 'serialport', 'react', 'zod']),
  );
  const unlicensed = bill.components.filter(({ licenses }: { licenses?: unknown[] }) => !licenses?.length);
  expect(unlicensed.map(({ name }: { name: string }) => name)).toEqual([]);
});

it('ends cleanly when it is told to', async () => {
  const ended = once(running, 'exit');
  running.kill('SIGTERM');
  expect(await ended).toEqual([0, null]);
});
