import { type FileHandle, open } from 'node:fs/promises';
import { basename } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { message } from '../../shared/messages/message.ts';
import { interleave } from '../pcm.ts';
import {
  floatHeader,
  type HeaderPatch,
  MAX_CHANNELS,
  type SizeFields,
  sizePatches,
  WavError,
} from './wav-header.ts';

/** Half a second, so that with a slow write under way a killed process still loses less than one. */
const FLUSH_EVERY_MS = 500;
const CHUNK_S = 0.25;
/** Sound that may wait for the disk before the recording is given up. */
const MAX_WAITING_S = 8;
const WAIT_ABOVE_S = 1;
const HUNG_DISK_MS = 2000;

export interface WavWriterOptions {
  readonly channels: number;
  readonly sampleRate_Hz: number;
  /** Called once when the disk fails or is too slow; what was written before stays readable. */
  readonly onError?: (error: WavError) => void;
}

interface Piece {
  readonly at: number;
  readonly bytes: Uint8Array;
}

function writeProblem(name: string, cause: unknown): WavError {
  const code = (cause as NodeJS.ErrnoException).code;
  const id =
    code === 'ENOSPC' || code === 'EDQUOT'
      ? 'error.wavDiskFull'
      : code === 'EACCES' || code === 'EPERM' || code === 'EROFS'
        ? 'error.wavForbidden'
        : 'error.wavDiskFault';
  return new WavError(message(id, { file: name }), { cause });
}

/**
 * Streams float32 samples into a WAV file without ever blocking. The header is made true twice a second, and
 * it turns to RF64 above 4 GiB; a process that is killed leaves a file that lacks less than its last second.
 */
export class WavWriter {
  /** Frames given to the writer so far. */
  frames = 0;
  /** Set once the disk has failed; from then on nothing more is written. */
  error: WavError | null = null;
  readonly #file: FileHandle;
  readonly #name: string;
  readonly #fields: SizeFields;
  readonly #onError: ((error: WavError) => void) | undefined;
  readonly #chunkBytes: number;
  readonly #maxWaitingBytes: number;
  readonly #waitAboveBytes: number;
  readonly #spare: Uint8Array[] = [];
  readonly #queue: Piece[] = [];
  #waitingBytes = 0;
  #chunk: Uint8Array;
  #chunkFill = 0;
  #chunkAt: number;
  #headerDue = false;
  #headerFrames = 0;
  #writtenTo: number;
  #pumping: Promise<void> | null = null;
  #drained: (() => void)[] = [];
  #timer: NodeJS.Timeout;
  #closing: Promise<void> | null = null;

  private constructor(file: FileHandle, name: string, fields: SizeFields, options: WavWriterOptions) {
    this.#file = file;
    this.#name = name;
    this.#fields = fields;
    this.#onError = options.onError;
    const bytesPerSecond = options.sampleRate_Hz * fields.frameBytes;
    this.#chunkBytes = Math.ceil(options.sampleRate_Hz * CHUNK_S) * fields.frameBytes;
    this.#maxWaitingBytes = bytesPerSecond * MAX_WAITING_S;
    this.#waitAboveBytes = bytesPerSecond * WAIT_ABOVE_S;
    this.#chunk = new Uint8Array(this.#chunkBytes);
    this.#chunkAt = fields.dataStart;
    this.#writtenTo = fields.dataStart;
    this.#timer = setInterval(() => this.#flush(), FLUSH_EVERY_MS);
    this.#timer.unref();
  }

  /**
   * Makes the file; one that exists is never overwritten.
   * @throws {WavError} when it cannot be made
   */
  static async create(path: string, options: WavWriterOptions): Promise<WavWriter> {
    const { channels, sampleRate_Hz } = options;
    if (!Number.isInteger(channels) || channels < 1 || channels > MAX_CHANNELS)
      throw new RangeError(`channels must be 1 to ${MAX_CHANNELS}`);
    if (!Number.isInteger(sampleRate_Hz) || sampleRate_Hz < 1)
      throw new RangeError('the sample rate must be a whole number of hertz');
    const name = basename(path);
    const { bytes, fields } = floatHeader(channels, sampleRate_Hz);
    let file: FileHandle | null = null;
    try {
      file = await open(path, 'wx');
      await file.write(bytes, 0, bytes.length, 0);
      return new WavWriter(file, name, fields, options);
    } catch (cause) {
      await file?.close().catch(() => {});
      if ((cause as NodeJS.ErrnoException).code === 'EEXIST')
        throw new WavError(message('error.wavExists', { file: name }), { cause });
      throw writeProblem(name, cause);
    }
  }

  /** Frames that the file holds by its own header; after `close()` all that was saved. */
  get savedFrames(): number {
    return this.#headerFrames;
  }

  /** Bytes that wait for the disk. */
  get waitingBytes(): number {
    return this.#waitingBytes + this.#chunkFill;
  }

  /**
   * Takes a copy of the samples and returns at once.
   * @returns false when a caller that can wait should await `drain()` first; after eight seconds' worth of
   *   waiting samples the writer gives up with an error
   */
  write(channels: readonly Float32Array[], frames: number): boolean {
    if (this.#closing) throw new Error('the WAV writer is closed');
    if (this.error) return true;
    const { frameBytes } = this.#fields;
    if (channels.length * 4 !== frameBytes) throw new RangeError('one array per channel is needed');
    // Counted before this call: a caller that drains may hand over a whole recording at once.
    if (this.#waitingBytes > this.#maxWaitingBytes) {
      this.#fail(this.#tooSlow());
      return true;
    }
    let done = 0;
    while (done < frames) {
      const room = (this.#chunkBytes - this.#chunkFill) / frameBytes;
      const count = Math.min(room, frames - done);
      interleave(channels, done, count, 'float32', this.#chunk, this.#chunkFill);
      this.#chunkFill += count * frameBytes;
      done += count;
      if (this.#chunkFill === this.#chunkBytes) this.#queueChunk();
    }
    this.frames += frames;
    return this.#waitingBytes <= this.#waitAboveBytes;
  }

  /** Leaves a stretch of silence, as for frames that were lost; costs no time and, on most disks, no space. */
  writeSilence(frames: number): void {
    if (this.#closing) throw new Error('the WAV writer is closed');
    if (this.error) return;
    this.#queueChunk();
    this.#chunkAt += frames * this.#fields.frameBytes;
    this.frames += frames;
  }

  /** Resolves when little is left to write, or when the writer has failed. */
  async drain(): Promise<void> {
    if (this.error || this.#waitingBytes <= this.#waitAboveBytes) return;
    await new Promise<void>((resolve) => this.#drained.push(resolve));
  }

  /**
   * Writes what is left and the final header. Idempotent.
   * @throws {WavError} the error that had ended the writing, or that ended it now
   */
  async close(): Promise<void> {
    this.#closing ??= this.#finish();
    await this.#closing;
    if (this.error) throw this.error;
  }

  async #finish(): Promise<void> {
    clearInterval(this.#timer);
    this.#flush();
    if (!(await this.#pumpEnds(this.error ? HUNG_DISK_MS : MAX_WAITING_S * 1000))) {
      // A disk that hangs must not hang its caller; what it still does with the file is out of our hands.
      this.#fail(this.#tooSlow());
      return;
    }
    try {
      // Silence at the end has not been written as bytes; what a failing disk took of the last piece is no sound.
      if (!this.error) this.#writtenTo = this.#chunkAt;
      await this.#file.truncate(this.#writtenTo);
      await this.#writeHeader();
    } catch (cause) {
      this.#fail(writeProblem(this.#name, cause));
    }
    await this.#file.close().catch((cause: unknown) => this.#fail(writeProblem(this.#name, cause)));
  }

  async #pumpEnds(within_ms: number): Promise<boolean> {
    const limit = performance.now() + within_ms;
    while (this.#pumping) {
      await Promise.race([this.#pumping, sleep(100)]);
      if (performance.now() > limit) return false;
    }
    return true;
  }

  #tooSlow(): WavError {
    return new WavError(message('error.wavDiskSlow', { file: this.#name }));
  }

  #flush(): void {
    this.#queueChunk();
    this.#headerDue = true;
    this.#pump();
  }

  #queueChunk(): void {
    if (this.#chunkFill === 0) return;
    this.#queue.push({ at: this.#chunkAt, bytes: this.#chunk.subarray(0, this.#chunkFill) });
    this.#waitingBytes += this.#chunkFill;
    this.#chunkAt += this.#chunkFill;
    this.#chunkFill = 0;
    this.#chunk = this.#spare.pop() ?? new Uint8Array(this.#chunkBytes);
    this.#pump();
  }

  #pump(): void {
    this.#pumping ??= this.#drainQueue()
      .catch((cause: unknown) => this.#fail(writeProblem(this.#name, cause)))
      .finally(() => {
        this.#pumping = null;
      });
  }

  async #drainQueue(): Promise<void> {
    while (!this.error && (this.#queue.length > 0 || this.#headerDue)) {
      const piece = this.#queue[0];
      if (piece) {
        await this.#writeAll(piece);
        if (this.error) return;
        this.#queue.shift();
        this.#waitingBytes -= piece.bytes.length;
        this.#writtenTo = piece.at + piece.bytes.length;
        this.#spare.push(new Uint8Array(piece.bytes.buffer));
        if (this.#waitingBytes <= this.#waitAboveBytes) this.#wakeWaiters();
      } else {
        this.#headerDue = false;
        await this.#writeHeader();
      }
    }
  }

  /** The disk may take less than it was given, which is how a full one announces itself. */
  async #writeAll(piece: Piece | HeaderPatch): Promise<void> {
    for (let done = 0; done < piece.bytes.length; ) {
      const { bytesWritten } = await this.#file.write(
        piece.bytes,
        done,
        piece.bytes.length - done,
        piece.at + done,
      );
      done += bytesWritten;
    }
  }

  async #writeHeader(): Promise<void> {
    const frames = Math.floor((this.#writtenTo - this.#fields.dataStart) / this.#fields.frameBytes);
    if (frames === this.#headerFrames) return;
    for (const patch of sizePatches(this.#fields, frames)) await this.#writeAll(patch);
    this.#headerFrames = frames;
    // For the power cut: what is in the file's header is on the disk.
    await this.#file.datasync();
  }

  #wakeWaiters(): void {
    for (const resolve of this.#drained.splice(0)) resolve();
  }

  #fail(error: WavError): void {
    if (this.error) return;
    this.error = error;
    clearInterval(this.#timer);
    this.#queue.length = 0;
    this.#waitingBytes = 0;
    this.#chunkFill = 0;
    this.#wakeWaiters();
    this.#onError?.(error);
  }
}
