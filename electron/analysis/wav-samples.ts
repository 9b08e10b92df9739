import { openWav } from '../../native/wav/wav-reader.ts';
import type { RunSamples } from '../../shared/diagnosis/visit-input.ts';

/** A recording as the analysis reads it. @throws {WavError} when it cannot be read */
export async function wavSamples(path: string): Promise<RunSamples> {
  const wav = await openWav(path);
  return {
    sampleRate_Hz: wav.format.sampleRate_Hz,
    frames: wav.frames,
    channels: wav.format.channels,
    read: (first, frames, out) => wav.read(first, frames, out),
    close: () => wav.close(),
  };
}
