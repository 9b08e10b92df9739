import { openWav, type WavReader } from '../wav/wav-reader.ts';
import type { CaptureFormat, CaptureListener, CaptureSource } from './capture-source.ts';

const BLOCK_S = 0.02;
/** A reader that fell behind by more, as after the computer slept, goes on from where it is. */
const LATEST_S = 1;

export interface ReplayOptions {
  readonly firstFrame?: number;
  /** As fast as the listener takes the blocks, instead of in real time. */
  readonly fast?: boolean;
  readonly loop?: boolean;
}

/** Plays a recording as if it came from an interface. */
export class ReplaySource implements CaptureSource {
  readonly format: CaptureFormat;
  readonly #wav: WavReader;
  readonly #options: ReplayOptions;
  #playing: Promise<void> | null = null;
  #stopping = false;
  #wake: (() => void) | null = null;

  private constructor(wav: WavReader, options: ReplayOptions) {
    this.#wav = wav;
    this.#options = options;
    const { channels, sampleRate_Hz, encoding } = wav.format;
    // Float samples carry the 24 bits of a converter.
    const bits = encoding === 'int16' ? 16 : encoding === 'int32' ? 32 : 24;
    this.format = { channels, sampleRate_Hz, bits };
  }

  /** @throws {WavError} when the recording cannot be opened */
  static async open(path: string, options: ReplayOptions = {}): Promise<ReplaySource> {
    return new ReplaySource(await openWav(path), options);
  }

  async start(listener: CaptureListener): Promise<void> {
    if (this.#playing) throw new Error('a ReplaySource starts once');
    listener.onEvent({ kind: 'running' });
    this.#playing = this.#play(listener).catch((cause: Error) => {
      if (!this.#stopping)
        listener.onEvent({ kind: 'lost', message: cause.message, cause: String(cause.cause) });
    });
  }

  async stop(): Promise<void> {
    if (this.#stopping) return this.#playing ?? undefined;
    this.#stopping = true;
    this.#wake?.();
    await this.#playing;
    await this.#wav.close();
  }

  async #play(listener: CaptureListener): Promise<void> {
    const { sampleRate_Hz, channels } = this.format;
    const frames = Math.round(BLOCK_S * sampleRate_Hz);
    const block = Array.from({ length: channels }, () => new Float32Array(frames));
    let at = this.#options.firstFrame ?? 0;
    let firstFrame = 0;
    let startedAt_s = performance.now() / 1000;
    while (!this.#stopping) {
      let read = await this.#wav.read(at, frames, block);
      if (read === 0 && this.#options.loop && this.#wav.frames > 0) {
        at = 0;
        read = await this.#wav.read(at, frames, block);
      }
      if (read === 0) {
        if (!this.#stopping) listener.onEvent({ kind: 'ended' });
        return;
      }
      at += read;
      if (!this.#options.fast) {
        const late_s = performance.now() / 1000 - startedAt_s - (firstFrame + read) / sampleRate_Hz;
        if (late_s < 0) await this.#sleep(-late_s * 1000);
        else if (late_s > LATEST_S) startedAt_s += late_s;
      }
      if (this.#stopping) return;
      const receivedAt_s = performance.now() / 1000;
      listener.onBlock({ firstFrame, frames: read, gapFrames: 0, channels: block, receivedAt_s });
      firstFrame += read;
    }
  }

  #sleep(ms: number): Promise<void> {
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, ms);
      this.#wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  }
}
