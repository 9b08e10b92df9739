import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { FromChild } from './messages.ts';

/**
 * A child process as its parent sees it. Electron's utilityProcess and Node's fork both fit behind it;
 * messages are structured clones, so that a Uint8Array arrives as one.
 */
export interface ChildLink {
  send(message: unknown): void;
  onMessage(listener: (message: unknown) => void): void;
  /** Called once, with what is known of the reason. */
  onExit(listener: (reason: string) => void): void;
  /** Ends the child whatever state it is in: SIGKILL, for PortAudio may have frozen it. */
  kill(): void;
}

export type ForkChild = (file: string) => ChildLink;

/** The last words of a child go into the cause of an error, never to the technician. */
const STDERR_TAIL = 500;

/** Forks with Node; the child's standard output is kept away from ours, which may be JSON. */
export function forkWithNode(env: Readonly<Record<string, string | undefined>> = process.env): ForkChild {
  return (file) => {
    const child = fork(file, [], { execArgv: [], env: { ...env }, serialization: 'advanced', silent: true });
    let tail = '';
    child.stdout!.resume();
    child.stderr!.setEncoding('utf8').on('data', (text: string) => {
      tail = (tail + text).slice(-STDERR_TAIL);
    });
    // A message to a child that has just died is no error of ours: its exit is told as well.
    child.on('error', () => {});
    return {
      send: (message) => {
        if (child.connected) child.send(message as object, () => {});
      },
      onMessage: (listener) => {
        child.on('message', listener);
      },
      onExit: (listener) => {
        let told = false;
        const tell = (reason: string) => {
          if (!told) listener(tail ? `${reason}: ${tail.trim()}` : reason);
          told = true;
        };
        child.once('exit', (code, signal) => tell(signal ? `ended by ${signal}` : `exit code ${code}`));
        child.once('error', (error) => tell(error.message));
      },
      kill: () => {
        child.kill('SIGKILL');
      },
    };
  };
}

/** Where the child's program lies: beside this file in the source, beside the bundle once built. */
export function portAudioChildFile(): string {
  const program = import.meta.url.endsWith('.ts') ? './portaudio-child.ts' : './portaudio-child.js';
  return fileURLToPath(new URL(program, import.meta.url));
}

/** Asks a child to stop its stream, waits until it has ended, and ends it when it does not answer in time. */
export function stopChild(child: ChildLink, withinMs: number): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(() => child.kill(), withinMs);
    child.onExit(() => {
      clearTimeout(timer);
      resolve();
    });
    child.onMessage((message) => {
      if ((message as FromChild).kind === 'stopped') child.kill();
    });
    child.send({ kind: 'stop' });
  });
}
