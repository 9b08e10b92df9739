import { Worker } from 'node:worker_threads';

/**
 * Watches how long the machine keeps a waiting thread from running. Sound with less than 100 ms of delay
 * cannot bridge a stall of that length, and on a shared machine such stalls do happen: a test of the output
 * must know of them.
 * @returns a function that ends the watch and gives the stalls longer than 15 ms, in milliseconds
 */
export function watchStalls(): () => Promise<number[]> {
  const worker = new Worker(
    `const { parentPort } = require('node:worker_threads');
     try { require('node:os').setPriority(-7); } catch {}
     const stalls = [];
     let last = performance.now();
     setInterval(() => {
       const now = performance.now();
       if (now - last > 15) stalls.push(now - last);
       last = now;
     }, 2);
     parentPort.once('message', () => { parentPort.postMessage(stalls); process.exit(); });`,
    { eval: true },
  );
  return () =>
    new Promise((resolve) => {
      worker.once('message', resolve);
      worker.postMessage('end');
    });
}
