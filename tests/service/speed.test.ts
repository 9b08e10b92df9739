import { mkdtemp, realpath, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import { english } from '../../shared/messages/tell.ts';
import { PseudoTerminal } from '../native/speed/pseudo-terminal.ts';
import { rmc } from '../speed/sentence.ts';

/** The speed links through the program's own requests, each on a pseudo-terminal. */

let folder: string;
let app: App;
let terminals: PseudoTerminal[];
let live: LiveState | null;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'rumblepath-speed-'));
  terminals = [];
  live = null;
  app = await openApp({ dataFolder: folder });
  app.subscribe((event) => {
    if (event.name === 'live.state') live = event.payload;
  });
});
afterEach(async () => {
  await app.close();
  for (const terminal of terminals) await terminal.remove();
  await rm(folder, { recursive: true, force: true });
});

async function terminal(): Promise<{ terminal: PseudoTerminal; port: string }> {
  const made = await PseudoTerminal.make();
  terminals.push(made);
  return { terminal: made, port: await realpath(made.path) };
}
const until = (condition: () => boolean | undefined) =>
  expect.poll(condition, { timeout: 8000, interval: 20 }).toBe(true);

it('opens both links, shows what they tell, and closes them', async () => {
  const satellite = await terminal();
  const bus = await terminal();
  bus.terminal.onLine((line) => {
    const answer = { '010D': '41 0D 33', '010C': '41 0C 1A F8' }[line] ?? 'OK';
    void bus.terminal.say(`${answer}\r\r>`);
  });
  const ok = { ok: true, value: null };
  expect(await app.handle('speed.open', { kind: 'satellite', port: satellite.port, baudRate: 4800 })).toEqual(
    ok,
  );
  expect(
    await app.handle('speed.open', { kind: 'bus', port: bus.port, baudRate: 38400, firstLines: ['ATE0'] }),
  ).toEqual(ok);
  await until(() => live?.speed.from === 'bus' && live.speed.engine_rpm === 1726);
  await satellite.terminal.say(`${rmc('27.0')}\r\n`);
  await until(() => live?.speed.from === 'satellite');
  expect(live!.speed.km_h).toBeCloseTo(27 * 1.852, 9);
  expect(live!.speed.links.map((link) => link.kind)).toEqual(['satellite', 'bus']);

  await satellite.terminal.pullOut();
  await until(() => live!.speed.links[0]!.problem !== null);
  expect(live!.speed.links[0]).toMatchObject({ km_h: null, port: satellite.port });
  expect(english(live!.speed.links[0]!.problem!)).toContain('plug it in again');

  for (const kind of ['satellite', 'bus'])
    expect(await app.handle('speed.close', { kind })).toEqual({ ok: true, value: null });
  expect(live!.speed.links).toEqual([]);
});

it('opens a link in place of the open one of its kind', async () => {
  const first = await terminal();
  const second = await terminal();
  for (const { port } of [first, second])
    await app.handle('speed.open', { kind: 'satellite', port, baudRate: 4800 });
  expect(live!.speed.links.map((link) => link.port)).toEqual([second.port]);
  await first.terminal.say(`${rmc('90.0')}\r\n`);
  await second.terminal.say(`${rmc('50.0')}\r\n`);
  await until(() => live!.speed.links[0]!.km_h !== null);
  expect(live!.speed.links[0]!.km_h).toBeCloseTo(92.6, 9);
});

it('refuses in words what cannot be opened', async () => {
  const refusal = async (change: object) => {
    const reply = await app.handle('speed.open', {
      kind: 'bus',
      port: '/dev/rumblepath-none',
      baudRate: 9600,
      firstLines: [],
      ...change,
    });
    return reply.ok ? null : reply;
  };
  expect(english((await refusal({}))!.told)).toContain('/dev/rumblepath-none is not there');
  expect((await refusal({ port: '/etc/passwd' }))!.field).toBe('port');
  expect((await refusal({ port: '/dev/../etc/passwd' }))!.field).toBe('port');
  expect((await refusal({ firstLines: ['two\rlines'] }))!.field).toBe('firstLines.0');
  expect((await refusal({ baudRate: 1 }))!.field).toBe('baudRate');
  expect(live?.speed.links ?? []).toEqual([]);
  const ports = await app.handle('speed.ports', null);
  expect(ports.ok).toBe(true);
});
