import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { bundle, root } from '../../build/bundle.ts';
import { installedElectron } from '../../build/electron.ts';

/** `npm start` as a user types it, on a computer without a display and on one without an Electron runtime. */

let folder: string;
let report: string;

beforeEach(async () => {
  await bundle();
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-start-'));
  report = join(folder, 'report.json');
}, 60_000);

afterEach(() => rm(folder, { recursive: true, maxRetries: 10 }));

function start(env: Record<string, string>, line: readonly string[] = ['npm', 'start', '--silent']) {
  const { DISPLAY, WAYLAND_DISPLAY, ...bare } = process.env;
  const [command, ...args] = line;
  const child = spawn(command!, args, {
    cwd: root,
    env: { ...bare, RUMBLEPATH_DATA: join(folder, 'data'), STAND_IN_REPORT: report, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
    // A group of its own, so that it can be interrupted as a terminal does it.
    detached: true,
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8').on('data', (text) => {
      said += text;
    });
  }
  return { child, said: () => said, ended: once(child, 'exit').then(([code]) => code as number | null) };
}

const browser = (more: Record<string, string> = {}) => ({
  DISPLAY: ':none',
  RUMBLEPATH_BROWSER: join(import.meta.dirname, 'browser-stand-in.ts'),
  ...more,
});

it('says that there is no display, and names the command that needs none', async () => {
  const { said, ended } = start({});
  expect(await ended).toBe(1);
  expect(said().trim().split('\n')).toHaveLength(2);
  expect(said()).toContain('no display');
  expect(said()).toContain('npm run -s cli -- demo');
});

// Where the Electron runtime is installed, it is used, and the tests of the shell cover it.
it.runIf(installedElectron() === undefined)(
  'opens the screens in the installed browser and ends with its window',
  async () => {
    const { said, ended } = start(browser({ STAND_IN_CLOSES: 'yes' }));
    expect(await ended, said()).toBe(0);
    expect(said().trim().split('\n')).toHaveLength(1);
    expect(said()).toContain('Electron runtime could not be downloaded');

    const seen = JSON.parse(await readFile(report, 'utf8'));
    expect(seen).toMatchObject({ status: 200, reply: { ok: true, value: { phase: 'idle' } } });
    expect(seen.arguments).toContain(`--user-data-dir=${join(folder, 'data/browser')}`);
    expect(existsSync(join(folder, 'data'))).toBe(true);
  },
);

it('opens the browser when Electron is there but cannot start', async () => {
  const { said, ended } = start(browser({ STAND_IN_CLOSES: 'yes', RUMBLEPATH_ELECTRON: '/bin/false' }));
  expect(await ended, said()).toBe(0);
  expect(said().trim().split('\n')).toHaveLength(1);
  expect(said()).toContain('Electron runtime could not be started');
  expect(existsSync(report)).toBe(true);
});

it('says what is missing when there is neither Electron nor a browser', async () => {
  const nothing = { DISPLAY: ':none', RUMBLEPATH_ELECTRON: '/bin/false', PATH: folder };
  const { said, ended } = start(nothing, [process.execPath, 'build/start.ts']);
  expect(await ended).toBe(1);
  expect(said()).toContain('neither Chromium nor Chrome is installed');
});

it.runIf(installedElectron() === undefined)('ends everything when it is interrupted', async () => {
  const { child, ended } = start(browser());
  await expect.poll(() => existsSync(report), { timeout: 20_000 }).toBe(true);
  const seen = JSON.parse(await readFile(report, 'utf8'));
  const { port } = new URL(seen.arguments[0].slice('--app='.length));

  process.kill(-child.pid!, 'SIGINT');
  await ended;
  const answers = () =>
    new Promise<boolean>((resolve) => {
      const socket = connect(Number(port), '127.0.0.1', () => {
        socket.destroy();
        resolve(true);
      }).once('error', () => resolve(false));
    });
  await expect.poll(answers, { timeout: 5000 }).toBe(false);
});
