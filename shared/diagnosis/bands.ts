import { powerLevelDb } from '../dsp/levels.ts';
import { channelAnswer } from './answers.ts';
import { LEVEL_BANDS, levelBandEdge_Hz } from './front-end.ts';
import type { ChannelMeasure, StretchMeasure } from './measure-run.ts';
import type { FamilyFeatures, Observation } from './observation.ts';
import type { TravelBand } from './travel.ts';

/** Bands of broadband noise: road and body, tyre and rumble, bearings and meshes, impacts. */
export const FEATURE_BANDS = [
  { id: 'bandLow', band: 'low', from: 0, to: 11 },
  { id: 'bandMid', band: 'mid', from: 11, to: 20 },
  { id: 'bandHigh', band: 'high', from: 20, to: 28 },
  { id: 'bandTop', band: 'top', from: 28, to: LEVEL_BANDS },
] as const satisfies readonly { id: string; band: TravelBand; from: number; to: number }[];
export type FeatureBand = (typeof FEATURE_BANDS)[number];

export type BandChoice = {
  readonly kind: 'band';
  readonly family: FeatureBand['id'];
  readonly band_Hz: readonly [number, number];
};

/** Reference for power levels: (1e-6 m/s²)². */
const REFERENCE = 1e-12;

/**
 * Level of the noise between the lines: the mean of the quarter octaves' levels without the loudest fifth, so that
 * a few strong lines do not count as noise.
 */
export function noiseLevel_db(bands: Float64Array, from: number, to: number): number | null {
  const levels: number[] = [];
  for (let k = from; k < to; k++) if (bands[k]! > 0) levels.push(powerLevelDb(bands[k]!, REFERENCE));
  if (levels.length < (to - from) / 2) return null;
  levels.sort((a, b) => a - b);
  const kept = levels.slice(0, Math.max(1, levels.length - Math.round(levels.length / 5)));
  return kept.reduce((a, b) => a + b, 0) / kept.length;
}

/** Mean of a value over a channel's stretches, weighted by their length. */
export function overStretches(
  channel: ChannelMeasure,
  value: (s: StretchMeasure, index: number) => number | null,
): number | null {
  let sum = 0;
  let seconds = 0;
  channel.stretches.forEach((s, i) => {
    const v = value(s, i);
    if (v === null) return;
    const t = s.stretch.to_s - s.stretch.from_s;
    sum += v * t;
    seconds += t;
  });
  return seconds > 0 ? sum / seconds : null;
}

export function bandLevels(
  { id, band, from, to }: FeatureBand,
  channels: readonly ChannelMeasure[],
): { features: FamilyFeatures; choice: BandChoice } {
  const observations = channels.flatMap((channel): Observation[] => {
    const level = overStretches(channel, (s) => noiseLevel_db(s.bands, from, to));
    if (level === null) return [];
    const { run, position } = channel;
    return [
      {
        run,
        channel: channel.channel,
        position,
        level_db: level,
        sd_db: 0.7,
        limit_db: level,
        against_db: level,
      },
    ];
  });
  const answers = channels.flatMap(
    (channel) => channelAnswer(channel, (i) => noiseLevel_db(channel.stretches[i]!.bands, from, to)) ?? [],
  );
  return {
    features: { id, band, observations, answers },
    choice: { kind: 'band', family: id, band_Hz: [levelBandEdge_Hz(from), levelBandEdge_Hz(to)] },
  };
}
