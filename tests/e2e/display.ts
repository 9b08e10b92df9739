import { spawn } from 'node:child_process';
import type { Readable } from 'node:stream';

export interface Display {
  /** For the environment variable of the same name. */
  readonly DISPLAY: string;
  close(): boolean;
}

/** Starts a virtual X display of its own, on a number that the server chooses. */
export async function startDisplay(width = 1920, height = 1080): Promise<Display> {
  const server = spawn(
    'Xvfb',
    ['-displayfd', '3', '-screen', '0', `${width}x${height}x24`, '-nolisten', 'tcp'],
    {
      stdio: ['ignore', 'ignore', 'ignore', 'pipe'],
    },
  );
  const close = () => server.kill('SIGKILL');
  process.once('exit', close);
  const number = await new Promise<string>((resolve, reject) => {
    server.once('error', reject);
    server.once('exit', (code) => reject(new Error(`Xvfb ended with ${code}`)));
    (server.stdio[3] as Readable).once('data', (data) => resolve(String(data).trim()));
  });
  return { DISPLAY: `:${number}`, close };
}
