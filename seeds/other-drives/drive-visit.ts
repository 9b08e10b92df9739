import type { RunSamples, VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import type { FinalDriveTeeth } from '../../shared/driveline/runningGear.ts';
import type { DriveLayout, DrivingState, Source } from '../../shared/driveline/words.ts';

/** What the drives of this folder share: no law of theirs, only what it takes to make a visit of samples. */

export interface DriveOptions {
  readonly source: Source;
  readonly layout: DriveLayout;
  readonly placements: readonly (readonly string[])[];
  /** Fault over the healthy part, dB. */
  readonly excess_db: number;
  readonly seconds?: number;
}

export interface DriveVisit {
  readonly visit: VisitToAnalyse;
  readonly truth: Source;
  readonly provider: (run: number) => Promise<RunSamples>;
  /** One array per channel of each run, for tests that spoil them. */
  readonly samples: Float32Array[][];
}

type Run = VisitToAnalyse['runs'][number];

/** What every drive does in turn. */
export const STATES: readonly DrivingState[] = ['drive', 'coast', 'float', 'swayLeft', 'swayRight'];
/** Acceleration at full scale. */
export const FULL_SCALE_M_S2 = 50;

export const dB = (level: number): number => 10 ** (level / 20);

/** The state of each moment of a drive that spends as long in each. */
export function stateAt(states: readonly DrivingState[], seconds: number): (t: number) => DrivingState {
  const span = seconds / states.length;
  return (t) => states[Math.min(states.length - 1, Math.floor(t / span))]!;
}

/** Adds a signal to a channel. */
export function mix(out: Float32Array, signal: Float32Array, gain: number): void {
  for (let i = 0; i < out.length; i++) out[i] = out[i]! + gain * signal[i]!;
}

export function partsOf(layout: DriveLayout): Source[] {
  const corners = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;
  return [
    ...corners.map((c) => `wheel-bearing-${c}` as const),
    ...corners.map((c) => `tyre-${c}` as const),
    ...(layout === 'rwd' ? [] : (['differential-front'] as const)),
    ...(layout === 'fwd' ? [] : (['differential-rear', 'propshaft-centre-bearing'] as const)),
    'transmission',
    'engine',
  ];
}

export function finalDrives(layout: DriveLayout, front: FinalDriveTeeth, rear: FinalDriveTeeth) {
  return { front: layout === 'rwd' ? null : front, rear: layout === 'fwd' ? null : rear };
}

/** @param index of the run, from 0 */
export function driveRun(
  index: number,
  placement: readonly string[],
  driven: Pick<Run, 'speed' | 'segments'>,
): Run {
  return {
    file: `run-${index + 1}.wav`,
    channels: placement.map((position, c) => ({
      channel: c + 1,
      role: 'vibration' as const,
      position,
      fullScale_m_s2: FULL_SCALE_M_S2,
    })),
    speed: driven.speed,
    segments: driven.segments,
  };
}

/** @param samples one array per channel of each run */
export function driveVisit(
  truth: Source,
  visit: VisitToAnalyse,
  samples: Float32Array[][],
  sampleRate_Hz: number,
): DriveVisit {
  const provider = (run: number) => Promise.resolve(samplesOf(samples[run]!, sampleRate_Hz));
  return { visit, truth, provider, samples };
}

export function samplesOf(channels: readonly Float32Array[], sampleRate_Hz: number): RunSamples {
  const frames = channels[0]!.length;
  return {
    sampleRate_Hz,
    frames,
    channels: channels.length,
    read(first, count, out) {
      const n = Math.max(0, Math.min(count, frames - first));
      for (const [k, c] of channels.entries()) out[k]!.set(c.subarray(first, first + n));
      return Promise.resolve(n);
    },
    close: () => Promise.resolve(),
  };
}
