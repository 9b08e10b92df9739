import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';

/**
 * Starts a program in a thread of its own. Node strips the types of sources by WebAssembly, whose wrappers all threads
 * share; when two threads replace one at once by a faster one, V8 of Node 24 now and then aborts the whole process
 * (ThreadIsolation::UnregisterWasmAllocation). So where sources run none is replaced. Bundles have no types to strip,
 * and Electron lets nobody change V8's flags.
 * @param program file of the thread's program; see `programPath`
 */
export function startThread(program: string, workerData: unknown): Worker {
  if (program.endsWith('.ts')) setFlagsFromString('--wasm-wrapper-tiering-budget=2000000000');
  return new Worker(program, { workerData });
}
