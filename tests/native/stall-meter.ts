import { Worker } from 'node:worker_threads';

export interface StallMeter {
  /** Stalls of more than 5 ms (late for a 2 ms timer) so far, in milliseconds. */
  readonly stalls: readonly number[];
  end(): Promise<void>;
}

/**
 * Watches how long the machine keeps a waiting thread from running. Sound with less than 100 ms of delay
 * cannot bridge every stall, and on a shared machine they do happen: a test of the output must know of them.
 */
export async function watchStalls(): Promise<StallMeter> {
  const worker = new Worker(
    `const { parentPort } = require('node:worker_threads');
     let last = performance.now();
     setInterval(() => {
       const now = performance.now();
       if (now - last > 7) parentPort.postMessage(now - last);
       last = now;
     }, 2);
     parentPort.postMessage(0);`,
    { eval: true },
  );
  const stalls: number[] = [];
  await new Promise<void>((resolve) => {
    worker.on('message', (stall: number) => {
      if (stall === 0) resolve();
      else stalls.push(stall);
    });
  });
  return {
    stalls,
    end: async () => {
      await worker.terminate();
    },
  };
}
