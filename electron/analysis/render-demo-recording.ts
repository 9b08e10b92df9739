import { rename, rm } from 'node:fs/promises';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import { demoRecording } from '../../seeds/garage/demo-garage.ts';
import type { VehicleSpec } from '../../shared/bundle/visit.ts';
import { type RunSummary, summariseRun } from '../bundles/summarise-run.ts';
import type { Progress } from './tasks.ts';

const CHUNK_FRAMES = 48_000;

export interface DemoRecordingInput {
  readonly file: string;
  readonly path: string;
  readonly vehicle: VehicleSpec;
}

/** Renders a recording of the demo garage; the file appears under its name when it is complete. */
export async function renderDemoRecording(
  input: DemoRecordingInput,
  progress: Progress,
): Promise<RunSummary> {
  const drive = demoRecording(input.file);
  if (!drive) throw new Error(`${input.file} is not of the demo garage`);
  const passing = `${input.path}.rendering`;
  // What an interrupted attempt has left.
  await rm(passing, { force: true });
  const writer = await WavWriter.create(passing, {
    channels: drive.channelCount,
    sampleRate_Hz: drive.sampleRate_Hz,
  });
  for (;;) {
    const chunk = drive.render(CHUNK_FRAMES);
    const frames = chunk[0]!.length;
    if (frames === 0) break;
    if (!writer.write(chunk, frames)) await writer.drain();
    progress((0.8 * writer.frames) / drive.frames);
  }
  await writer.close();
  const summary = await summariseRun({ path: passing, run: drive.run, vehicle: input.vehicle }, (done) =>
    progress(0.8 + 0.2 * done),
  );
  await rename(passing, input.path);
  return summary;
}
