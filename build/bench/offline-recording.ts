import { closeSync, openSync, writeSync } from 'node:fs';
import path from 'node:path';

export const SAMPLE_RATE_HZ = 48_000;
export const CHANNELS = 8;

/**
 * Writes one file of float32 samples for each channel: noise of its own, noise that all share (least on the last
 * channel, most on the first), a tone, and impacts that ring at 3 kHz. One second at a time, so memory stays small.
 */
export function writeRecording(folder: string, seconds: number): void {
  const files = Array.from({ length: CHANNELS }, (_, channel) =>
    openSync(path.join(folder, `channel-${channel}.f32`), 'w'),
  );
  try {
    let state = 1;
    const uniform = (): number => {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0;
      return state / 2 ** 31;
    };
    const shared = new Float32Array(SAMPLE_RATE_HZ);
    const block = new Float32Array(SAMPLE_RATE_HZ);
    for (let second = 0; second < seconds; second++) {
      for (let i = 0; i < SAMPLE_RATE_HZ; i++) {
        const n = second * SAMPLE_RATE_HZ + i;
        const sinceImpact = n % 587;
        shared[i] =
          0.1 * uniform() +
          0.05 * Math.sin(0.0131 * n) +
          0.3 * Math.exp(-sinceImpact / 60) * Math.sin(0.3927 * sinceImpact);
      }
      for (let channel = 0; channel < CHANNELS; channel++) {
        const gain = 1 / (1 + channel);
        for (let i = 0; i < SAMPLE_RATE_HZ; i++) block[i] = gain * shared[i]! + 0.05 * uniform();
        writeSync(files[channel]!, block);
      }
    }
  } finally {
    for (const file of files) closeSync(file);
  }
}
