import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';

// Node strips the types of sources by WebAssembly, whose wrappers all threads share; when two threads replace one at
// once by a faster one, V8 of Node 24 now and then aborts the whole process (ThreadIsolation::UnregisterWasmAllocation).
// So where sources run none is replaced, from before the first thread. Bundles have no types to strip, and Electron
// lets nobody change V8's flags.
if (import.meta.url.endsWith('.ts')) setFlagsFromString('--wasm-wrapper-tiering-budget=2000000000');

/**
 * Starts a program in a thread of its own.
 * @param program file of the thread's program; see `programPath`
 */
export const startThread = (program: string, workerData: unknown): Worker =>
  new Worker(program, { workerData });
