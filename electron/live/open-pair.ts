import { CaptureError, type CaptureSource } from '../../native/capture/capture-source.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import { message } from '../../shared/messages/message.ts';
import { openPassing, writePassing } from './passing-recording.ts';

/** A stretch of one channel of a recording. */
export interface RecordedStretch {
  readonly path: string;
  /** Place of the channel in the file, from 0. */
  readonly channelIndex: number;
  readonly from_s: number;
  readonly to_s: number;
}

/** Longer loops tell the ear no more. */
const LONGEST_S = 20;

/**
 * Two stretches as one source of two channels, played side by side in a loop as long as the shorter one: whoever
 * listens flips between them without a gap and at the same gain.
 * @throws {CaptureError} when they were recorded at different rates, {WavError} when one cannot be read
 */
export async function openPair(first: RecordedStretch, second: RecordedStretch): Promise<CaptureSource> {
  const a = await readStretch(first);
  const b = await readStretch(second);
  if (a.sampleRate_Hz !== b.sampleRate_Hz) {
    throw new CaptureError(
      message('error.pairRates', { first_Hz: a.sampleRate_Hz, second_Hz: b.sampleRate_Hz }),
    );
  }
  const frames = Math.min(a.samples.length, b.samples.length);
  const both = [a, b].map(({ samples }) => samples.subarray(0, frames));
  return openPassing(await writePassing(both, a.sampleRate_Hz));
}

async function readStretch(
  stretch: RecordedStretch,
): Promise<{ samples: Float32Array; sampleRate_Hz: number }> {
  const wav = await openWav(stretch.path);
  try {
    const { sampleRate_Hz, channels } = wav.format;
    const first = Math.min(wav.frames, Math.max(0, Math.round(stretch.from_s * sampleRate_Hz)));
    const seconds = Math.min(LONGEST_S, stretch.to_s - stretch.from_s);
    const frames = Math.max(0, Math.min(wav.frames - first, Math.round(seconds * sampleRate_Hz)));
    const planes = Array.from({ length: channels }, () => new Float32Array(frames));
    const got = await wav.read(first, frames, planes);
    return { samples: planes[stretch.channelIndex]!.subarray(0, got), sampleRate_Hz };
  } finally {
    await wav.close();
  }
}
