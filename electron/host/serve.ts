import { randomBytes, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { WebSocketServer } from 'ws';
import { ATTACHMENT_BYTES } from '../../shared/contract/visit-work.ts';
import type { App } from '../service/app.ts';
import { attachBus } from './bus.ts';
import { loadScreens, SECURITY_HEADERS } from './screens.ts';

const ADDRESS = '127.0.0.1';
/** The largest request is an attached photo in base64; recordings never travel this way. */
export const MAX_MESSAGE_BYTES = Math.ceil(ATTACHMENT_BYTES / 3) * 4 + 4096;
/** The window, one being reloaded, and a spare for a look with the browser's own tools. */
const MAX_CONNECTIONS = 8;

export interface LoopbackOptions {
  /** Folder of the built screens. */
  readonly rendererDir: string;
  /** A fixed port and token, so that a page outlives a restart of the main side during development. */
  readonly port?: number;
  readonly token?: string;
}

export interface Loopback {
  /** The page with the token in its fragment, which a browser never sends to a server. */
  readonly url: string;
  close(): Promise<void>;
}

const sameSecret = (given: string, token: string): boolean => {
  const [a, b] = [Buffer.from(given), Buffer.from(token)];
  return a.length === b.length && timingSafeEqual(a, b);
};

/**
 * Serves the screens and the bus on this computer only.
 *
 * Against other programs and web pages on the same computer: bound to 127.0.0.1; `Host` must be the address
 * itself, so that a foreign name that resolves to it gets nothing; the bus wants the page's own `Origin` and
 * then a random token as its first message. The page itself holds no data and is served without the token.
 */
export async function serveLoopback(app: App, options: LoopbackOptions): Promise<Loopback> {
  const screens = await loadScreens(options.rendererDir);
  const token = options.token ?? randomBytes(32).toString('base64url');
  let host = '';

  const servePage = (request: IncomingMessage, response: ServerResponse): void => {
    const refuse = (status: number) => response.writeHead(status, SECURITY_HEADERS).end();
    if (request.headers.host !== host) return void refuse(403);
    if (request.method !== 'GET' && request.method !== 'HEAD') return void refuse(405);
    const file = screens((request.url ?? '/').split('?', 1)[0]!);
    if (file === undefined) return void refuse(404);
    response.writeHead(200, {
      ...SECURITY_HEADERS,
      'Content-Type': file.type,
      'Content-Length': file.body.length,
    });
    response.end(request.method === 'HEAD' ? undefined : file.body);
  };

  const server = createServer({ maxHeaderSize: 8192, requestTimeout: 10_000 }, servePage);
  server.maxConnections = 64;
  const sockets = new WebSocketServer({ noServer: true, maxPayload: MAX_MESSAGE_BYTES });

  server.on('upgrade', (request, socket, head) => {
    const wanted =
      request.url === '/bus' &&
      request.headers.host === host &&
      request.headers.origin === `http://${host}` &&
      sockets.clients.size < MAX_CONNECTIONS;
    if (!wanted) {
      socket.end('HTTP/1.1 403 Forbidden\r\nConnection: close\r\nContent-Length: 0\r\n\r\n');
      return;
    }
    sockets.handleUpgrade(request, socket, head, (client) => {
      attachBus(app, client, (given) => sameSecret(given, token));
    });
  });

  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(options.port ?? 0, ADDRESS, resolve);
  });
  host = `${ADDRESS}:${(server.address() as AddressInfo).port}`;

  return {
    url: `http://${host}/#token=${token}`,
    close: async () => {
      for (const client of sockets.clients) client.terminate();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
