import { once } from 'node:events';
import { join } from 'node:path';
import { openApp } from '../service/open-app.ts';
import { openBrowser } from './browser.ts';
import { dataFolder } from './data-folder.ts';
import { serveLoopback } from './serve.ts';

/** A browser that ends this soon with an error never had a window. */
const STARTED_AFTER_MS = 5000;

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
  const loopback = await serveLoopback(app, { rendererDir });
  const ending = new AbortController();
  const end = () => ending.abort();
  process.once('SIGINT', end).once('SIGTERM', end);

  try {
    for (;;) {
      const startedAt = performance.now();
      const window = openBrowser(browser, loopback.url, join(folder, 'browser'));
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
