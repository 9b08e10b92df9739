import { join } from 'node:path';
import { app, type BrowserWindow, dialog, session } from 'electron';
import { dataFolder } from '../host/data-folder.ts';
import { loadScreens } from '../host/screens.ts';
import type { App } from '../service/app.ts';
import type { OpenAppOptions } from '../service/open-app.ts';
import { bridge } from './bridge.ts';
import { chooseFolderOver } from './choose-folder.ts';
import { forkUtility } from './fork-utility.ts';
import { keepAlive } from './keep-alive.ts';
import { setMenu } from './menu.ts';
import { printInHiddenWindow } from './print-pdf.ts';
import { lockDown, registerScheme } from './protocol.ts';
import { guardAllContents, openWindow } from './window.ts';

type OpenApp = (options: OpenAppOptions) => Promise<App>;

/** Runs the program in an Electron window until that is closed. */
export function runShell(openApp: OpenApp): void {
  const folder = dataFolder();
  app.setPath('userData', folder);
  // The browser's caches stay out of the garage's folder.
  app.setPath('sessionData', join(folder, 'window'));

  if (!app.requestSingleInstanceLock()) {
    app.quit();
    return;
  }
  // Root can only run Chromium without its sandbox (CI); the window's own settings keep Node out all the same.
  if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox();
  registerScheme();
  guardAllContents();

  let window: BrowserWindow | undefined;
  app.on('second-instance', () => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
  });
  app.on('window-all-closed', () => app.quit());
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => app.quit());

  const start = async (): Promise<void> => {
    await app.whenReady();
    lockDown(session.defaultSession, await loadScreens(join(import.meta.dirname, '../renderer')));
    setMenu();
    const service = await openApp({
      dataFolder: folder,
      forkChild: forkUtility,
      printPdf: printInHiddenWindow,
      chooseFolder: chooseFolderOver(() => window),
    });
    closeBeforeQuit(service);
    bridge(service, () => window?.webContents);
    window = openWindow();
    keepAlive(window);
    window.on('closed', () => {
      window = undefined;
    });
  };

  start().catch((error: Error) => {
    console.error(error);
    dialog.showErrorBox('Rumblepath could not start', error.message);
    app.exit(1);
  });
}

/** The recording and the database are closed before the process ends, however it was asked to. */
function closeBeforeQuit(service: App): void {
  let closing = false;
  app.on('will-quit', (event) => {
    event.preventDefault();
    if (closing) return;
    closing = true;
    service
      .close()
      .catch((error: Error) => console.error(error))
      .finally(() => app.exit(0));
  });
}
