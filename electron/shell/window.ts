import { join } from 'node:path';
import { app, BrowserWindow, type WebContents } from 'electron';
import { isOwnPage, PAGE } from './protocol.ts';

/** Every page, whatever opens it: stays where it is, opens nothing, embeds nothing. */
export function guardAllContents(): void {
  app.on('web-contents-created', (_, contents) => {
    contents.setWindowOpenHandler(() => ({ action: 'deny' }));
    contents.on('will-frame-navigate', (event) => {
      // A reload of the page itself is no navigation away.
      if (!event.isMainFrame || !isOwnPage(event.url)) event.preventDefault();
    });
    contents.on('will-redirect', (event) => event.preventDefault());
    contents.on('will-attach-webview', (event) => event.preventDefault());
  });
}

export function openWindow(): BrowserWindow {
  const window = new BrowserWindow({
    title: 'Rumblepath',
    width: 1280,
    height: 800,
    minWidth: 640,
    minHeight: 480,
    show: false,
    autoHideMenuBar: true,
    backgroundColor: '#101214',
    webPreferences: {
      preload: join(import.meta.dirname, 'preload.cjs'),
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
      devTools: !app.isPackaged,
      // Levels go on being drawn while another window has the focus.
      backgroundThrottling: false,
      spellcheck: false,
    },
  });
  window.once('ready-to-show', () => window.show());
  // An empty page is no navigation that could be prevented; it is left again at once.
  window.webContents.on('did-navigate', (_, url) => {
    if (!isOwnPage(url)) void load(window.webContents);
  });
  void load(window.webContents);
  return window;
}

/** A failed load is followed by another try in `keepAlive`. */
export const load = (contents: WebContents, url = PAGE): Promise<void> =>
  contents.loadURL(url).catch(() => {});
