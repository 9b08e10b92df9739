import { type Message, type MessageId, message } from '../../shared/messages/message.ts';
import { deinterleave } from '../pcm.ts';
import {
  type ChildLink,
  type ForkChild,
  forkWithNode,
  portAudioChildFile,
  stopChild,
} from '../portaudio/child-link.ts';
import type { CaptureRequest, DeviceRef, FromChild, RefusalReason } from '../portaudio/messages.ts';
import { refusalWords } from '../portaudio/refusal-words.ts';
import {
  CaptureError,
  type CaptureFormat,
  type CaptureListener,
  type CaptureSource,
} from './capture-source.ts';
import { FrameClock } from './frame-clock.ts';

const BLOCK_S = 0.01;
/** First data has been seen to take 1.8 s. */
const FIRST_DATA_MS = 5000;
/** Counted in ticks, so that a pause of our own process is not taken for the child's. */
const WATCH_TICK_MS = 200;
const SILENT_TICKS = 3;
/**
 * A stream that went on after a longer gap may come from another device: PulseAudio moves it to the default
 * one when its own is pulled. Opening it again by name makes sure.
 */
const DOUBTFUL_GAP_S = 0.25;
const REOPEN_AFTER_MS = 500;
const STOP_WITHIN_MS = 1500;

export interface PortAudioOptions extends CaptureFormat {
  /** null is the system's default input. */
  readonly device: DeviceRef | null;
  readonly forkChild?: ForkChild;
  readonly childFile?: string;
}

interface Stream {
  readonly child: ChildLink;
  /** Bytes of a frame that has not arrived whole. */
  carried: Uint8Array;
  /** Frames that PortAudio reported as lost since the last block. */
  overflowed: number;
  silentTicks: number;
  over: boolean;
}

/** Why a stream could not be opened or came to its end. */
interface Ending {
  readonly told: Message;
  readonly cause: string;
  readonly refusedFor?: RefusalReason;
}

/**
 * Captures through PortAudio, which runs in a child process: it may freeze or crash there. The child is ended
 * and replaced when it falls silent, and the device is opened again until it is back.
 */
export class PortAudioSource implements CaptureSource {
  readonly format: CaptureFormat;
  readonly #device: DeviceRef | null;
  readonly #forkChild: ForkChild;
  readonly #childFile: string;
  readonly #clock: FrameClock;
  readonly #frameBytes: number;
  readonly #framesPerBlock: number;
  #planes: Float32Array[] = [];
  #listener: CaptureListener | null = null;
  #stream: Stream | null = null;
  #lost = false;
  #toldLost: MessageId | null = null;
  #reopenTimer: NodeJS.Timeout | null = null;
  #watch: NodeJS.Timeout | null = null;
  #stopping: Promise<void> | null = null;

  constructor(options: PortAudioOptions) {
    const { channels, sampleRate_Hz, bits } = options;
    if (!Number.isInteger(channels) || channels < 1 || channels > 32)
      throw new CaptureError(message('error.channelCount', { channels }));
    if (!Number.isInteger(sampleRate_Hz) || sampleRate_Hz < 1)
      throw new CaptureError(message('error.sampleRate', { rate_Hz: sampleRate_Hz }));
    this.format = { channels, sampleRate_Hz, bits };
    this.#device = options.device;
    this.#forkChild = options.forkChild ?? forkWithNode();
    this.#childFile = options.childFile ?? portAudioChildFile();
    this.#clock = new FrameClock(sampleRate_Hz);
    this.#frameBytes = (channels * bits) / 8;
    this.#framesPerBlock = Math.max(1, Math.round(sampleRate_Hz * BLOCK_S));
  }

  async start(listener: CaptureListener): Promise<void> {
    if (this.#listener || this.#stopping) throw new Error('a PortAudioSource starts once');
    this.#listener = listener;
    const ending = await this.#open();
    if (ending) {
      this.#listener = null;
      throw new CaptureError(ending.told, { cause: ending.cause });
    }
    if (this.#stopping) throw new CaptureError(message('error.captureStopped'));
  }

  stop(): Promise<void> {
    this.#stopping ??= this.#end();
    return this.#stopping;
  }

  async #end(): Promise<void> {
    this.#listener = null;
    if (this.#reopenTimer) clearTimeout(this.#reopenTimer);
    if (this.#watch) clearInterval(this.#watch);
    const stream = this.#stream;
    this.#stream = null;
    if (stream && !stream.over) await stopChild(stream.child, STOP_WITHIN_MS);
  }

  /** Resolves with null once samples flow, or with the reason why they do not. */
  #open(): Promise<Ending | null> {
    return new Promise((resolve) => {
      const child = this.#forkChild(this.#childFile);
      const stream: Stream = {
        child,
        carried: new Uint8Array(0),
        overflowed: 0,
        silentTicks: 0,
        over: false,
      };
      this.#stream = stream;
      let flowing = false;
      const end = (ending: Ending) => {
        if (stream.over) return;
        stream.over = true;
        clearTimeout(firstData);
        child.kill();
        if (this.#stream === stream) this.#stream = null;
        if (flowing) this.#lose(ending);
        else resolve(ending);
      };
      const silent = () =>
        end({ told: this.#words('silent'), cause: `no data within ${FIRST_DATA_MS} ms of opening` });
      const firstData = setTimeout(silent, FIRST_DATA_MS);
      child.onExit((reason) => end({ told: this.#words('other'), cause: reason }));
      child.onMessage((received) => {
        if (stream.over || this.#stream !== stream) return;
        const said = received as FromChild;
        if (said.kind === 'refused')
          end({
            told: this.#words(said.reason, said.channelsThere),
            cause: said.detail,
            refusedFor: said.reason,
          });
        else if (said.kind === 'overflow') stream.overflowed += said.frames;
        else if (said.kind === 'data') {
          if (!flowing) {
            flowing = true;
            clearTimeout(firstData);
            this.#begin(stream, end);
            resolve(null);
          }
          const gap_s = this.#take(stream, said.bytes) / this.format.sampleRate_Hz;
          if (gap_s > DOUBTFUL_GAP_S)
            end({ told: this.#lostWords, cause: `${gap_s.toFixed(2)} s missing in an unbroken stream` });
        }
      });
      const request: CaptureRequest = {
        kind: 'capture',
        device: this.#device,
        ...this.format,
        framesPerBlock: this.#framesPerBlock,
      };
      child.send(request);
    });
  }

  /** What is told of a stream that had been flowing. */
  get #lostWords(): Message {
    return message('error.captureLost', { device: this.#device?.name ?? message('device.input') });
  }

  #words(reason: RefusalReason, channelsThere?: number): Message {
    const { channels, sampleRate_Hz } = this.format;
    const name = this.#device?.name ?? null;
    return refusalWords({ name, direction: 'input', channels, sampleRate_Hz }, reason, channelsThere);
  }

  #begin(stream: Stream, end: (ending: Ending) => void): void {
    if (!this.#lost) this.#listener?.onEvent({ kind: 'running' });
    this.#watch = setInterval(() => {
      if (++stream.silentTicks > SILENT_TICKS)
        end({ told: this.#lostWords, cause: `no data for ${SILENT_TICKS * WATCH_TICK_MS} ms` });
    }, WATCH_TICK_MS);
  }

  #lose(ending: Ending): void {
    if (this.#watch) clearInterval(this.#watch);
    if (!this.#listener) return;
    this.#lost = true;
    this.#tellLost({ told: this.#lostWords, cause: ending.cause });
    void this.#reopen();
  }

  /** Told again only when there is something new to say, as when the device came back at another rate. */
  #tellLost({ told, cause }: Ending): void {
    if (told.id === this.#toldLost) return;
    this.#toldLost = told.id;
    this.#listener?.onEvent({ kind: 'lost', told, cause });
  }

  async #reopen(): Promise<void> {
    // Each try has a fresh process: only then does PortAudio see what was plugged in.
    const ending = await this.#open();
    if (ending === null || !this.#listener) return;
    if (ending.refusedFor === 'rate' || ending.refusedFor === 'busy' || ending.refusedFor === 'channels')
      this.#tellLost(ending);
    this.#reopenTimer = setTimeout(() => void this.#reopen(), REOPEN_AFTER_MS);
  }

  /** Hands the frames on; returns how many were missing before them in a stream that had not been lost. */
  #take(stream: Stream, bytes: Uint8Array): number {
    stream.silentTicks = 0;
    const listener = this.#listener;
    if (!listener) return 0;
    let whole = bytes;
    if (stream.carried.length > 0 || bytes.length % this.#frameBytes !== 0) {
      const joined = Buffer.concat([stream.carried, bytes]);
      const end = joined.length - (joined.length % this.#frameBytes);
      whole = joined.subarray(0, end);
      stream.carried = joined.subarray(end);
    }
    const frames = whole.length / this.#frameBytes;
    if (frames === 0) return 0;
    if (!this.#planes[0] || this.#planes[0].length < frames)
      this.#planes = Array.from({ length: this.format.channels }, () => new Float32Array(frames));
    deinterleave(whole, `int${this.format.bits}`, frames, this.#planes);

    const receivedAt_s = performance.now() / 1000;
    const wasLost = this.#lost;
    const gapFrames = wasLost
      ? this.#clock.resumed(frames, receivedAt_s)
      : this.#clock.arrived(frames, receivedAt_s, stream.overflowed);
    stream.overflowed = 0;
    if (wasLost) {
      this.#lost = false;
      this.#toldLost = null;
      listener.onEvent({ kind: 'resumed', gapFrames });
    }
    listener.onBlock({
      firstFrame: this.#clock.frames - frames,
      frames,
      gapFrames,
      channels: this.#planes,
      receivedAt_s,
    });
    return wasLost ? 0 : gapFrames;
  }
}
