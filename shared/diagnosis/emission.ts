import type { Source } from '../driveline/words.ts';
import type { FamilyId } from './observation.ts';

/**
 * How far a healthy and a faulty part stand out in each family of noise. All figures are broad beliefs from general
 * practice, not fits.
 */

export const SOURCE_KINDS = [
  'wheelBearing',
  'tyre',
  'differential',
  'propshaft',
  'transmission',
  'engine',
  'none',
] as const;
export type SourceKind = (typeof SOURCE_KINDS)[number];

export function kindOf(source: Source): SourceKind {
  if (source.startsWith('wheel-bearing-')) return 'wheelBearing';
  if (source.startsWith('tyre-')) return 'tyre';
  if (source.startsWith('differential-')) return 'differential';
  if (source === 'propshaft-centre-bearing') return 'propshaft';
  return source as 'transmission' | 'engine' | 'none';
}

export type Strength = { readonly mean_db: number; readonly sd_db: number };

export type FamilyBelief = {
  /**
   * Level at the part, over what the family is heard against. For lines that is the third octave of noise around
   * them: a line 8 dB or more above its critical band counts as a prominent tone (ECMA-418-1; value from memory).
   * For envelopes it is the carrier: 0 dB is full modulation. For bands it is the visit's middle level.
   */
  readonly healthy: Strength;
  readonly faulty: Strength;
  /**
   * How the healthy level goes from place to place: away from the parts that make it, with the carrier that swells
   * at each place (mounting gains then cancel), or each group of like places on its own.
   */
  readonly follows: 'emitters' | 'carrier' | 'places';
  /** Parts that make this family when healthy; empty when everything does. */
  readonly emitters: readonly Source[];
  /** How far equal healthy parts differ from one another. */
  readonly alikeSd_db: number;
};

const meshOf = (...axles: ('front' | 'rear')[]): FamilyBelief => ({
  healthy: { mean_db: 1, sd_db: 6 },
  faulty: { mean_db: 16, sd_db: 7 },
  follows: 'emitters',
  emitters: axles.map((axle) => `differential-${axle}` as const),
  alikeSd_db: 4,
});

/** What is missing from the vehicle data changes what a family may stand for. */
export type Unknowns = {
  readonly bearingGeometry: boolean;
  readonly teeth: boolean;
  readonly engineSpeed: boolean;
  /** Both final drives have the same mesh, so one line stands for either. */
  readonly oneMesh: boolean;
};

export function familyBeliefs(unknown: Unknowns): Record<FamilyId, FamilyBelief> {
  return {
    wheelTurning: {
      healthy: { mean_db: 12, sd_db: 10 },
      faulty: { mean_db: 24, sd_db: 10 },
      follows: 'places',
      emitters: [],
      alikeSd_db: 9,
    },
    wheelMultiples: {
      healthy: { mean_db: 0, sd_db: 7 },
      faulty: { mean_db: 13, sd_db: 8 },
      follows: 'places',
      emitters: [],
      alikeSd_db: 5,
    },
    treadLines: {
      healthy: { mean_db: -4, sd_db: 6 },
      faulty: { mean_db: 10, sd_db: 8 },
      follows: 'places',
      emitters: [],
      alikeSd_db: 5,
    },
    wheelBearingDefect: {
      healthy: { mean_db: -16, sd_db: 4 },
      faulty: { mean_db: 8, sd_db: 11 },
      follows: 'carrier',
      emitters: [],
      alikeSd_db: 3,
    },
    otherDefect: {
      healthy: { mean_db: -15, sd_db: 4 },
      faulty: { mean_db: 8, sd_db: 11 },
      follows: 'carrier',
      emitters: [],
      alikeSd_db: 3,
    },
    wheelModulation: {
      healthy: { mean_db: -13, sd_db: 4 },
      faulty: { mean_db: 8, sd_db: 11 },
      follows: 'carrier',
      emitters: [],
      alikeSd_db: 3,
    },
    propModulation: {
      healthy: { mean_db: -14, sd_db: 4 },
      faulty: { mean_db: 8, sd_db: 11 },
      follows: 'carrier',
      emitters: [],
      alikeSd_db: 3,
    },
    engineModulation: {
      healthy: { mean_db: -11, sd_db: 5 },
      faulty: { mean_db: 8, sd_db: 11 },
      follows: 'carrier',
      emitters: [],
      alikeSd_db: 3,
    },
    meshFront: meshOf('front'),
    meshRear: unknown.oneMesh ? meshOf('front', 'rear') : meshOf('rear'),
    propTurning: {
      healthy: { mean_db: 1, sd_db: 6 },
      faulty: { mean_db: 15, sd_db: 8 },
      follows: 'emitters',
      emitters: ['propshaft-centre-bearing'],
      alikeSd_db: 5,
    },
    engineUneven: {
      healthy: { mean_db: -2, sd_db: 6 },
      faulty: { mean_db: 13, sd_db: 8 },
      follows: 'emitters',
      emitters: ['engine'],
      alikeSd_db: 5,
    },
    engineFiring: {
      healthy: { mean_db: 5, sd_db: 8 },
      faulty: { mean_db: 17, sd_db: 8 },
      follows: 'emitters',
      emitters: ['engine'],
      alikeSd_db: 5,
    },
    otherLines: {
      healthy: { mean_db: -4, sd_db: 6 },
      faulty: { mean_db: 12, sd_db: 8 },
      follows: 'places',
      emitters: [],
      alikeSd_db: 5,
    },
    bandLow: BAND,
    bandMid: BAND,
    bandHigh: BAND,
    bandTop: BAND,
  };
}

const BAND: FamilyBelief = {
  healthy: { mean_db: 0, sd_db: 7 },
  faulty: { mean_db: 12, sd_db: 9 },
  follows: 'places',
  emitters: [],
  alikeSd_db: 3,
};
