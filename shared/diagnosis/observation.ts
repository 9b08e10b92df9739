import type { Position } from '../driveline/words.ts';
import type { TravelBand } from './travel.ts';

/**
 * The numbers that the probabilities are computed from. A family is one kind of noise (the wheel bearings' defect
 * rates, the rear ring gear's mesh, the band from 1 to 4 kHz, ...) measured alike at every pickup. The model never
 * sees samples.
 */
export const FAMILIES = [
  'wheelTurning',
  'wheelMultiples',
  'treadLines',
  'wheelBearingDefect',
  'otherDefect',
  'wheelModulation',
  'propModulation',
  'engineModulation',
  'meshFront',
  'meshRear',
  'propTurning',
  'engineFiring',
  'engineUneven',
  'otherLines',
  'bandLow',
  'bandMid',
  'bandHigh',
  'bandTop',
] as const;
export type FamilyId = (typeof FAMILIES)[number];

/** One family at one pickup of one run, over all usable segments. Levels in dB re 1e-6 m/s² (or re full scale). */
export type Observation = {
  readonly run: number;
  readonly channel: number;
  readonly position: Position;
  /** Level of the family's own energy, freed of the noise beside it; null when it does not stand out. */
  readonly level_db: number | null;
  /** Standard deviation of the measurement itself, without travel and mounting. */
  readonly sd_db: number;
  /** What would just have been seen: the level is below this when `level_db` is null. */
  readonly limit_db: number;
  /** What the family is heard against here: a third octave of noise around a line, the carrier of an envelope. */
  readonly against_db: number;
};

/** How much a family's level at a pickup changes between driving states, within one run. */
export type Answer = {
  readonly run: number;
  readonly channel: number;
  readonly position: Position;
  /** Largest difference in dB among drive, coast and float; null when fewer than two were driven. */
  readonly torque_db: number | null;
  /** Size of the difference in dB between sway to one side and to the other; null when one is missing. */
  readonly sway_db: number | null;
  /** Growth in dB for a doubling of the speed; null when the speed hardly changed. */
  readonly perDoubling_db: number | null;
};

export type FamilyFeatures = {
  readonly id: FamilyId;
  readonly band: TravelBand;
  readonly observations: readonly Observation[];
  readonly answers: readonly Answer[];
};
