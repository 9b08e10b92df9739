import type { Transport } from '../../shared/contract/requests.ts';
import type { Connection } from './connection.ts';

declare global {
  interface Window {
    /** Set by the Electron preload. */
    rumblepath?: Transport;
  }
}

/** The preload's bridge: it is there as long as the window is. */
export function bridgeConnection(bridge: Transport): Connection {
  return {
    request: (name, input) => bridge.request(name, input),
    subscribe: (listener) => bridge.subscribe(listener),
    onStatus(listener) {
      listener('open');
      return () => {};
    },
  };
}
