import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { decimationStages } from '../../shared/dsp/resample.ts';
import { thirdOctaveBands } from '../../shared/dsp/third-octave.ts';
import { CHANNELS, SAMPLE_RATE_HZ, writeRecording } from './offline-recording.ts';
import { PYTHON, runJson } from './run-json.ts';

interface PipelineRun {
  elapsed_s: number;
  cpu_s: number;
  loudest: number;
  peakMemory_MB: number;
  results: {
    thirdOctaves: number[];
    envelope: number[];
    decimatedMeanSquare: number;
    coherence: number[];
  }[];
}

export interface OfflineBenchmark {
  recording: { seconds: number; channels: number; sampleRate_Hz: number };
  /** Time for all channels, reading included, one thread each. */
  ours_s: number;
  scipy_s: number;
  /** scipy_s / ours_s: above 1, ours is faster. */
  ratio: number;
  /** The same of processor time, which a busy machine disturbs less. */
  cpuRatio: number;
  /** How many times faster than the drive lasted. */
  timesRealTime: number;
  peakMemory_MB: { ours: number; scipy: number };
  /** Largest difference between the two results, relative to the largest value of each. */
  difference: { thirdOctaves: number; envelope: number; decimatedMeanSquare: number; coherence: number };
}

/**
 * The full offline analysis beside the same in SciPy, on the same recording, one after the other: per channel a
 * Welch density (8192, Hann, 50 %), one-third-octave levels, band-pass with squared envelope spectrum, decimation by
 * 8, and coherence with the loudest channel.
 *
 * @param seconds length of the recording; 600 for the figure that is quoted, less for a quick look
 */
export function benchOffline(seconds = 600): OfflineBenchmark {
  const folder = mkdtempSync(path.join(tmpdir(), 'rumblepath-bench-'));
  try {
    writeRecording(folder, seconds);
    const stagesFile = path.join(folder, 'settings.json');
    writeFileSync(
      stagesFile,
      JSON.stringify({
        stages: decimationStages(8).map(({ taps, factor }) => ({ taps: Array.from(taps), factor })),
        edges: thirdOctaveBands(20, 20_000).map(({ low_Hz, high_Hz }) => [low_Hz, high_Hz]),
      }),
    );
    const args = [folder, String(seconds)];
    const here = import.meta.dirname;
    const ours = runJson(process.execPath, [
      path.join(here, 'offline-pipeline.ts'),
      ...args,
    ]) as unknown as PipelineRun;
    const scipy = runJson(PYTHON, [
      path.join(here, 'offline_pipeline.py'),
      ...args,
      stagesFile,
    ]) as unknown as PipelineRun;
    if (ours.loudest !== scipy.loudest)
      throw new Error('the two pipelines disagree about the loudest channel');
    const difference = (pick: (result: PipelineRun['results'][number]) => number[]): number =>
      Math.max(...ours.results.map((result, c) => relativeDifference(pick(result), pick(scipy.results[c]!))));
    return {
      recording: { seconds, channels: CHANNELS, sampleRate_Hz: SAMPLE_RATE_HZ },
      ours_s: ours.elapsed_s,
      scipy_s: scipy.elapsed_s,
      ratio: scipy.elapsed_s / ours.elapsed_s,
      cpuRatio: scipy.cpu_s / ours.cpu_s,
      timesRealTime: seconds / ours.elapsed_s,
      peakMemory_MB: { ours: ours.peakMemory_MB, scipy: scipy.peakMemory_MB },
      difference: {
        thirdOctaves: difference((result) => result.thirdOctaves),
        envelope: difference((result) => result.envelope),
        decimatedMeanSquare: difference((result) => [result.decimatedMeanSquare]),
        coherence: difference((result) => result.coherence),
      },
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function relativeDifference(a: number[], b: number[]): number {
  const scale = Math.max(...b.map(Math.abs));
  return Math.max(...a.map((value, i) => Math.abs(value - b[i]!))) / scale;
}
