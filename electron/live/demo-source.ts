import type { Worker } from 'node:worker_threads';
import type {
  Block,
  CaptureFormat,
  CaptureListener,
  CaptureSource,
} from '../../native/capture/capture-source.ts';
import { startThread } from '../service/start-thread.ts';

const BLOCK_S = 0.02;
/** One chunk is rendered while the one before is played. */
const CHUNK_BLOCKS = 25;

/** The built-in demo drive, rendered in a worker thread and handed out in real time. */
export class DemoSource implements CaptureSource {
  readonly format: CaptureFormat;
  readonly #program: string;
  readonly #blockFrames: number;
  #worker: Worker | null = null;
  #timer: NodeJS.Timeout | null = null;
  #chunks: Float32Array[][] = [];
  #frames = 0;
  #blockInChunk = 0;

  /** @param program file of the worker that renders */
  constructor(format: CaptureFormat, program: string) {
    this.format = format;
    this.#program = program;
    this.#blockFrames = Math.round(BLOCK_S * format.sampleRate_Hz);
  }

  async start(listener: CaptureListener): Promise<void> {
    const worker = startThread(this.#program, { chunkFrames: CHUNK_BLOCKS * this.#blockFrames });
    this.#worker = worker;
    await new Promise<void>((resolve, reject) => {
      worker.once('error', reject);
      worker.on('message', (chunk: Float32Array[]) => {
        this.#chunks.push(chunk);
        resolve();
      });
      worker.postMessage(null);
    });
    worker.postMessage(null);
    listener.onEvent({ kind: 'running' });
    const startedAt_ms = performance.now();
    this.#timer = setInterval(
      () => {
        const due = Math.floor((performance.now() - startedAt_ms) / (1000 * BLOCK_S));
        while (this.#frames < due * this.#blockFrames && this.#chunks.length > 0) this.#handOut(listener);
      },
      (1000 * BLOCK_S) / 2,
    );
  }

  async stop(): Promise<void> {
    if (this.#timer) clearInterval(this.#timer);
    this.#timer = null;
    const worker = this.#worker;
    this.#worker = null;
    await worker?.terminate();
  }

  #handOut(listener: CaptureListener): void {
    const from = this.#blockInChunk * this.#blockFrames;
    const block: Block = {
      firstFrame: this.#frames,
      frames: this.#blockFrames,
      gapFrames: 0,
      channels: this.#chunks[0]!.map((samples) => samples.subarray(from, from + this.#blockFrames)),
      receivedAt_s: performance.now() / 1000,
    };
    this.#frames += this.#blockFrames;
    this.#blockInChunk++;
    if (this.#blockInChunk === CHUNK_BLOCKS) {
      this.#blockInChunk = 0;
      this.#chunks.shift();
      this.#worker?.postMessage(null);
    }
    listener.onBlock(block);
  }
}
