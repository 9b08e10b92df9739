import type { WebSocket } from 'ws';
import { z } from 'zod';
import type { AppEvent } from '../../shared/contract/requests.ts';
import type { App } from '../service/app.ts';

/** How the contract travels over one WebSocket; the renderer's end is renderer/transport. */

const HelloSchema = z.object({ token: z.string() });
const CallSchema = z.object({ id: z.number().int(), name: z.string(), input: z.unknown() });

const HELLO_WITHIN_MS = 2000;
const HELLO_BYTES = 1024;
/** A screen driven by keys asks a few times a second; a hundred is a page gone wrong or a stranger. */
const CALLS_PER_SECOND = 100;
const BURST = 200;
const MAX_UNANSWERED = 64;
/** Past this the client is slow: the next levels come in 33 ms anyway, so these are left out, not queued. */
const SLOW_BYTES = 256 * 1024;
/** Past this the client reads nothing any more. */
const STUCK_BYTES = 64 * 1024 * 1024;
/** WebSocket close code for a broken rule (RFC 6455, section 7.4.1). */
const POLICY_VIOLATION = 1008;

const LOSSY: ReadonlySet<AppEvent['name']> = new Set(['live.levels', 'live.orders']);

const parse = <T>(schema: z.ZodType<T>, text: string): T | undefined => {
  try {
    return schema.safeParse(JSON.parse(text)).data;
  } catch {
    return undefined;
  }
};

/** Connects a client to the app once its first message has brought the token. */
export function attachBus(app: App, client: WebSocket, isToken: (given: string) => boolean): void {
  let admitted = false;
  let unanswered = 0;
  let allowance = BURST;
  let countedAt = performance.now();
  let unsubscribe = () => {};

  const refuse = (reason: string) => client.close(POLICY_VIOLATION, reason);

  const send = (message: unknown): void => {
    if (client.readyState !== client.OPEN) return;
    if (client.bufferedAmount > STUCK_BYTES) client.terminate();
    else client.send(JSON.stringify(message));
  };

  const withinRate = (): boolean => {
    const now = performance.now();
    allowance = Math.min(BURST, allowance + ((now - countedAt) / 1000) * CALLS_PER_SECOND);
    countedAt = now;
    allowance -= 1;
    return allowance >= 0;
  };

  const hello = setTimeout(() => refuse('no token came'), HELLO_WITHIN_MS);

  const admit = (text: string): void => {
    const given = text.length > HELLO_BYTES ? undefined : parse(HelloSchema, text);
    if (given === undefined || !isToken(given.token)) {
      refuse('wrong token');
      return;
    }
    clearTimeout(hello);
    admitted = true;
    unsubscribe = app.subscribe((event) => {
      if (LOSSY.has(event.name) && client.bufferedAmount > SLOW_BYTES) return;
      send({ event });
    });
  };

  const answer = async (text: string): Promise<void> => {
    const call = parse(CallSchema, text);
    if (call === undefined) return refuse('not a request');
    if (unanswered >= MAX_UNANSWERED) return refuse('too many requests at once');
    unanswered += 1;
    const reply = await app.handle(call.name, call.input);
    unanswered -= 1;
    send({ id: call.id, reply });
  };

  client.on('message', (data, isBinary) => {
    if (client.readyState !== client.OPEN) return;
    if (isBinary) refuse('text only');
    else if (!withinRate()) refuse('too many requests');
    else if (admitted) void answer(data.toString());
    else admit(data.toString());
  });
  // A broken connection or an oversized message: ws closes the socket itself, there is no one to tell.
  client.on('error', () => {});
  client.on('close', () => {
    clearTimeout(hello);
    unsubscribe();
  });
}
