import { ipcMain, type WebContents } from 'electron';
import type { App } from '../service/app.ts';
import { EVENT, REQUEST } from './channels.ts';
import { isOwnPage } from './protocol.ts';

/** Carries the contract between the app and the one window that is open at a time. */
export function bridge(app: App, contents: () => WebContents | undefined): void {
  ipcMain.handle(REQUEST, (event, name: unknown, input: unknown) => {
    const frame = event.senderFrame;
    const fromOurPage =
      event.sender === contents() && frame === event.sender.mainFrame && isOwnPage(frame?.url);
    if (!fromOurPage || typeof name !== 'string') throw new Error('Refused.');
    return app.handle(name, input);
  });
  app.subscribe((event) => {
    const receiver = contents();
    if (receiver && !receiver.isDestroyed() && !receiver.isCrashed()) receiver.send(EVENT, event);
  });
}
