import type { AddressInfo } from 'node:net';
import { afterEach, expect, test, vi } from 'vitest';
import { type WebSocket as Peer, WebSocketServer } from 'ws';
import type { ConnectionStatus } from '../../renderer/transport/connection.ts';
import { socketConnection } from '../../renderer/transport/socket.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import { message } from '../../shared/messages/message.ts';

/** The loopback host's end, as far as the protocol goes. */
async function host() {
  const server = new WebSocketServer({ host: '127.0.0.1', port: 0 });
  await new Promise((resolve) => server.once('listening', resolve));
  const peers: Peer[] = [];
  const received: unknown[] = [];
  server.on('connection', (peer) => {
    peers.push(peer);
    peer.on('message', (data) => received.push(JSON.parse(String(data))));
  });
  const url = `ws://127.0.0.1:${(server.address() as AddressInfo).port}/bus`;
  return {
    url,
    received,
    send: (message: unknown) => peers.at(-1)!.send(JSON.stringify(message)),
    drop: (code = 1011) => peers.at(-1)!.close(code),
    connections: () => peers.length,
    close: () =>
      new Promise((resolve) => {
        for (const peer of peers) peer.terminate();
        server.close(resolve);
      }),
  };
}

const hosts: Awaited<ReturnType<typeof host>>[] = [];
const start = async () => {
  const here = await host();
  hosts.push(here);
  const connection = socketConnection(here.url, 'secret');
  const statuses: ConnectionStatus[] = [];
  connection.onStatus((status) => statuses.push(status));
  return { here, connection, statuses };
};
afterEach(() => Promise.all(hosts.splice(0).map((h) => h.close())));

test('the token goes first, then the requests that waited', async () => {
  const { here, connection } = await start();
  const reply = connection.request('live.state', null);
  await vi.waitFor(() => expect(here.received).toHaveLength(2));
  expect(here.received).toEqual([{ token: 'secret' }, { id: 1, name: 'live.state', input: null }]);
  here.send({ id: 1, reply: { ok: true, value: 7 } });
  expect(await reply).toEqual({ ok: true, value: 7 });
});

test('answers find their request in any order, events reach every listener until it leaves', async () => {
  const { here, connection } = await start();
  const events: AppEvent[] = [];
  const leave = connection.subscribe((event) => events.push(event));
  const first = connection.request('live.state', null);
  const second = connection.request('live.devices', null);
  await vi.waitFor(() => expect(here.received).toHaveLength(3));
  here.send({ id: 2, reply: { ok: true, value: 'second' } });
  here.send({ event: { name: 'notice', payload: { text: 'repaired' } } });
  here.send({ id: 1, reply: { ok: false, told: message('error.inside') } });
  expect(await second).toEqual({ ok: true, value: 'second' });
  expect(await first).toEqual({ ok: false, told: message('error.inside') });
  expect(events).toEqual([{ name: 'notice', payload: { text: 'repaired' } }]);
  leave();
});

test('a dropped socket answers what was open, says so, and comes back by itself', async () => {
  const { here, connection, statuses } = await start();
  const open = connection.request('live.state', null);
  await vi.waitFor(() => expect(here.received).toHaveLength(2));
  here.drop();
  expect((await open).ok).toBe(false);
  await vi.waitFor(() => expect(statuses).toEqual(['connecting', 'open', 'lost', 'open']), { timeout: 3000 });
  expect(here.connections()).toBe(2);
  await vi.waitFor(() => expect(here.received.at(-1)).toEqual({ token: 'secret' }));
});

test('a host that does not know the token is not asked again', async () => {
  const { here, statuses } = await start();
  await vi.waitFor(() => expect(here.received).toHaveLength(1));
  here.drop(1008);
  await vi.waitFor(() => expect(statuses.at(-1)).toBe('refused'));
  await new Promise((resolve) => setTimeout(resolve, 600));
  expect(here.connections()).toBe(1);
});
