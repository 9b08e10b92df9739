import type { RunningGear } from '../driveline/runningGear.ts';
import type { DrivingState, Position } from '../driveline/words.ts';

/** What the analysis needs of a visit; a parsed visit bundle is assignable to it. */
export type VisitToAnalyse = {
  readonly vehicle: RunningGear & { readonly odometer_km?: number | null | undefined };
  readonly runs: readonly RunToAnalyse[];
  /** The owner's words, if noted. */
  readonly complaint?: unknown;
};

export type ChannelToAnalyse =
  | {
      readonly channel: number;
      readonly role: 'vibration';
      readonly position: Position;
      readonly fullScale_m_s2?: number | null | undefined;
    }
  | {
      readonly channel: number;
      readonly role: 'tacho';
      readonly shaft: string;
      readonly pulsesPerRev: number;
    };

export type SegmentToAnalyse = {
  readonly from_s: number;
  readonly to_s: number;
  readonly state: DrivingState;
  readonly gearRatio?: number | null | undefined;
};

export type RunToAnalyse = {
  readonly file: string;
  readonly channels: readonly ChannelToAnalyse[];
  readonly speed?: { readonly t_s: readonly number[]; readonly v_km_h: readonly number[] } | null | undefined;
  readonly segments: readonly SegmentToAnalyse[];
};

/** A run's recording, read from front to back. */
export type RunSamples = {
  readonly sampleRate_Hz: number;
  readonly frames: number;
  /** Number of channels in the file; channel k of the bundle is entry k - 1. */
  readonly channels: number;
  /** Fills one array per file channel, 1.0 being full scale; returns the frames read, 0 at the end. */
  read(firstFrame: number, frames: number, out: readonly Float32Array[]): Promise<number>;
  close(): Promise<void>;
};

/** Opens the recording of a run; rejects with a sentence for the user when it cannot be had. */
export type SamplesProvider = (run: number) => Promise<RunSamples>;

export type AnalysisHooks = {
  /** Share done, 0 to 1, with what is being done. */
  readonly onProgress?: (share: number, doing: string) => void;
  readonly signal?: AbortSignal;
};
