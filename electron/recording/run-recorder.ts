import { rm } from 'node:fs/promises';
import type { Block } from '../../native/capture/capture-source.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import type { Segment, SpeedReadings } from '../../shared/bundle/visit.ts';
import type { Gap, Mark, RunSecond } from '../../shared/contract/garage.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';

/** What the recorder leaves in the database while it runs. */
export interface RunLog {
  addSecond(second: RunSecond): void;
  addMark(mark: Mark): void;
  addGap(gap: Gap): void;
  addSpeed(readings: SpeedReadings): void;
  addSegment(segment: Segment): void;
  /** The recording is whole. */
  finish(frames: number): void;
  /** The disk failed; so many frames were saved. */
  breakOff(frames: number): void;
}

export interface RunRecorderOptions {
  readonly path: string;
  readonly channels: number;
  readonly sampleRate_Hz: number;
  /** Makes the run's rows; called once its file is there, so that no run stands in the garage without one. */
  readonly openLog: () => RunLog;
  /** The disk failed: nothing more is recorded, and what was written stays. `stop` is still to be called. */
  readonly onFailed: (told: Message) => void;
  /** The history could not be written; the sound is still recorded. */
  readonly onProblem: (told: Message) => void;
}

/**
 * Records one run: samples into a WAV file that a killed process cannot ruin, marks, gaps and seconds into the
 * database. Missing frames become silence of the same length, so that time in the file is time on the road.
 */
export class RunRecorder {
  readonly #writer: WavWriter;
  readonly #options: RunRecorderOptions;
  readonly #history: RunLog;
  #stopped: Promise<void> | null = null;
  /** When the last block came, on the monotonic clock. */
  #fedAt_s: number | null = null;
  /** Readings since the last second; a transaction for each would be many. */
  #speed: SpeedReadings = { t_s: [], v_km_h: [] };

  private constructor(writer: WavWriter, options: RunRecorderOptions, history: RunLog) {
    this.#writer = writer;
    this.#options = options;
    this.#history = history;
  }

  /**
   * @throws {WavError} when the file cannot be made
   * @throws what `openLog` throws; the file is gone again
   */
  static async start(options: RunRecorderOptions): Promise<RunRecorder> {
    const writer = await WavWriter.create(options.path, {
      channels: options.channels,
      sampleRate_Hz: options.sampleRate_Hz,
      onError: (error) => options.onFailed(error.told),
    });
    try {
      return new RunRecorder(writer, options, options.openLog());
    } catch (cause) {
      await writer.close().catch(() => {});
      await rm(options.path, { force: true }).catch(() => {});
      throw cause;
    }
  }

  get frames(): number {
    return this.#writer.frames;
  }

  get seconds(): number {
    return this.#writer.frames / this.#options.sampleRate_Hz;
  }

  feed(block: Block): void {
    if (this.#stopped) return;
    if (block.gapFrames > 0) this.addGap(block.gapFrames);
    this.#writer.write(block.channels, block.frames);
    this.#fedAt_s = block.receivedAt_s;
  }

  /** Frames that never came: silence in the file, a line in the database. */
  addGap(frames: number): void {
    this.#log(() => this.#history.addGap({ firstFrame: this.#writer.frames, frames }));
    this.#writer.writeSilence(frames);
  }

  addSecond(second: Omit<RunSecond, 'second'>): void {
    const index = Math.max(0, Math.round(this.seconds) - 1);
    this.#log(() => this.#history.addSecond({ second: index, ...second }));
    this.#writeSpeed();
  }

  /**
   * A reading of the road speed. It gets its time since the run's start from the clock, not from the frames alone: while
   * frames are missing, readings go on, and the silence that is filled in later takes as long.
   * @param at_s monotonic time of the reading
   */
  addSpeed(km_h: number, at_s: number): void {
    if (this.#stopped) return;
    const since_s = this.#fedAt_s === null ? 0 : at_s - this.#fedAt_s;
    this.#speed.t_s.push(Math.max(this.seconds + since_s, this.#speed.t_s.at(-1) ?? 0));
    this.#speed.v_km_h.push(km_h);
  }

  addMark(text: string): void {
    this.#log(() => this.#history.addMark({ at_s: this.seconds, text }));
  }

  addSegment(segment: Segment): void {
    this.#log(() => this.#history.addSegment(segment));
  }

  /** Idempotent; resolves when file and database are complete, or as complete as the disk allowed. */
  stop(): Promise<void> {
    this.#stopped ??= this.#finish();
    return this.#stopped;
  }

  async #finish(): Promise<void> {
    const frames = this.#writer.frames;
    this.#writeSpeed(this.seconds);
    // A disk that failed has been reported through onFailed already.
    await this.#writer.close().catch(() => {});
    this.#log(() => {
      if (this.#writer.error) this.#history.breakOff(this.#writer.savedFrames);
      else this.#history.finish(frames);
    });
  }

  /** @param until_s end of the run, where it ends in missing frames that nothing will fill any more */
  #writeSpeed(until_s = Number.POSITIVE_INFINITY): void {
    const { t_s, v_km_h } = this.#speed;
    this.#speed = { t_s: [], v_km_h: [] };
    const kept = t_s.filter((t) => t <= until_s).length;
    if (kept === 0) return;
    const readings = { t_s: t_s.slice(0, kept), v_km_h: v_km_h.slice(0, kept) };
    this.#log(() => this.#history.addSpeed(readings));
  }

  #log(write: () => void): void {
    try {
      write();
    } catch (cause) {
      this.#options.onProblem(message('error.historyNotWritten', { why: toldOf(cause) }));
    }
  }
}
