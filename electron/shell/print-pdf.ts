import { randomUUID } from 'node:crypto';
import { BrowserWindow, session } from 'electron';
import type { PrintPdf } from '../report/print-pdf.ts';

const PAGE = 'rumblepath://report/';

/**
 * Prints with Electron itself: a hidden, sandboxed window without scripts, in a session of its own that serves this
 * one page and refuses everything else.
 */
export const printInHiddenWindow: PrintPdf = async (html) => {
  const own = session.fromPartition(`report-${randomUUID()}`, { cache: false });
  own.protocol.handle('rumblepath', ({ url }) =>
    url === PAGE
      ? new Response(html, { headers: { 'Content-Type': 'text/html; charset=utf-8' } })
      : new Response(null, { status: 404 }),
  );
  own.webRequest.onBeforeRequest(({ url }, decide) => {
    decide({ cancel: url !== PAGE && !url.startsWith('data:') });
  });
  own.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
  own.setPermissionCheckHandler(() => false);
  const window = new BrowserWindow({
    show: false,
    webPreferences: {
      session: own,
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
      javascript: false,
      devTools: false,
      spellcheck: false,
    },
  });
  try {
    await window.loadURL(PAGE);
    return await window.webContents.printToPDF({ preferCSSPageSize: true, printBackground: true });
  } finally {
    window.destroy();
  }
};
