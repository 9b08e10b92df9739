import type { CaptureFormat } from '../../native/capture/capture-source.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { DrivingState } from '../../shared/driveline/words.ts';
import type { Message } from '../../shared/messages/message.ts';
import { type RunLog, RunRecorder } from './run-recorder.ts';

/** A run in the garage that waits for its samples. */
export interface StartedRun {
  readonly runId: number;
  readonly visitId: number;
  readonly vehicleLabel: string;
  readonly startedAt: string;
  readonly log: RunLog;
}

/** How the car is driven at the moment. */
export interface Driving {
  readonly state: DrivingState;
  readonly gearRatio: number | null;
}

export interface RecordingOptions {
  readonly path: string;
  readonly format: CaptureFormat;
  readonly driving: Driving;
  /** Makes the run's rows, once its file is there. */
  readonly startRun: () => StartedRun;
  /** See `RunRecorderOptions`. */
  readonly onFailed: (told: Message) => void;
  readonly onProblem: (told: Message) => void;
}

/** A run while it is recorded: its recorder, its marks, and the segment that has begun and not yet ended. */
export class RecordingInProgress {
  readonly run: StartedRun;
  readonly recorder: RunRecorder;
  #marks = 0;
  #segment: Driving & { from_s: number };

  private constructor(run: StartedRun, recorder: RunRecorder, driving: Driving) {
    this.run = run;
    this.recorder = recorder;
    this.#segment = { from_s: 0, ...driving };
  }

  /** @throws {WavError} when the file cannot be made; no row is made then either */
  static async start(options: RecordingOptions): Promise<RecordingInProgress> {
    const { path, onFailed, onProblem } = options;
    const { channels, sampleRate_Hz } = options.format;
    let run: StartedRun | undefined;
    const openLog = (): RunLog => {
      run = options.startRun();
      return run.log;
    };
    const recorder = await RunRecorder.start({ path, channels, sampleRate_Hz, openLog, onFailed, onProblem });
    return new RecordingInProgress(run!, recorder, options.driving);
  }

  state(freeBytes: number | null): NonNullable<LiveState['recording']> {
    return {
      runId: this.run.runId,
      startedAt: this.run.startedAt,
      seconds: this.recorder.seconds,
      marks: this.#marks,
      freeBytes,
    };
  }

  mark(text: string): void {
    this.recorder.addMark(text);
    this.#marks++;
  }

  /** Ends the segment where the recording is now and begins the next. */
  drivingChanged(driving: Driving): void {
    const { from_s, state, gearRatio } = this.#segment;
    const now_s = this.recorder.seconds;
    if (now_s > from_s) this.recorder.addSegment({ from_s, to_s: now_s, state, gearRatio });
    this.#segment = { from_s: now_s, ...driving };
  }

  async stop(): Promise<void> {
    this.drivingChanged(this.#segment);
    await this.recorder.stop();
  }
}
