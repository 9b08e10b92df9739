import { bridgeConnection } from './bridge.ts';
import type { Connection } from './connection.ts';
import { socketConnection } from './socket.ts';

const TOKEN = 'rumblepath.token';

/** The token comes once in the address; it is taken out of sight and kept for reloads of this tab only. */
function takeToken(): string {
  const given = new URLSearchParams(location.hash.slice(1)).get('token');
  if (given) {
    sessionStorage.setItem(TOKEN, given);
    history.replaceState(null, '', location.pathname + location.search);
  }
  return sessionStorage.getItem(TOKEN) ?? '';
}

/** The preload's bridge inside Electron, else the socket of the host that served this page. */
export function pickConnection(): Connection {
  if (window.rumblepath) return bridgeConnection(window.rumblepath);
  return socketConnection(`ws://${location.host}/bus`, takeToken());
}
