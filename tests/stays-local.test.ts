import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import about from '../package.json' with { type: 'json' };

const root = join(import.meta.dirname, '..');
const sources = globSync(
  ['electron/**/*.ts', 'native/**/*.{ts,js}', 'db/**/*.ts', 'shared/**/*.ts', 'renderer/**/*.{ts,tsx}'],
  {
    cwd: root,
  },
);

const naming = (what: RegExp): string[] =>
  sources.filter((file) => what.test(readFileSync(join(root, file), 'utf8'))).sort();

it('nothing of ours can reach another computer: the only server is the loopback host, the only client its page', () => {
  expect(sources.length).toBeGreaterThan(100);
  expect(naming(/from 'node:(http|https|http2|net|tls|dgram|dns)(\/promises)?'/)).toEqual([
    'electron/host/serve.ts',
  ]);
  expect(naming(/\bfetch\(|XMLHttpRequest|sendBeacon|EventSource\(/)).toEqual([]);
  expect(naming(/new WebSocket\(/)).toEqual(['renderer/transport/socket.ts']);
});

it('nothing hands an address or a file to another program (Electron’s checklist, item 15)', () => {
  expect(naming(/openExternal|openPath|showItemInFolder/)).toEqual([]);
});

it('every dependency, Electron among them, is pinned to one version (item 16)', () => {
  for (const [name, version] of Object.entries({ ...about.dependencies, ...about.devDependencies }))
    expect(version, name).toMatch(/^(\d+\.\d+\.\d+|file:native\/.+)$/);
});
