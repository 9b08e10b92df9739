import { contextBridge, ipcRenderer } from 'electron';
import { type AppEvent, REQUESTS, type Transport } from '../../shared/contract/requests.ts';
import { message } from '../../shared/messages/message.ts';
import { ALIVE, EVENT, REQUEST } from './channels.ts';

const listeners = new Set<(event: AppEvent) => void>();
ipcRenderer.on(EVENT, (_, event: AppEvent) => {
  for (const listener of listeners) listener(event);
});

ipcRenderer.on(ALIVE, () => ipcRenderer.send(ALIVE));

const transport: Transport = {
  request: async (name, input) =>
    Object.hasOwn(REQUESTS, name)
      ? ipcRenderer.invoke(REQUEST, name, input)
      : { ok: false, told: message('error.noRequest', { name }) },
  subscribe: (listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
};

contextBridge.exposeInMainWorld('rumblepath', transport);
