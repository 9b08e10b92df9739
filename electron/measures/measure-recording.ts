import { openWav } from '../../native/wav/wav-reader.ts';
import type { VehicleSpec } from '../../shared/bundle/visit.ts';
import {
  comparableMeasures,
  type RunMeasure,
  type RunSpectrum,
} from '../../shared/diagnosis/comparable-measures.ts';
import { digestRun } from '../../shared/diagnosis/run-digest.ts';
import { runSpeed } from '../../shared/diagnosis/speed.ts';
import type { RunToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';
import type { Progress } from '../analysis/tasks.ts';

export interface MeasureRecordingInput {
  readonly path: string;
  readonly run: RunToAnalyse;
  readonly vehicle: VehicleSpec;
}

/** The comparable measures of a recording. Plain data in and out, for a worker thread. */
export async function measureRecording(
  input: MeasureRecordingInput,
  progress: Progress,
): Promise<{ measures: RunMeasure[]; spectra: RunSpectrum[] }> {
  const { path, run, vehicle } = input;
  await loadSingleFft();
  const wav = await openWav(path);
  try {
    const samples = {
      sampleRate_Hz: wav.format.sampleRate_Hz,
      frames: wav.frames,
      channels: wav.format.channels,
      read: wav.read.bind(wav),
      close: () => wav.close(),
    };
    const digest = await digestRun(run, samples, { onProgress: (done) => progress(0.6 * done) });
    const speed = runSpeed({ vehicle, runs: [run] }, run, digest);
    progress(0.8);
    return comparableMeasures(run, digest, speed, vehicle);
  } finally {
    await wav.close();
  }
}
