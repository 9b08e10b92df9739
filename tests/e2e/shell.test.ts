import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ElectronApplication, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { AppEvent } from '../../shared/contract/requests.ts';
import { type Display, startDisplay } from './display.ts';
import type { FakeApp } from './fake-app.ts';
import { type ShellApp, shellApp } from './shell-app.ts';

/** The shell alone, with a small page and an app that only counts: what the window may and may not do. */

declare global {
  interface Window {
    events: AppEvent[];
  }
  var fakeApp: FakeApp;
}

const PAGE = `<!doctype html><html lang="en"><title>Rumblepath</title><h1>screens</h1>
<script src="app.js"></script></html>`;
const SCRIPT = `
window.events = [];
window.rumblepath.request('live.state', null);
window.rumblepath.subscribe((event) => window.events.push(event));
addEventListener('keydown', (event) => {
  const channel = Number(event.key);
  if (channel > 0) window.rumblepath.request('live.hear', { channel });
});
`;

let display: Display;
let screens: string;
let shell: ShellApp;
let electron: ElectronApplication;
let page: Page;
let outside: Server;
let outsideUrl: string;
let asked: string[] = [];

beforeAll(async () => {
  outside = createServer((request, response) => {
    asked.push(request.url!);
    response.setHeader('Access-Control-Allow-Origin', '*').end('<h1>elsewhere</h1>');
  }).listen(0, '127.0.0.1');
  await new Promise((resolve) => outside.once('listening', resolve));
  outsideUrl = `http://127.0.0.1:${(outside.address() as AddressInfo).port}`;

  screens = await mkdtemp(join(tmpdir(), 'rumblepath-screens-'));
  await writeFile(join(screens, 'index.html'), PAGE);
  await writeFile(join(screens, 'app.js'), SCRIPT);
  [display, shell] = await Promise.all([
    startDisplay(),
    shellApp(join(import.meta.dirname, 'fake-main.ts'), screens),
  ]);
  electron = await shell.launch({ DISPLAY: display.DISPLAY });
  page = await electron.firstWindow();
}, 180_000);

afterAll(async () => {
  await shell?.remove();
  display?.close();
  outside?.close();
  if (screens) await rm(screens, { recursive: true });
});

beforeEach(() => {
  asked = [];
});

const callsToApp = () => electron.evaluate(() => globalThis.fakeApp.calls);
describe('window', () => {
  it('shows the built screens under the own protocol', async () => {
    await page.waitForLoadState();
    expect(page.url()).toBe('rumblepath://app/');
    expect(await page.textContent('h1')).toBe('screens');
    await expect
      .poll(() => electron.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]!.isVisible()))
      .toBe(true);
  });

  it('gets live levels about 30 times a second', async () => {
    const frames = () =>
      page.evaluate(() =>
        window.events.flatMap((event) => (event.name === 'live.levels' ? event.payload.frame : [])),
      );
    const before = (await frames()).length;
    await new Promise((resolve) => setTimeout(resolve, 2000));
    const all = await frames();
    expect(all.length - before).toBeGreaterThan(30);
    expect(all.every((frame, i) => i === 0 || frame === all[i - 1]! + 1600)).toBe(true);
  });

  it('carries a key press to the app and its answer back', async () => {
    await page.keyboard.press('2');
    await expect.poll(callsToApp).toContainEqual({ name: 'live.hear', input: { channel: 2 } });
    const state = await page.evaluate(() => window.rumblepath!.request('live.state', null));
    expect(state).toMatchObject({ ok: true, value: { heard: 2 } });
  });
});

describe('renderer', () => {
  it('has the two functions of the preload script and no Node', async () => {
    const seen = await page.evaluate(() => ({
      api: Object.keys(window.rumblepath!).sort(),
      node: [
        'require',
        'process',
        'module',
        'Buffer',
        'global',
        'electron',
        'ipcRenderer',
        '__dirname',
      ].filter((name) => name in window),
    }));
    expect(seen).toEqual({ api: ['request', 'subscribe'], node: [] });
  });

  it('runs sandboxed and isolated', async () => {
    const preferences = await electron.evaluate(({ BrowserWindow }) => {
      const contents = BrowserWindow.getAllWindows()[0]!.webContents as unknown as {
        getLastWebPreferences(): Record<string, unknown>;
      };
      return contents.getLastWebPreferences();
    });
    expect(preferences).toMatchObject({
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
    });
    expect(preferences.webviewTag).not.toBe(true);
    expect(preferences.allowRunningInsecureContent).not.toBe(true);
    expect(preferences.experimentalFeatures).not.toBe(true);
  });

  it('is refused names outside the contract before they leave it', async () => {
    const names = ['no.such', 'constructor', '__proto__'];
    const replies = await page.evaluate(
      (asked) => Promise.all(asked.map((name) => window.rumblepath!.request(name as never, null))),
      names,
    );
    expect(replies.map((reply) => reply.ok)).toEqual([false, false, false]);
    expect((await callsToApp()).map(({ name }) => name)).not.toEqual(expect.arrayContaining(names));
  });

  it.each([
    [
      'script text in the page',
      "document.head.append(Object.assign(document.createElement('script'), { text: 'window.bad = 1' }))",
    ],
    ['evaluated text', "setTimeout('window.bad = 1')"],
    [
      'a handler in markup',
      'document.body.insertAdjacentHTML("beforeend", "<img src=x onerror=\'window.bad = 1\'>")',
    ],
    [
      'remote script',
      "document.head.append(Object.assign(document.createElement('script'), { src: 'OUTSIDE/bad.js' }))",
    ],
    [
      'remote image',
      "document.body.append(Object.assign(document.createElement('img'), { src: 'OUTSIDE/bad.png' }))",
    ],
    [
      'remote frame',
      "document.body.append(Object.assign(document.createElement('iframe'), { src: 'OUTSIDE/' }))",
    ],
    ['fetch', "fetch('OUTSIDE/').catch(() => {})"],
    ['a socket', "new WebSocket('OUTSIDE/'.replace('http', 'ws'))"],
    ['a file', "fetch('file:///etc/passwd').then(() => { window.bad = 1 }, () => {})"],
  ])('cannot load %s', async (_, attempt) => {
    await page.evaluate(`void (${attempt.replace('OUTSIDE', outsideUrl)})`);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(await page.evaluate(() => 'bad' in window)).toBe(false);
    expect(asked).toEqual([]);
  });

  it.each([
    '/../package.json',
    '/%2e%2e/package.json',
    '/..%2fmain/main.js',
    '//etc/passwd',
    '/main/main.js',
  ])('gets nothing outside the screens from the protocol: %s', async (path) => {
    const status = await page.evaluate(
      (url) =>
        fetch(url).then(
          (response) => response.status,
          () => 0,
        ),
      `rumblepath://app${path}`,
    );
    expect([0, 404]).toContain(status);
  });

  it('cannot navigate away', async () => {
    for (const url of [
      outsideUrl,
      'file:///etc/passwd',
      'rumblepath://elsewhere/',
      'javascript:document.write(1)',
    ]) {
      await page.evaluate((to) => location.assign(to), url);
      await new Promise((resolve) => setTimeout(resolve, 200));
      expect(page.url()).toBe('rumblepath://app/');
    }
    expect(asked).toEqual([]);
    expect(await page.textContent('h1')).toBe('screens');
  });

  it('comes back from an empty page', async () => {
    await page.evaluate(() => location.assign('about:blank'));
    await expect.poll(() => page.textContent('h1').catch(() => ''), { timeout: 5000 }).toBe('screens');
  });

  it('cannot open another window', async () => {
    const opened = await page.evaluate(
      (url) => [window.open(url), window.open('rumblepath://app/')],
      outsideUrl,
    );
    expect(opened).toEqual([null, null]);
    expect(electron.windows()).toHaveLength(1);
  });

  it('is denied every permission', async () => {
    const answers = await page.evaluate(async () => {
      const microphone = navigator.mediaDevices.getUserMedia({ audio: true });
      const place = new Promise((resolve, reject) =>
        navigator.geolocation.getCurrentPosition(resolve, reject),
      );
      const results = await Promise.allSettled([microphone, place]);
      return [
        ...results.map(({ status }) => status),
        Notification.permission,
        await Notification.requestPermission(),
      ];
    });
    expect(answers).toEqual(['rejected', 'rejected', 'denied', 'denied']);
  });
});

describe('main process', () => {
  it('refuses a request from a frame that is not our page', async () => {
    const answer = await electron.evaluate(async ({ BrowserWindow }) => {
      const stranger = new BrowserWindow({
        show: false,
        // On purpose without any isolation: a page that could send whatever it likes.
        webPreferences: { nodeIntegration: true, contextIsolation: false, sandbox: false },
      });
      try {
        await stranger.loadURL('data:text/html,stranger');
        return await stranger.webContents.executeJavaScript(
          "require('electron').ipcRenderer.invoke('rumblepath:request', 'vehicles.search', { text: 'stranger' }).then(() => 'answered', (error) => error.message)",
        );
      } finally {
        stranger.destroy();
      }
    });
    expect(answer).not.toBe('answered');
    expect(await callsToApp()).not.toContainEqual({ name: 'vehicles.search', input: { text: 'stranger' } });
  });

  it('goes on while the screens crash or hang, and brings them back', async () => {
    const shell = await shellApp(join(import.meta.dirname, 'recovery-main.ts'), screens);
    const printed = JSON.parse(await shell.run({ DISPLAY: display.DISPLAY }));
    await shell.remove();
    const [first, afterCrash, afterHang] = printed.appearedAtFrame;
    expect(afterCrash).toBeGreaterThan(first);
    expect(afterHang).toBeGreaterThan(afterCrash);
    // At 48 kHz: half a second until the crash or hang; a hang is given five seconds before it is believed.
    expect(afterCrash - first).toBeLessThan(10 * 48_000);
    expect(afterHang - afterCrash).toBeLessThan(20 * 48_000);
    expect(printed.longestPause_ms).toBeLessThan(2000);
  });

  it('starts once only: a second start brings the first window to the front and ends', async () => {
    const second = shell.launch({ DISPLAY: display.DISPLAY });
    await second.then(
      (other) => new Promise((resolve) => other.process().once('exit', resolve)),
      // Gone before the test driver could talk to it.
      () => {},
    );
    expect(electron.windows()).toHaveLength(1);
    expect(electron.process().exitCode).toBeNull();
  });

  it('closes the app before it ends with its window', async () => {
    const ended = new Promise<number | null>((resolve) => electron.process().once('exit', resolve));
    const output: string[] = [];
    electron.process().stdout!.on('data', (data) => output.push(String(data)));
    await electron.evaluate(() => {
      const close = globalThis.fakeApp.close;
      globalThis.fakeApp.close = async () => {
        await close();
        console.log('app closed');
      };
    });
    await electron.evaluate(({ BrowserWindow }) => {
      setTimeout(() => BrowserWindow.getAllWindows()[0]!.close(), 50);
    });
    expect(await ended).toBe(0);
    expect(output.join('')).toContain('app closed');
  });
});
