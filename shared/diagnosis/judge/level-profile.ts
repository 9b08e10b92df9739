import type { DrivingState, Position } from '../../driveline/words.ts';
import { LEVEL_BANDS } from '../front-end.ts';
import type { ChannelMeasure, StretchMeasure } from '../measure-run.ts';
import { inputRatio } from '../stretches.ts';
import { isHub, mean } from './heard.ts';

/** Octaves from 50 Hz on, as the quarter octaves of the front end that they hold. */
export const OCTAVES = Array.from(
  { length: 8 },
  (_, k) => [4 * (k + 1), Math.min(LEVEL_BANDS, 4 * (k + 2))] as const,
);

/** Wider bands whose answers to the driving are looked at, likewise. */
export const ANSWER_BANDS = [
  ['lo', 0, 12],
  ['mid', 12, 22],
  ['hi', 22, LEVEL_BANDS],
] as const;

/** One pickup's noise. */
export type LevelProfile = {
  readonly channel: ChannelMeasure;
  /** In octaves, over what its place usually has. */
  readonly over_db: readonly number[];
  /** How the answer bands grow with an octave of engine speed; NaN when no gear was changed, or none is known. */
  readonly perEngineOctave_db: readonly number[];
};

/**
 * Levels of healthy places against the hubs, dB, octave by octave: means over simulated healthy cars of several
 * simulators. Real cars differ; what counts is only that a mount is quieter than a hub.
 */
const USUAL_DB: Readonly<Record<string, readonly number[]>> = {
  hub: [0, 0, 0, 0, 0, 0, 0, 0],
  casing: [-5, -4, -7, -9, -8, -7, -5, -5],
  pinion: [-6, -7, -7, -6, -3, -6, -4, -2],
  transmission: [-6, -7, -9, -9, -4, 1, 3, 2],
  'engine-mount': [-6, -8, -11, -13, -10, -3, 2, 0],
  'propshaft-centre-bearing': [-11, -11, -14, -9, -10, -10, -7, -6],
  'subframe-rear': [-10, -7, -9, -12, -13, -17, -19, -8],
  'transfer-case': [-7, -10, -9, -8, -3, 0, -2, -3],
};

function usualAt(position: Position): readonly number[] {
  if (isHub(position)) return USUAL_DB.hub!;
  if (position.endsWith('-pinion')) return USUAL_DB.pinion!;
  return USUAL_DB[position] ?? USUAL_DB.casing!;
}

/** Growth of running-gear noise, dB for a doubling of speed (common practice: 6 to 12), and the speed it is taken to. */
const GROWTH_DB = 8;
const REFERENCE_WHEEL_HZ = 11;
/** The loudest fifth of the bands may be a few strong lines and is no noise. */
const KEPT = 0.8;

/**
 * Level of the noise in some quarter octaves, dB, as it would be at 80 km/h.
 * @param state only stretches driven like this; null for all
 * @returns NaN when nothing was measured
 */
export function levelIn(
  channel: ChannelMeasure,
  from: number,
  to: number,
  state: DrivingState | null = null,
): number {
  let sum = 0;
  let seconds = 0;
  for (const measure of channel.stretches) {
    const { stretch } = measure;
    if (state !== null && stretch.state !== state) continue;
    const level = stretchLevel(measure, from, to);
    if (Number.isNaN(level)) continue;
    const span = stretch.to_s - stretch.from_s;
    sum += span * level;
    seconds += span;
  }
  return seconds > 0 ? sum / seconds : Number.NaN;
}

/** The same of one stretch. */
function stretchLevel({ stretch, bands }: StretchMeasure, from: number, to: number): number {
  const levels: number[] = [];
  for (let k = from; k < to; k++) if (bands[k]! > 0) levels.push(10 * Math.log10(bands[k]!));
  if (levels.length < 2) return Number.NaN;
  levels.sort((a, b) => a - b);
  const kept = levels.slice(0, Math.max(2, Math.ceil(KEPT * levels.length)));
  const grown = GROWTH_DB * Math.log2((stretch.wheel_Hz ?? REFERENCE_WHEEL_HZ) / REFERENCE_WHEEL_HZ);
  return kept.reduce((a, b) => a + b, 0) / kept.length - grown;
}

export function levelProfiles(channels: readonly ChannelMeasure[]): LevelProfile[] {
  return channels.map((channel) => {
    const usual = usualAt(channel.position);
    return {
      channel,
      over_db: OCTAVES.map(([from, to], b) => levelIn(channel, from, to) - usual[b]!),
      perEngineOctave_db: ANSWER_BANDS.map(([, from, to]) => perEngineOctave(channel, from, to)),
    };
  });
}

/** Engine speeds must lie apart by this sum of squared octaves before they count in full. */
const ENGINE_OCTAVES_SQUARED = 0.1;

/**
 * Growth of the noise with engine speed, dB for an octave: between stretches of other gears and like torque, since
 * torque changes the noise too. NaN when no gear was changed, or none is known.
 */
function perEngineOctave(channel: ChannelMeasure, from: number, to: number): number {
  const [first] = channel.stretches;
  const points = channel.stretches.flatMap((measure) => {
    const { state } = measure.stretch;
    const turns = inputRatio(first!.stretch, measure.stretch);
    const level = stretchLevel(measure, from, to);
    const torque = state === 'coast' || state === 'float' ? state : 'drive';
    return turns === null || Number.isNaN(level) ? [] : [{ torque, octaves: Math.log2(turns), level }];
  });
  let sxy = 0;
  let sxx = 0;
  for (const torque of new Set(points.map((p) => p.torque))) {
    const alike = points.filter((p) => p.torque === torque);
    const x = mean(alike.map((p) => p.octaves));
    const y = mean(alike.map((p) => p.level));
    for (const p of alike) {
      sxy += (p.octaves - x) * (p.level - y);
      sxx += (p.octaves - x) ** 2;
    }
  }
  return sxx > 0.1 * ENGINE_OCTAVES_SQUARED ? sxy / (sxx + ENGINE_OCTAVES_SQUARED) : Number.NaN;
}
