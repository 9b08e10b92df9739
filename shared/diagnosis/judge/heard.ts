import type { Position, Source } from '../../driveline/words.ts';
import { median } from '../../dsp/levels.ts';
import { ON_THE_PART, type RunningGearNet } from '../graph.ts';
import type { HeardTogether } from '../heard-together.ts';
import type { ChannelMeasure } from '../measure-run.ts';
import type { FamilyFeatures, FamilyId } from '../observation.ts';
import type { Tone } from '../tones.ts';
import type { LevelProfile } from './level-profile.ts';

/** All that was heard in a visit, as the suspects are asked about it. */
export type Heard = {
  readonly channels: readonly ChannelMeasure[];
  readonly profiles: readonly LevelProfile[];
  readonly families: readonly FamilyFeatures[];
  readonly together: readonly HeardTogether[];
  readonly tones: readonly Tone[];
  readonly net: RunningGearNet;
  /** Natural logs by which each family's model speaks for a source; see `posterior.ts`. */
  readonly contributions: ReadonlyMap<Source, ReadonlyMap<FamilyId, number>>;
  /** The same of all families together. */
  readonly likelihoods: ReadonlyMap<Source, number>;
};

/** What tells for or against one suspect, by name; NaN where it was not measured. */
export type SuspectFeatures = Record<string, number>;

/** One suspect and the pickups that hear it first hand: those on it, or else the nearest. */
export type Suspect = {
  readonly source: Source;
  /** Hops to the nearest pickup. */
  readonly nearest: number;
  readonly hops: (position: Position) => number;
  readonly hears: (position: Position) => boolean;
};

export function suspect(source: Source, { channels, net }: Heard): Suspect {
  const hops = (position: Position): number => net.path(source, position).hops;
  const nearest = Math.min(...channels.map((c) => hops(c.position)));
  const limit = Math.max(ON_THE_PART, nearest + 0.05);
  return { source, nearest, hops, hears: (position) => hops(position) <= limit };
}

/** Hubs are alike, so that one can be held against another as it is. */
export const isHub = (position: Position): boolean => position.startsWith('hub-');

export const finite = (values: readonly number[]): number[] => values.filter((v) => Number.isFinite(v));
/** NaN for none. */
export const highest = (values: readonly number[]): number =>
  values.length > 0 ? Math.max(...values) : Number.NaN;
export const middle = (values: readonly number[]): number =>
  values.length > 0 ? median(values) : Number.NaN;
export const mean = (values: readonly number[]): number =>
  values.length > 0 ? values.reduce((a, b) => a + b, 0) / values.length : Number.NaN;
