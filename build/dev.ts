/**
 * `npm run dev`: the screens from vite, replaced in the open page as they are edited; the main side behind the
 * loopback host, started again when a file of it changes. The page connects again by itself.
 */
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { createServer as createNetServer } from 'node:net';
import { join } from 'node:path';
import { createServer } from 'vite';
import { root } from './bundle.ts';

async function freePort(): Promise<number> {
  const probe = createNetServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address() as { port: number };
  probe.close();
  await once(probe, 'close');
  return port;
}

const port = await freePort();
const token = randomBytes(32).toString('base64url');

const main = spawn(
  process.execPath,
  ['--watch', '--watch-preserve-output', join(root, 'build/dev-main.ts'), String(port), token],
  { stdio: 'inherit' },
);

const screens = await createServer({
  configFile: join(root, 'build/vite.renderer.config.ts'),
  server: {
    host: '127.0.0.1',
    proxy: {
      '/bus': { target: `http://127.0.0.1:${port}`, ws: true, changeOrigin: true, rewriteWsOrigin: true },
    },
  },
});
await screens.listen();
const address = screens.resolvedUrls!.local[0]!;
console.log(`Open ${address}#token=${token}`);

const end = async (): Promise<void> => {
  main.kill();
  await screens.close();
};
process.once('SIGINT', end).once('SIGTERM', end);
