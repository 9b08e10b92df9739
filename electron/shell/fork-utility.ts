import { utilityProcess } from 'electron';

export interface ChildHandle {
  readonly pid: number | undefined;
  postMessage(message: unknown): void;
  onMessage(listener: (message: unknown) => void): void;
  onExit(listener: (code: number | null) => void): void;
  kill(): void;
}
export type ForkChild = (file: string, args: readonly string[]) => ChildHandle;

/** Starts a child program in a process of Electron's own Node. */
export const forkUtility: ForkChild = (file, args) => {
  const child = utilityProcess.fork(file, [...args], { stdio: 'inherit' });
  return {
    get pid() {
      return child.pid;
    },
    postMessage: (message) => child.postMessage(message),
    onMessage: (listener) => void child.on('message', listener),
    onExit: (listener) => void child.on('exit', listener),
    // kill() of a utility process is a polite SIGTERM, which a frozen PortAudio does not hear.
    kill: () => {
      if (child.pid !== undefined) process.kill(child.pid, 'SIGKILL');
    },
  };
};
