import type { AppEvent, Reply, RequestName } from '../../shared/contract/requests.ts';
import { message } from '../../shared/messages/message.ts';
import type { Connection, ConnectionStatus } from './connection.ts';

const RETRY_ms = [250, 500, 1000, 2000] as const;
/** The host closes with this when the token is not its own (RFC 6455, section 7.4.1). */
const POLICY_VIOLATION = 1008;
const LOST: Reply = { ok: false, told: message('error.unanswered') };

/**
 * The loopback host's WebSocket. The first message proves the token; then `{ id, name, input }` goes out,
 * `{ id, reply }` and `{ event }` come in. A dropped socket is opened again until it holds.
 */
export function socketConnection(url: string, token: string): Connection {
  const eventListeners = new Set<(event: AppEvent) => void>();
  const statusListeners = new Set<(status: ConnectionStatus) => void>();
  const pending = new Map<number, (reply: Reply) => void>();
  let status: ConnectionStatus = 'connecting';
  let socket: WebSocket;
  let lastId = 0;
  let attempts = 0;
  const queued: string[] = [];

  const setStatus = (next: ConnectionStatus) => {
    if (next === status) return;
    status = next;
    for (const listener of statusListeners) listener(next);
  };

  const receive = (text: string) => {
    const { id, reply, event } = JSON.parse(text) as { id?: number; reply?: Reply; event?: AppEvent };
    if (event) for (const listener of eventListeners) listener(event);
    if (id !== undefined && reply) {
      pending.get(id)?.(reply);
      pending.delete(id);
    }
  };

  const open = () => {
    socket = new WebSocket(url);
    socket.onopen = () => {
      attempts = 0;
      socket.send(JSON.stringify({ token }));
      for (const text of queued.splice(0)) socket.send(text);
      setStatus('open');
    };
    socket.onmessage = (event) => receive(String(event.data));
    socket.onclose = ({ code }) => {
      const refused = code === POLICY_VIOLATION;
      setStatus(refused ? 'refused' : 'lost');
      queued.length = 0;
      for (const resolve of pending.values()) resolve(LOST);
      pending.clear();
      if (!refused) setTimeout(open, RETRY_ms[Math.min(attempts++, RETRY_ms.length - 1)]);
    };
  };
  open();

  return {
    request(name: RequestName, input: unknown) {
      if (status === 'lost' || status === 'refused') return Promise.resolve(LOST);
      const id = ++lastId;
      const text = JSON.stringify({ id, name, input });
      return new Promise<Reply>((resolve) => {
        pending.set(id, resolve);
        if (status === 'open') socket.send(text);
        else queued.push(text);
      });
    },
    subscribe(listener) {
      eventListeners.add(listener);
      return () => eventListeners.delete(listener);
    },
    onStatus(listener) {
      statusListeners.add(listener);
      listener(status);
      return () => statusListeners.delete(listener);
    },
  };
}
