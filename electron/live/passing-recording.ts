import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { CaptureSource } from '../../native/capture/capture-source.ts';
import { ReplaySource } from '../../native/capture/replay-source.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';

/** The loop's ends meet in silence, so that its join does not click. */
const FADE_S = 0.01;

/**
 * Writes a recording that is only there to be heard, in a folder of its own.
 * @param channels as long as each other, ratio of full scale
 * @returns its path, for `openPassing`
 */
export async function writePassing(
  channels: readonly Float32Array[],
  sampleRate_Hz: number,
): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'rumblepath-passing-'));
  try {
    const path = join(folder, 'sound.wav');
    const writer = await WavWriter.create(path, { channels: channels.length, sampleRate_Hz });
    writer.write(
      channels.map((samples) => faded(samples, sampleRate_Hz)),
      channels[0]!.length,
    );
    await writer.close();
    return path;
  } catch (cause) {
    await rm(folder, { recursive: true, force: true });
    throw cause;
  }
}

/** Plays what `writePassing` wrote, in a loop; stopping the source removes it. */
export async function openPassing(path: string): Promise<CaptureSource> {
  try {
    const source = await ReplaySource.open(path, { pace: 'realTime', loop: true });
    return {
      format: source.format,
      start: (listener) => source.start(listener),
      async stop() {
        await source.stop();
        await removePassing(path);
      },
    };
  } catch (cause) {
    await removePassing(path);
    throw cause;
  }
}

/** For a recording that nobody is going to play. */
export const removePassing = (path: string): Promise<void> =>
  rm(join(path, '..'), { recursive: true, force: true });

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
