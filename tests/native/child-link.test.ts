import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { forkWithNode, portAudioChildFile } from '../../native/portaudio/child-link.ts';

let dir: string;
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'child-link-'));
});
afterAll(() => rm(dir, { recursive: true, force: true }));

async function program(source: string): Promise<string> {
  const file = join(dir, `${Math.random()}.mjs`);
  await writeFile(file, source);
  return file;
}

test('samples keep their type on the way to the child and back', async () => {
  const file = await program(`process.on('message', (m) => process.send(m));`);
  const link = forkWithNode()(file);
  const echoed = new Promise<unknown>((resolve) => link.onMessage(resolve));
  link.send({ kind: 'samples', samples: Float32Array.of(0.5, -1) });
  expect(await echoed).toEqual({ kind: 'samples', samples: Float32Array.of(0.5, -1) });
  link.kill();
});

test('a child that hears nothing is ended all the same, and its last words are kept', async () => {
  const file = await program(
    `process.on('SIGTERM', () => {}); console.error('device is stuck'); process.send('ready'); for (;;);`,
  );
  const link = forkWithNode()(file);
  const exited = new Promise<string>((resolve) => link.onExit(resolve));
  await new Promise((resolve) => link.onMessage(resolve));
  link.kill();
  expect(await exited).toBe('ended by SIGKILL: device is stuck');
  link.send('to nobody');
});

test('a program that is not there ends like a crash', async () => {
  const link = forkWithNode()(join(dir, 'nothing.mjs'));
  expect(await new Promise<string>((resolve) => link.onExit(resolve))).toMatch(/^exit code 1/);
});

test('the PortAudio child does not outlive a parent that was killed', async () => {
  const parent = spawn(
    process.execPath,
    [
      await program(
        `import { fork } from 'node:child_process';
         const child = fork(${JSON.stringify(portAudioChildFile())}, [], { serialization: 'advanced' });
         child.once('spawn', () => console.log(child.pid));
         setInterval(() => {}, 1000);`,
      ),
    ],
    { stdio: ['ignore', 'pipe', 'ignore'] },
  );
  const [printed] = (await once(parent.stdout!, 'data')) as [Buffer];
  const pid = Number(printed);
  await sleep(500);
  expect(() => process.kill(pid, 0)).not.toThrow();
  parent.kill('SIGKILL');
  const isGone = () => {
    try {
      process.kill(pid, 0);
      return false;
    } catch {
      return true;
    }
  };
  for (let tries = 0; tries < 50 && !isGone(); tries++) await sleep(100);
  expect(isGone()).toBe(true);
});
