import { median } from '../dsp/levels.ts';
import { FEATURE_BANDS } from './bands.ts';
import type { ChannelFault } from './channel-faults.ts';
import { type ChannelStatistics, ChannelWatch, channelFaults } from './channels.ts';
import { type ChannelDigest, FrontEnd, frontEndPlan, LEVEL_BANDS } from './front-end.ts';
import type { AnalysisHooks, RunSamples, RunToAnalyse } from './visit-input.ts';

/** A vibration channel after its samples have gone by. */
export type DigestedChannel = {
  readonly channel: number;
  readonly position: string;
  /** m/s² for a ratio of 1; null when unknown, and then levels are re full scale. */
  readonly fullScale_m_s2: number | null;
  readonly statistics: ChannelStatistics;
  readonly digest: ChannelDigest;
  readonly faults: readonly ChannelFault[];
};

export type DigestedTacho = {
  readonly shaft: string;
  readonly pulsesPerRev: number;
  readonly samples: Float32Array;
  readonly sampleRate_Hz: number;
};

export type RunDigest = {
  readonly seconds: number;
  readonly channels: readonly DigestedChannel[];
  readonly tacho: DigestedTacho | null;
};

/** Frames asked for at once. */
const READ_FRAMES = 1 << 16;
/** Tacho pulses need not the audio's rate: sub-sample edges come from interpolation. */
const LEAST_TACHO_RATE_HZ = 20_000;

/**
 * Reads a recording once, front to back, and keeps only what the features need.
 * @throws RangeError when the rate is too low or a channel is not in the file; AbortError when cancelled
 */
export async function digestRun(
  run: RunToAnalyse,
  samples: RunSamples,
  hooks: AnalysisHooks = {},
): Promise<RunDigest> {
  const { sampleRate_Hz, frames } = samples;
  const plan = frontEndPlan(sampleRate_Hz);
  for (const { channel } of run.channels) {
    if (channel > samples.channels) {
      throw new RangeError(`${run.file} has ${samples.channels} channels, so there is no channel ${channel}`);
    }
  }
  const vibration = run.channels.flatMap((c) =>
    c.role === 'vibration'
      ? [{ c, watch: new ChannelWatch(sampleRate_Hz), frontEnd: new FrontEnd(plan, frames) }]
      : [],
  );
  const tachoChannel = run.channels.find((c) => c.role === 'tacho');
  const keepEvery = Math.max(1, Math.floor(sampleRate_Hz / LEAST_TACHO_RATE_HZ));
  const tacho = tachoChannel ? new Float32Array(Math.floor(frames / keepEvery)) : null;
  const buffers = Array.from({ length: samples.channels }, () => new Float32Array(READ_FRAMES));
  let done = 0;
  while (done < frames) {
    hooks.signal?.throwIfAborted();
    const count = await samples.read(done, Math.min(READ_FRAMES, frames - done), buffers);
    if (count === 0) break;
    for (const { c, watch, frontEnd } of vibration) {
      const buffer = buffers[c.channel - 1]!;
      watch.push(buffer, count);
      frontEnd.push(buffer, count);
    }
    if (tacho && tachoChannel) {
      const buffer = buffers[tachoChannel.channel - 1]!;
      for (let i = (keepEvery - (done % keepEvery)) % keepEvery; i < count; i += keepEvery) {
        const at = (done + i) / keepEvery;
        if (at < tacho.length) tacho[at] = Number.isFinite(buffer[i]!) ? buffer[i]! : 0;
      }
    }
    done += count;
    hooks.onProgress?.(done / frames, run.file);
  }
  const finished = vibration.map(({ c, watch, frontEnd }) => ({
    c,
    statistics: watch.finish(),
    digest: frontEnd.finish(),
  }));
  const faults = channelFaults(
    finished.map((f) => f.statistics),
    finished.map((f) => f.digest.low),
    plan.orderRate_Hz,
    finished.map((f) => f.c.fullScale_m_s2 ?? null),
    finished.map((f) => wholeRunLevels(f.digest, f.c.fullScale_m_s2 ?? 1)),
  );
  return {
    seconds: done / sampleRate_Hz,
    channels: finished.map(({ c, statistics, digest }, i) => ({
      channel: c.channel,
      position: c.position,
      fullScale_m_s2: c.fullScale_m_s2 ?? null,
      statistics,
      digest,
      faults: faults[i]!,
    })),
    tacho:
      tacho && tachoChannel?.role === 'tacho'
        ? {
            shaft: tachoChannel.shaft,
            pulsesPerRev: tachoChannel.pulsesPerRev,
            samples: tacho,
            sampleRate_Hz: sampleRate_Hz / keepEvery,
          }
        : null,
  };
}

/** Middle level of each feature band over the whole run, dB. */
function wholeRunLevels(digest: ChannelDigest, fullScale: number): number[] {
  return FEATURE_BANDS.flatMap(({ from, to }) => {
    const perBlock = new Float64Array(digest.blocks);
    for (let b = 0; b < digest.blocks; b++) {
      for (let k = from; k < to; k++) {
        const power = digest.bandPower[b * LEVEL_BANDS + k]!;
        if (power >= 0) perBlock[b] = perBlock[b]! + power;
      }
    }
    return perBlock.length > 0 ? [10 * Math.log10(median(perBlock) * fullScale ** 2 + Number.MIN_VALUE)] : [];
  });
}
