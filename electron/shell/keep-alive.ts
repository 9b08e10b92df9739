import { type BrowserWindow, ipcMain } from 'electron';
import { ALIVE } from './channels.ts';
import { isOwnPage, PAGE } from './protocol.ts';
import { load } from './window.ts';

const ASK_EVERY_MS = 1000;
/** A screen that leaves so many questions unanswered hangs. Counted, not timed: a computer may have slept. */
const HUNG_AFTER = 5;
const RELOAD_AFTER_MS = 200;
/** A page that crashes at once when loaded is not loaded again at once. */
const LONGEST_WAIT_MS = 10_000;
const SETTLED_AFTER_MS = 5000;

/** Brings the screens back when their process has crashed or hangs; capture and recording are not in it. */
export function keepAlive(window: BrowserWindow): void {
  const { webContents } = window;
  let loaded = false;
  let loadedAt = 0;
  let unanswered = 0;
  let wait = RELOAD_AFTER_MS;

  webContents.on('did-finish-load', () => {
    loaded = true;
    loadedAt = performance.now();
    unanswered = 0;
  });
  const onAlive = (event: Electron.IpcMainEvent): void => {
    if (event.sender === webContents) unanswered = 0;
  };
  ipcMain.on(ALIVE, onAlive);

  const asking = setInterval(() => {
    if (!loaded || webContents.isDevToolsOpened()) return;
    if (unanswered >= HUNG_AFTER) {
      webContents.forcefullyCrashRenderer();
    } else {
      unanswered += 1;
      webContents.send(ALIVE);
    }
  }, ASK_EVERY_MS);

  const bringBack = (): void => {
    const crashedAtOnce = performance.now() - loadedAt < SETTLED_AFTER_MS;
    wait = crashedAtOnce ? Math.min(wait * 2, LONGEST_WAIT_MS) : RELOAD_AFTER_MS;
    loaded = false;
    // Back to where the technician was, unless it is that very screen that crashes.
    const last = webContents.getURL();
    const url = !crashedAtOnce && isOwnPage(last) ? last : PAGE;
    setTimeout(() => {
      if (!window.isDestroyed()) void load(webContents, url);
    }, wait);
  };
  webContents.on('render-process-gone', bringBack);
  webContents.on('did-fail-load', (_, code, _description, _url, isMainFrame) => {
    const ABORTED = -3;
    if (isMainFrame && code !== ABORTED) bringBack();
  });

  window.on('closed', () => {
    clearInterval(asking);
    ipcMain.off(ALIVE, onAlive);
  });
}
