import { once } from 'node:events';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { App } from '../service/app.ts';
import { openApp } from '../service/open-app.ts';
import { openBrowser } from './browser.ts';
import { dataFolder } from './data-folder.ts';
import { type Loopback, serveLoopback } from './serve.ts';

/** A browser that ends this soon with an error never had a window. */
const STARTED_AFTER_MS = 5000;

/**
 * Serves on the port of the last time, where that is free: a browser keeps a page's settings by its address.
 */
async function serveOnSamePort(app: App, rendererDir: string, portFile: string): Promise<Loopback> {
  const last = Number(await readFile(portFile, 'utf8').catch(() => 0));
  const loopback = await serveLoopback(app, { rendererDir, port: last }).catch(() =>
    serveLoopback(app, { rendererDir }),
  );
  await mkdir(dirname(portFile), { recursive: true });
  await writeFile(portFile, new URL(loopback.url).port);
  return loopback;
}

/**
 * Runs the program behind the loopback host, with its screens in a browser window, until that is closed or the
 * program is told to end. A window that crashes is opened again; the recording goes on meanwhile.
 * @param rendererDir folder of the built screens
 * @param browser executable of a Chromium or Chrome
 * @throws when the browser cannot be started
 */
export async function runInBrowser(rendererDir: string, browser: string): Promise<void> {
  const folder = dataFolder();
  const app = await openApp({ dataFolder: folder });
  const profile = join(folder, 'browser');
  const loopback = await serveOnSamePort(app, rendererDir, join(profile, 'rumblepath-port'));
  const ending = new AbortController();
  const end = () => ending.abort();
  process.once('SIGINT', end).once('SIGTERM', end);

  try {
    for (;;) {
      const startedAt = performance.now();
      const window = openBrowser(browser, loopback.url, profile);
      ending.signal.addEventListener('abort', () => window.kill());
      const [code] = await once(window, 'exit');
      if (code === 0 || ending.signal.aborted) return;
      if (performance.now() - startedAt < STARTED_AFTER_MS) {
        throw new Error(`${browser} could not open a window (exit code ${code}).`);
      }
    }
  } finally {
    process.off('SIGINT', end).off('SIGTERM', end);
    await loopback.close();
    await app.close();
  }
}
