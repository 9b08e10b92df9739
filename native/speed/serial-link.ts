import { existsSync } from 'node:fs';
import type { LinkProblem, SpeedLinkReading, SpeedProtocol } from '../../shared/speed/protocol.ts';
import { type OpenPort, openSerialPort } from './serial-port.ts';

export interface SerialLinkOptions {
  readonly path: string;
  readonly baudRate: number;
  readonly protocol: SpeedProtocol;
  readonly onReading: (reading: SpeedLinkReading) => void;
  /** What is wrong has changed; null: nothing is wrong any more. */
  readonly onProblem: (problem: LinkProblem | null) => void;
}

const STEP_MS = 50;
const REJOIN_EVERY_S = 1;
/**
 * That a device was pulled out is not always told: on Linux a read in flight then ends with no bytes and is begun again.
 * The device's file is gone all the same.
 */
const LOOK_AFTER_SILENCE_S = 0.5;
/** Where there is no file to look for, or another device has it already, opening the port anew finds out. */
const REOPEN_AFTER_SILENCE_S = 12;
/** Ten times what 115,200 baud carry; what is more than that is no receiver, and must not take the time of others. */
const MOST_BYTES_PER_STEP = Math.ceil((10 * 11_520 * STEP_MS) / 1000);
/** A receiver at USB may send a burst that was waiting; a flood does not end. */
const FLOOD_STEPS = 5;

const monotonic_s = (): number => performance.now() / 1000;

/** A serial link that joins again by itself, until it is closed. */
export class SerialLink {
  readonly #options: SerialLinkOptions;
  #port: OpenPort | null = null;
  /** The port is being opened or closed. */
  #busy = false;
  #closed = false;
  #lastByte_s = 0;
  #nextJoin_s = 0;
  #nextLook_s = 0;
  #bytesThisStep = 0;
  #fullSteps = 0;
  #flooded_s = Number.NEGATIVE_INFINITY;
  #problem: LinkProblem | null = null;
  #timer: NodeJS.Timeout | null = null;

  private constructor(options: SerialLinkOptions) {
    this.#options = options;
  }

  /** @throws {SpeedLinkError} when the port cannot be opened this first time */
  static async open(options: SerialLinkOptions): Promise<SerialLink> {
    const link = new SerialLink(options);
    await link.#join();
    link.#timer = setInterval(() => link.#step(), STEP_MS);
    link.#timer.unref();
    return link;
  }

  get problem(): LinkProblem | null {
    return this.#problem;
  }

  /** Idempotent; no reading comes after it was called. */
  async close(): Promise<void> {
    this.#closed = true;
    if (this.#timer) clearInterval(this.#timer);
    const port = this.#port;
    this.#port = null;
    await port?.close();
  }

  async #join(): Promise<void> {
    this.#busy = true;
    try {
      const port = await openSerialPort(this.#options.path, this.#options.baudRate, {
        onBytes: (bytes) => this.#receive(bytes),
        onGone: () => {
          this.#port = null;
          this.#tell('lost');
        },
      });
      if (this.#closed) return void (await port.close());
      this.#port = port;
      const now_s = monotonic_s();
      this.#lastByte_s = now_s;
      this.#options.protocol.begin(now_s);
    } finally {
      this.#busy = false;
    }
  }

  #receive(bytes: Uint8Array): void {
    if (this.#closed) return;
    const now_s = monotonic_s();
    this.#lastByte_s = now_s;
    this.#bytesThisStep += bytes.length;
    if (this.#bytesThisStep > MOST_BYTES_PER_STEP) this.#port?.pause();
    this.#options.protocol.receive(bytes, now_s).forEach(this.#options.onReading);
  }

  #step(): void {
    const now_s = monotonic_s();
    if (!this.#port) {
      if (this.#busy || now_s < this.#nextJoin_s) return;
      this.#nextJoin_s = now_s + REJOIN_EVERY_S;
      // Still lost; why is of no interest to a technician who has to plug it in anyway.
      this.#join().catch(() => {});
      return;
    }
    if (this.#bytesThisStep > MOST_BYTES_PER_STEP) {
      this.#port.resume();
      if (++this.#fullSteps >= FLOOD_STEPS) this.#flooded_s = now_s;
    } else this.#fullSteps = 0;
    this.#bytesThisStep = 0;
    const silence_s = now_s - this.#lastByte_s;
    if (silence_s > LOOK_AFTER_SILENCE_S && now_s >= this.#nextLook_s) {
      this.#nextLook_s = now_s + LOOK_AFTER_SILENCE_S;
      const gone = this.#options.path.startsWith('/') && !existsSync(this.#options.path);
      if (gone) this.#tell('lost');
      if (gone || silence_s > REOPEN_AFTER_SILENCE_S) {
        this.#letGo();
        return;
      }
    }
    const { readings, send } = this.#options.protocol.step(now_s);
    readings.forEach(this.#options.onReading);
    if (send !== null) this.#port.write(send);
    const flooded = now_s - this.#flooded_s < 1;
    this.#tell(flooded ? 'flood' : this.#options.protocol.problem(now_s));
  }

  /** Closes a port that is of no use any more; the next steps join again. */
  #letGo(): void {
    const port = this.#port!;
    this.#port = null;
    this.#busy = true;
    void port.close().then(() => {
      this.#busy = false;
    });
  }

  #tell(problem: LinkProblem | null): void {
    if (this.#closed || problem === this.#problem) return;
    this.#problem = problem;
    this.#options.onProblem(problem);
  }
}
