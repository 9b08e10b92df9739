import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { CaptureError, type CaptureSource } from '../../native/capture/capture-source.ts';
import { ReplaySource } from '../../native/capture/replay-source.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';

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
/** The loop's ends meet in silence, so that its join does not click. */
const FADE_S = 0.01;

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
      `The two visits were recorded at ${a.sampleRate_Hz} and ${b.sampleRate_Hz} Hz and cannot be played side by side; play them one after the other.`,
    );
  }
  const frames = Math.min(a.samples.length, b.samples.length);
  const folder = await mkdtemp(join(tmpdir(), 'rumblepath-pair-'));
  try {
    const path = join(folder, 'pair.wav');
    const writer = await WavWriter.create(path, { channels: 2, sampleRate_Hz: a.sampleRate_Hz });
    writer.write(
      [
        faded(a.samples.subarray(0, frames), a.sampleRate_Hz),
        faded(b.samples.subarray(0, frames), b.sampleRate_Hz),
      ],
      frames,
    );
    await writer.close();
    const source = await ReplaySource.open(path, { pace: 'realTime', loop: true });
    return {
      format: source.format,
      start: (listener) => source.start(listener),
      async stop() {
        await source.stop();
        await rm(folder, { recursive: true, force: true });
      },
    };
  } catch (cause) {
    await rm(folder, { recursive: true, force: true });
    throw cause;
  }
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

function faded(samples: Float32Array, sampleRate_Hz: number): Float32Array {
  const out = samples.slice();
  const fade = Math.min(Math.floor(out.length / 2), Math.round(FADE_S * sampleRate_Hz));
  for (let i = 0; i < fade; i++) {
    const weight = 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / fade);
    out[i]! *= weight;
    out[out.length - 1 - i]! *= weight;
  }
  return out;
}
