import { mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { request as httpRequest } from 'node:http';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { type Loopback, MAX_MESSAGE_BYTES, serveLoopback } from '../../electron/host/serve.ts';
import type { Reply } from '../../shared/contract/requests.ts';
import { ATTACHMENT_BYTES } from '../../shared/contract/visit-work.ts';
import { message } from '../../shared/messages/message.ts';
import { type FakeApp, fakeApp } from '../e2e/fake-app.ts';

let app: FakeApp;
let loopback: Loopback;
let folder: string;
let address: URL;
let token: string;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-host-'));
  await writeFile(join(folder, 'index.html'), '<!doctype html><title>screens</title>');
  await writeFile(join(folder, 'app.js'), '1');
  await writeFile(join(folder, 'secret.key'), 'not a screen');
  await symlink('/etc/passwd', join(folder, 'link.html'));
  app = fakeApp();
  loopback = await serveLoopback(app, { rendererDir: folder });
  address = new URL(loopback.url);
  token = address.hash.replace('#token=', '');
});

afterEach(async () => {
  await loopback.close();
  await app.close();
  await rm(folder, { recursive: true });
});

interface Answer {
  status: number;
  headers: Record<string, unknown>;
  body: string;
}

/** A plain request with the path exactly as written: `fetch` would tidy it up. */
const get = (path: string, headers: Record<string, string> = {}, method = 'GET'): Promise<Answer> =>
  new Promise((resolve, reject) => {
    const wish = {
      host: '127.0.0.1',
      port: address.port,
      path,
      method,
      headers: { Host: address.host, ...headers },
    };
    const request = httpRequest(wish, (response) => {
      let body = '';
      response.setEncoding('utf8').on('data', (text) => {
        body += text;
      });
      response.on('end', () => resolve({ status: response.statusCode!, headers: response.headers, body }));
    });
    request.on('error', reject).end();
  });

interface BusOptions {
  origin?: string;
  host?: string;
  path?: string;
}
const openBus = ({ origin = address.origin, host = address.host, path = '/bus' }: BusOptions = {}) =>
  new WebSocket(`ws://127.0.0.1:${address.port}${path}`, { origin, headers: { Host: host } });

const opened = (socket: WebSocket) =>
  new Promise<'open' | 'refused'>((resolve) => {
    socket.once('open', () => resolve('open'));
    socket.once('error', () => resolve('refused'));
  });
const closed = (socket: WebSocket) =>
  new Promise<number>((resolve) => socket.once('close', (code) => resolve(code)));

async function admitted(): Promise<WebSocket> {
  const socket = openBus();
  await opened(socket);
  socket.send(JSON.stringify({ token }));
  return socket;
}

const ask = (socket: WebSocket, id: number, name: string, input: unknown): Promise<Reply> =>
  new Promise((resolve) => {
    socket.on('message', function listener(data) {
      const message = JSON.parse(data.toString());
      if (message.id !== id) return;
      socket.off('message', listener);
      resolve(message.reply);
    });
    socket.send(JSON.stringify({ id, name, input }));
  });

describe('page', () => {
  it('is served under the address with a policy that allows nothing from elsewhere', async () => {
    const page = await get('/');
    expect(page).toMatchObject({ status: 200, body: expect.stringContaining('screens') });
    expect(page.headers['content-security-policy']).toContain("default-src 'none'; script-src 'self'");
    expect(page.headers['content-security-policy']).not.toMatch(/unsafe|\*|https?:/);
    expect(page.headers['x-content-type-options']).toBe('nosniff');
    expect(page.headers['access-control-allow-origin']).toBeUndefined();
    expect((await get('/app.js')).headers['content-type']).toBe('text/javascript; charset=utf-8');
  });

  it.each(['evil.example', 'localhost', '127.0.0.1', '127.0.0.1:1', '[::1]'])(
    'is refused for the host name %s, so that a re-bound name gets nothing',
    async (host) => {
      expect(await get('/', { Host: host })).toMatchObject({ status: 403, body: '' });
    },
  );

  it.each([
    '/../package.json',
    '/..%2fpackage.json',
    '/%2e%2e/package.json',
    '/./index.html',
    '//etc/passwd',
    '/etc/passwd',
    '/link.html',
    '/secret.key',
    '/index.html%00.js',
    '/__proto__',
    `/${'a/'.repeat(2000)}`,
  ])('serves nothing outside the screens for %s', async (path) => {
    expect((await get(path)).status).toBe(404);
  });

  it.each(['POST', 'PUT', 'DELETE', 'OPTIONS'])('refuses %s', async (method) => {
    expect((await get('/', {}, method)).status).toBe(405);
  });
});

describe('address', () => {
  it('is 127.0.0.1 with a free port, and no other address of this computer answers', async () => {
    expect(address.hostname).toBe('127.0.0.1');
    const others = Object.values(networkInterfaces())
      .flatMap((addresses) => addresses ?? [])
      .filter(({ address: own, family }) => family === 'IPv4' && own !== '127.0.0.1')
      .map(({ address: own }) => own);
    // 127.0.0.2 is this computer too, but not the bound address.
    for (const other of ['127.0.0.2', '::1', ...others]) {
      const answered = await new Promise<boolean>((resolve) => {
        const socket = connect({ host: other, port: Number(address.port) });
        socket.once('connect', () => resolve(true)).once('error', () => resolve(false));
        socket.once('connect', () => socket.destroy());
      });
      expect(answered, other).toBe(false);
    }
  });

  it('carries a token of at least 128 random bits, another one every time', async () => {
    expect(Buffer.from(token, 'base64url').length).toBeGreaterThanOrEqual(16);
    const other = await serveLoopback(app, { rendererDir: folder });
    expect(new URL(other.url).hash).not.toBe(address.hash);
    await other.close();
  });
});

describe('bus', () => {
  it('answers requests and passes events on once the token has come', async () => {
    const socket = await admitted();
    expect(await ask(socket, 7, 'live.state', null)).toMatchObject({ ok: true, value: { heard: 1 } });
    expect(await ask(socket, 8, 'no.such', null)).toMatchObject({ ok: false });
    const level = await new Promise<string>((resolve) =>
      socket.once('message', (data) => resolve(String(data))),
    );
    expect(JSON.parse(level)).toMatchObject({ event: { name: 'live.levels', payload: { crest: [1, 1] } } });
    socket.close();
    await closed(socket);
    await expect.poll(app.subscribers).toBe(0);
  });

  it.each([
    ['a foreign page', { origin: 'http://evil.example' }],
    ['a page that is no page', { origin: 'null' }],
    ['another port', { origin: 'http://127.0.0.1:1' }],
    ['a re-bound name', { host: 'evil.example' }],
    ['another path', { path: '/' }],
  ])('is refused to %s', async (_, options) => {
    expect(await opened(openBus(options))).toBe('refused');
  });

  it.each([
    ['a wrong token', () => JSON.stringify({ token: `${token.slice(0, -1)}_` })],
    ['a shortened token', () => JSON.stringify({ token: token.slice(0, -1) })],
    ['an empty token', () => JSON.stringify({ token: '' })],
    ['a request instead of the token', () => JSON.stringify({ id: 1, name: 'live.state', input: null })],
    ['nonsense', () => '{"token":'],
    ['a token among much else', () => JSON.stringify({ token, more: 'x'.repeat(10_000) })],
  ])('ends with %s before anything reached the app', async (_, firstMessage) => {
    const socket = openBus();
    await opened(socket);
    const received: string[] = [];
    socket.on('message', (data) => received.push(String(data)));
    socket.send(firstMessage());
    socket.send(JSON.stringify({ token }));
    socket.send(JSON.stringify({ id: 1, name: 'live.state', input: null }));
    expect(await closed(socket)).toBe(1008);
    expect(received).toEqual([]);
    expect(app.calls).toEqual([]);
    expect(app.subscribers()).toBe(0);
  });

  it('ends without a token after two seconds', async () => {
    const socket = openBus();
    await opened(socket);
    const since = performance.now();
    expect(await closed(socket)).toBe(1008);
    expect(performance.now() - since).toBeLessThan(3000);
  });

  it('takes a photo, and refuses what is larger than any photo', async () => {
    const socket = await admitted();
    const photo = 'x'.repeat((ATTACHMENT_BYTES / 3) * 4);
    expect(await ask(socket, 1, 'no.such', photo)).toMatchObject({ ok: false });
    app.calls.length = 0;
    socket.send(JSON.stringify({ id: 2, name: 'no.such', input: 'x'.repeat(MAX_MESSAGE_BYTES) }));
    expect(await closed(socket)).toBe(1009);
    expect(app.calls).toEqual([]);
  });

  it('refuses a flood of requests', async () => {
    const socket = await admitted();
    const ended = closed(socket);
    for (let id = 0; id < 1000; id += 1) socket.send(JSON.stringify({ id, name: 'live.state', input: null }));
    expect(await ended).toBe(1008);
    expect(app.calls.length).toBeLessThan(300);
  });

  it('refuses binary messages', async () => {
    const socket = await admitted();
    socket.send(Buffer.from([1, 2, 3]));
    expect(await closed(socket)).toBe(1008);
  });

  it('takes eight connections and no ninth', async () => {
    const sockets = Array.from({ length: 8 }, () => openBus());
    expect(await Promise.all(sockets.map(opened))).toEqual(Array(8).fill('open'));
    expect(await opened(openBus())).toBe('refused');
  });

  it('leaves levels out for a client that does not read, but no other event', async () => {
    const socket = await admitted();
    await ask(socket, 1, 'live.state', null);
    const received: { event: { name: string; payload: { frame?: number } } }[] = [];
    socket.on('message', (data) => received.push(JSON.parse(String(data))));
    socket.pause();

    const wide = { rms: Array(32).fill(1 / 3), peak: [], peakHold: [], crest: [], faults: [] };
    const sent = 100_000;
    for (let frame = 0; frame < sent; frame += 1) {
      app.emit({ name: 'live.levels', payload: { frame, at_s: 0, speed_km_h: null, ...wide } });
      if (frame % 10_000 === 0) await new Promise(setImmediate);
    }
    for (let i = 0; i < 10; i += 1)
      app.emit({ name: 'notice', payload: message('written', { text: `notice ${i}` }) });
    socket.resume();

    const notices = () => received.filter(({ event }) => event.name === 'notice').length;
    await expect.poll(notices, { timeout: 10_000 }).toBe(10);
    expect(received.length).toBeLessThan(sent / 2);
    const last = received.at(-1)!;
    expect(last.event).toBeDefined();
  });
});
