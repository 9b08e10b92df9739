import { setImmediate, setTimeout as sleep } from 'node:timers/promises';
import { message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import { openWav, type WavReader } from '../wav/wav-reader.ts';
import {
  CaptureError,
  type CaptureFormat,
  type CaptureListener,
  type CaptureSource,
} from './capture-source.ts';

const BLOCK_S = 0.01;
const READ_AHEAD_S = 0.5;
/** Being later than this is a pause of the computer, not jitter: go on from now instead of rushing after. */
const GIVE_UP_S = 0.5;

export interface ReplayOptions {
  /** Real time, or as fast as the listener takes the blocks. */
  readonly pace: 'realTime' | 'unpaced';
  /** Where in the recording to begin. */
  readonly from_s?: number;
  /** Begin again at the start of the recording when its end is reached. */
  readonly loop?: boolean;
}

/** A recording played back as if it were captured now. */
export class ReplaySource implements CaptureSource {
  readonly format: CaptureFormat;
  /** Length of the whole recording. */
  readonly duration_s: number;
  readonly #wav: WavReader;
  readonly #options: ReplayOptions;
  readonly #stop = new AbortController();
  #running: Promise<void> | null = null;

  private constructor(wav: WavReader, options: ReplayOptions) {
    const { channels, sampleRate_Hz, encoding } = wav.format;
    this.format = {
      channels,
      sampleRate_Hz,
      bits: encoding === 'int16' ? 16 : encoding === 'int24' ? 24 : 32,
    };
    this.duration_s = wav.frames / sampleRate_Hz;
    this.#wav = wav;
    this.#options = options;
  }

  /** @throws {WavError} when the file is not a recording */
  static async open(path: string, options: ReplayOptions): Promise<ReplaySource> {
    return new ReplaySource(await openWav(path), options);
  }

  async start(listener: CaptureListener): Promise<void> {
    if (this.#running) throw new Error('a ReplaySource starts once');
    if (this.#wav.frames === 0) {
      await this.stop();
      throw new CaptureError(message('error.recordingEmpty'));
    }
    // In the next turn, so that `start` has resolved before the first block.
    this.#running = setImmediate().then(() => this.#run(listener));
  }

  async stop(): Promise<void> {
    this.#stop.abort();
    await this.#running;
    await this.#wav.close();
  }

  async #run(listener: CaptureListener): Promise<void> {
    if (this.#stop.signal.aborted) return;
    listener.onEvent({ kind: 'running' });
    try {
      await this.#playAll(listener);
    } catch (cause) {
      if (this.#stop.signal.aborted) return;
      listener.onEvent({
        kind: 'lost',
        told: toldOf(cause),
        cause: String((cause as Error).cause),
      });
    }
    if (!this.#stop.signal.aborted) listener.onEvent({ kind: 'ended' });
  }

  async #playAll(listener: CaptureListener): Promise<void> {
    const { channels, sampleRate_Hz } = this.format;
    const { signal } = this.#stop;
    const blockFrames = Math.max(1, Math.round(sampleRate_Hz * BLOCK_S));
    const aheadFrames = blockFrames * Math.round(READ_AHEAD_S / BLOCK_S);
    const planes = Array.from({ length: channels }, () => new Float32Array(aheadFrames));
    const { pace, loop = false, from_s = 0 } = this.#options;
    let at = Math.min(this.#wav.frames, Math.max(0, Math.round(from_s * sampleRate_Hz)));
    let played = 0;
    let origin_s = performance.now() / 1000;
    while (!signal.aborted) {
      const got = await this.#wav.read(at, aheadFrames, planes);
      if (got === 0) {
        if (!loop || at === 0) return;
        at = 0;
        continue;
      }
      at += got;
      for (let from = 0; from < got; from += blockFrames) {
        const frames = Math.min(blockFrames, got - from);
        if (pace === 'unpaced') await setImmediate();
        else {
          const now_s = performance.now() / 1000;
          const wait_s = origin_s + (played + frames) / sampleRate_Hz - now_s;
          if (wait_s < -GIVE_UP_S) origin_s -= wait_s;
          await sleep(Math.max(0, wait_s * 1000), undefined, { signal });
        }
        if (signal.aborted) return;
        listener.onBlock({
          firstFrame: played,
          frames,
          gapFrames: 0,
          channels: planes.map((plane) => plane.subarray(from, from + frames)),
          receivedAt_s: performance.now() / 1000,
        });
        played += frames;
      }
    }
  }
}
