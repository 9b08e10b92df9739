import { type FileHandle, open, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { message } from '../../shared/messages/message.ts';
import { deinterleave } from '../pcm.ts';
import { readLayout, WavError, type WavFormat, type WavLayout } from './wav-header.ts';

/** Bytes asked from the file at once: bounds memory whatever the header claims. */
const READ_BYTES = 1 << 18;

/** A WAV or RF64 file open for reading at any place; close it when done. */
export class WavReader {
  readonly format: WavFormat;
  /** Frames that the file really holds, whatever its header says. */
  readonly frames: number;
  /** False for a recording that was interrupted; `repairWav` mends it. */
  readonly headerIsTrue: boolean;
  readonly #file: FileHandle;
  readonly #layout: WavLayout;
  readonly #name: string;

  constructor(file: FileHandle, layout: WavLayout, name: string) {
    this.#file = file;
    this.#layout = layout;
    this.#name = name;
    this.format = layout.format;
    this.frames = layout.frames;
    this.headerIsTrue = layout.headerIsTrue;
  }

  /**
   * Reads frames into one array per channel.
   * @returns how many frames were there; fewer than asked only at the end of the file
   * @throws {WavError} when the file cannot be read
   */
  async read(firstFrame: number, frames: number, out: readonly Float32Array[]): Promise<number> {
    const { format, frameBytes, dataStart } = this.#layout;
    if (out.length !== format.channels)
      throw new RangeError(`${format.channels} arrays are needed, one per channel`);
    if (!(firstFrame >= 0)) throw new RangeError('the first frame must not be negative');
    const wanted = Math.max(0, Math.min(frames, this.frames - firstFrame));
    const step = Math.max(1, Math.floor(READ_BYTES / frameBytes));
    const buffer = Buffer.allocUnsafeSlow(Math.min(step, wanted) * frameBytes);
    let done = 0;
    while (done < wanted) {
      const bytes = Math.min(step, wanted - done) * frameBytes;
      const { bytesRead } = await this.#file
        .read(buffer, 0, bytes, dataStart + (firstFrame + done) * frameBytes)
        .catch((cause: unknown) => {
          throw new WavError(message('error.wavNotReadOn', { file: this.#name }), { cause });
        });
      const whole = Math.floor(bytesRead / frameBytes);
      if (whole === 0) break;
      deinterleave(buffer, format.encoding, whole, out, done);
      done += whole;
    }
    return done;
  }

  async close(): Promise<void> {
    await this.#file.close();
  }
}

/**
 * Opens a recording: float 32, PCM 16/24/32, plain or extensible, RIFF or RF64. Only the header is read.
 * @throws {WavError} in bounded time and memory when the file is missing or is not such a recording
 */
export async function openWav(path: string): Promise<WavReader> {
  const name = basename(path);
  const unopenable = (cause: unknown): never => {
    const missing = (cause as NodeJS.ErrnoException).code === 'ENOENT';
    throw new WavError(message(missing ? 'error.wavGone' : 'error.wavNotOpened', { file: name }), { cause });
  };
  // Opening a pipe would wait for its writer, so look before.
  const info = await stat(path).catch(unopenable);
  if (!info.isFile()) throw new WavError(message('error.wavNotAFile', { file: name }));
  const file = await open(path, 'r').catch(unopenable);
  try {
    return new WavReader(file, await readLayout(file, info.size, name), name);
  } catch (cause) {
    await file.close();
    throw cause instanceof WavError ? cause : unopenable(cause);
  }
}
