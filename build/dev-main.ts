/** The main side for `npm run dev`: on a given port and with a given token, so that the page outlives it. */
import { join } from 'node:path';
import { dataFolder } from '../electron/host/data-folder.ts';
import { serveLoopback } from '../electron/host/serve.ts';
import { openApp } from '../electron/service/open-app.ts';
import { root } from './bundle.ts';

const [port, token] = process.argv.slice(2);
const app = await openApp({ dataFolder: dataFolder() });
// The screens come from vite; this folder only satisfies the host.
const loopback = await serveLoopback(app, {
  rendererDir: join(root, 'renderer'),
  port: Number(port),
  token: token!,
});

const end = async (): Promise<void> => {
  await loopback.close();
  await app.close();
  process.exit();
};
process.once('SIGINT', end).once('SIGTERM', end);
