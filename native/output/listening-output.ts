import { type Message, message } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';
import {
  type ChildLink,
  type ForkChild,
  forkWithNode,
  portAudioChildFile,
  stopChild,
} from '../portaudio/child-link.ts';
import type { DeviceRef, FromChild, PlayRequest } from '../portaudio/messages.ts';
import { refusalWords } from '../portaudio/refusal-words.ts';

/** Where the chosen channel is heard. */
export interface ListeningOutput {
  /** Takes a copy of the mono samples and returns at once; never throws. */
  write(samples: Float32Array): void;
  /** Idempotent. */
  close(): Promise<void>;
}

/** The message is one sentence for the technician. */
export class OutputError extends ToldError {
  override readonly name = 'OutputError';
}

export interface PortAudioOutputOptions {
  /** null is the system's default output. */
  readonly device: DeviceRef | null;
  /** Rate of the samples; the child converts them if the output runs at another one. */
  readonly sampleRate_Hz: number;
  /** The output was lost; it is opened again until it is back. */
  readonly onProblem?: (told: Message) => void;
  readonly onRecovered?: () => void;
  readonly forkChild?: ForkChild;
  readonly childFile?: string;
}

const OPEN_WITHIN_MS = 5000;
const WATCH_TICK_MS = 250;
/** The child reports four times a second while the device takes samples. */
const SILENT_TICKS = 4;
const REOPEN_AFTER_MS = 1000;
const STOP_WITHIN_MS = 1000;

interface Stream {
  readonly child: ChildLink;
  playing: boolean;
  over: boolean;
  silentTicks: number;
}

/**
 * Plays mono sound through PortAudio in a child process of its own, so that neither a frozen output nor its
 * loss touches the capture. Under PulseAudio a sample is heard 60 to 90 ms after `write`.
 */
export class PortAudioOutput implements ListeningOutput {
  /** How often the device ran out of samples, since it was opened last. */
  underruns = 0;
  /** How often no samples had come in time, since it was opened last. */
  starved = 0;
  readonly #options: PortAudioOutputOptions;
  readonly #forkChild: ForkChild;
  readonly #childFile: string;
  #stream: Stream | null = null;
  #watch: NodeJS.Timeout | null = null;
  #reopenTimer: NodeJS.Timeout | null = null;
  #closing: Promise<void> | null = null;

  private constructor(options: PortAudioOutputOptions) {
    this.#options = options;
    this.#forkChild = options.forkChild ?? forkWithNode();
    this.#childFile = options.childFile ?? portAudioChildFile();
  }

  /** @throws {OutputError} when the output cannot be opened */
  static async open(options: PortAudioOutputOptions): Promise<PortAudioOutput> {
    const output = new PortAudioOutput(options);
    const refused = await output.#open();
    if (refused) throw refused;
    return output;
  }

  write(samples: Float32Array): void {
    // Its own buffer: of a part of a larger one the whole would be sent.
    if (this.#stream?.playing) this.#stream.child.send({ kind: 'samples', samples: samples.slice() });
  }

  close(): Promise<void> {
    this.#closing ??= this.#end();
    return this.#closing;
  }

  async #end(): Promise<void> {
    if (this.#watch) clearInterval(this.#watch);
    if (this.#reopenTimer) clearTimeout(this.#reopenTimer);
    const stream = this.#stream;
    this.#stream = null;
    if (stream && !stream.over) await stopChild(stream.child, STOP_WITHIN_MS);
  }

  /** Resolves with null once the device plays, or with the reason why it does not. */
  #open(): Promise<OutputError | null> {
    const { device, sampleRate_Hz } = this.#options;
    const asked = { name: device?.name ?? null, direction: 'output', channels: 1, sampleRate_Hz } as const;
    return new Promise((resolve) => {
      const child = this.#forkChild(this.#childFile);
      const stream: Stream = { child, playing: false, over: false, silentTicks: 0 };
      this.#stream = stream;
      const end = (told: Message, cause: string) => {
        if (stream.over) return;
        stream.over = true;
        clearTimeout(timer);
        child.kill();
        if (this.#stream === stream) this.#stream = null;
        if (stream.playing) this.#lose();
        else resolve(new OutputError(told, { cause }));
      };
      const timer = setTimeout(
        () => end(refusalWords(asked, 'silent'), `not playing within ${OPEN_WITHIN_MS} ms`),
        OPEN_WITHIN_MS,
      );
      child.onExit((reason) => end(refusalWords(asked, 'other'), reason));
      child.onMessage((received) => {
        if (stream.over || this.#stream !== stream) return;
        const said = received as FromChild;
        stream.silentTicks = 0;
        if (said.kind === 'refused') end(refusalWords(asked, said.reason, said.channelsThere), said.detail);
        else if (said.kind === 'playing') {
          stream.playing = true;
          clearTimeout(timer);
          this.#watch = setInterval(() => {
            if (++stream.silentTicks > SILENT_TICKS) end(this.#lostWords, 'the output takes no samples');
          }, WATCH_TICK_MS);
          resolve(null);
        } else if (said.kind === 'played') {
          this.underruns = said.underruns;
          this.starved = said.starved;
        }
      });
      const request: PlayRequest = { kind: 'play', device, sampleRate_Hz };
      child.send(request);
    });
  }

  get #lostWords(): Message {
    return message('error.outputLost', { device: this.#options.device?.name ?? message('device.output') });
  }

  #lose(): void {
    if (this.#watch) clearInterval(this.#watch);
    if (this.#closing) return;
    this.#options.onProblem?.(this.#lostWords);
    void this.#reopen();
  }

  async #reopen(): Promise<void> {
    const refused = await this.#open();
    if (this.#closing) return;
    if (refused === null) this.#options.onRecovered?.();
    else this.#reopenTimer = setTimeout(() => void this.#reopen(), REOPEN_AFTER_MS);
  }
}
