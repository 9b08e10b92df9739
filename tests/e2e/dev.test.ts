import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm, utimes } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { root } from '../../build/bundle.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { screen } from './hands.ts';

/** `npm run dev` as a contributor uses it. */

let folder: string;
let dev: ChildProcess;
let said = '';
let browser: Browser;
let page: Page;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-dev-'));
  dev = spawn(process.execPath, ['build/dev.ts'], {
    cwd: root,
    env: { ...process.env, RUMBLEPATH_DATA: folder },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  for (const stream of [dev.stdout!, dev.stderr!]) {
    stream.setEncoding('utf8').on('data', (text) => {
      said += text;
    });
  }
  await vi.waitFor(() => expect(said).toContain('Open http://127.0.0.1:'), { timeout: 30_000 });
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
  page = await browser.newPage();
  await page.goto(/Open (\S+)/.exec(said)![1]!);
}, 90_000);

afterAll(async () => {
  await browser?.close();
  dev?.kill('SIGKILL');
  await rm(folder, { recursive: true, force: true, maxRetries: 10 });
});

it('shows the screens, connected to the main side', async () => {
  await screen(page, 'Vehicles').waitFor({ timeout: 30_000 });
});

it('starts the main side again when a file of it changes, and the page finds it again', async () => {
  const bus = page.waitForEvent('websocket', { predicate: (socket) => socket.url().endsWith('/bus') });
  await utimes(join(root, 'electron/service/open-app.ts'), new Date(), new Date());
  await bus;
  await screen(page, 'Vehicles').waitFor();
});

it('ends when it is interrupted', async () => {
  const ended = once(dev, 'exit');
  dev.kill('SIGINT');
  await ended;
  await expect(fetch(/Open (\S+)#/.exec(said)![1]!)).rejects.toThrow();
});
