import { utilityProcess } from 'electron';
import type { ForkChild } from '../../native/portaudio/child-link.ts';

/** The last words of a child go into the cause of an error, never to the technician. */
const STDERR_TAIL = 500;

/** Starts a child program in a process of Electron's own Node. */
export const forkUtility: ForkChild = (file) => {
  const child = utilityProcess.fork(file, [], { stdio: ['ignore', 'ignore', 'pipe'] });
  let tail = '';
  child.stderr!.on('data', (text: Buffer) => {
    tail = (tail + text.toString()).slice(-STDERR_TAIL);
  });
  let killed = false;
  // The process has a number only once it has been spawned.
  child.once('spawn', () => {
    if (killed) end();
  });
  const end = (): void => {
    // utilityProcess.kill() is a polite SIGTERM, which a frozen PortAudio does not hear.
    if (child.pid !== undefined) process.kill(child.pid, 'SIGKILL');
  };
  return {
    send: (message) => child.postMessage(message),
    onMessage: (listener) => {
      child.on('message', listener);
    },
    onExit: (listener) => {
      child.once('exit', (code) => listener(`exit code ${code}${tail ? `: ${tail.trim()}` : ''}`));
    },
    kill: () => {
      killed = true;
      end();
    },
  };
};
