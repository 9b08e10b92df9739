import { type BrowserWindow, ipcMain } from 'electron';
import { ALIVE } from './channels.ts';
import { load } from './window.ts';

const ASK_EVERY_MS = 1000;
/** A screen that has not answered for so long hangs; no drawing of ours takes a tenth of it. */
const HUNG_AFTER_MS = 5000;
const RELOAD_AFTER_MS = 200;
/** A page that crashes at once when loaded is not loaded again at once. */
const LONGEST_WAIT_MS = 10_000;
const SETTLED_AFTER_MS = 30_000;

/** Brings the screens back when their process has crashed or hangs; capture and recording are not in it. */
export function keepAlive(window: BrowserWindow): void {
  const { webContents } = window;
  let answeredAt = Infinity;
  let loadedAt = 0;
  let wait = RELOAD_AFTER_MS;

  webContents.on('did-finish-load', () => {
    loadedAt = answeredAt = performance.now();
  });
  const onAlive = (event: Electron.IpcMainEvent): void => {
    if (event.sender === webContents) answeredAt = performance.now();
  };
  ipcMain.on(ALIVE, onAlive);

  const asking = setInterval(() => {
    if (webContents.isCrashed() || webContents.isDevToolsOpened()) return;
    if (performance.now() - answeredAt > HUNG_AFTER_MS) {
      answeredAt = Infinity;
      webContents.forcefullyCrashRenderer();
    } else {
      webContents.send(ALIVE);
    }
  }, ASK_EVERY_MS);

  const bringBack = (): void => {
    answeredAt = Infinity;
    wait =
      performance.now() - loadedAt > SETTLED_AFTER_MS ? RELOAD_AFTER_MS : Math.min(wait * 2, LONGEST_WAIT_MS);
    setTimeout(() => {
      if (!window.isDestroyed()) void load(webContents);
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
