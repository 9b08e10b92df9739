import type { SourceKind, Unknowns } from './emission.ts';
import type { FamilyId } from './observation.ts';

/**
 * The ways in which a part goes bad, each with the families of noise that it shows itself in and how likely (general
 * practice). A part's fault is one of them: a propshaft out of balance need not rumble, a rumbling bearing need not
 * be out of balance.
 */
export type Mechanism = {
  readonly name: string;
  /** Share of the kind's faults that are of this sort; those of a kind sum to 1. */
  readonly share: number;
  readonly shows: Partial<Record<FamilyId, number>>;
};

export function mechanisms(kind: SourceKind, unknown: Unknowns): readonly Mechanism[] {
  switch (kind) {
    case 'wheelBearing': {
      const defect = unknown.bearingGeometry ? { otherDefect: 0.85 } : { wheelBearingDefect: 0.9 };
      return [
        {
          name: 'damaged race or element',
          share: 0.65,
          shows: { ...defect, wheelModulation: 0.4, bandMid: 0.3, bandHigh: 0.7, bandTop: 0.7 },
        },
        {
          name: 'worn all round',
          share: 0.35,
          shows: { wheelModulation: 0.7, bandMid: 0.5, bandHigh: 0.8, bandTop: 0.8 },
        },
      ];
    }
    case 'tyre':
      return [
        {
          name: 'out of round',
          share: 0.5,
          shows: { wheelTurning: 0.7, wheelMultiples: 0.8, wheelModulation: 0.3, bandLow: 0.5 },
        },
        {
          name: 'unevenly worn tread',
          share: 0.5,
          shows: {
            wheelModulation: 0.8,
            treadLines: 0.3,
            wheelMultiples: 0.3,
            bandMid: 0.6,
            bandHigh: 0.6,
            bandTop: 0.5,
          },
        },
      ];
    case 'differential': {
      const mesh = unknown.teeth ? { otherLines: 0.85 } : { meshFront: 0.95, meshRear: 0.95 };
      return [
        {
          name: 'worn teeth',
          share: 0.6,
          shows: { ...mesh, wheelModulation: 0.4, propModulation: 0.4, bandMid: 0.4, bandHigh: 0.2 },
        },
        {
          name: 'worn bearing',
          share: 0.4,
          shows: {
            otherDefect: 0.6,
            propModulation: 0.5,
            wheelModulation: 0.3,
            bandMid: 0.5,
            bandHigh: 0.7,
            bandTop: 0.6,
          },
        },
      ];
    }
    case 'propshaft':
      return [
        { name: 'out of balance', share: 0.5, shows: { propTurning: 0.95, bandLow: 0.3 } },
        {
          name: 'worn bearing',
          share: 0.5,
          shows: {
            propModulation: 0.8,
            otherDefect: 0.4,
            propTurning: 0.2,
            bandMid: 0.5,
            bandHigh: 0.7,
            bandTop: 0.6,
          },
        },
      ];
    case 'transmission':
      return [
        {
          name: 'worn teeth',
          share: 0.6,
          shows: { otherLines: 0.9, engineModulation: 0.3, propModulation: 0.2, bandMid: 0.4, bandHigh: 0.3 },
        },
        {
          name: 'worn bearing',
          share: 0.4,
          shows: {
            otherDefect: 0.5,
            engineModulation: 0.3,
            otherLines: 0.1,
            bandMid: 0.5,
            bandHigh: 0.8,
            bandTop: 0.7,
          },
        },
      ];
    case 'engine': {
      const beat = unknown.engineSpeed ? { otherLines: 0.7 } : { engineUneven: 0.9, engineFiring: 0.5 };
      return [
        { name: 'uneven running', share: 0.4, shows: { ...beat, bandLow: 0.5, engineModulation: 0.2 } },
        {
          name: 'loud mount or intake',
          share: 0.25,
          shows: {
            ...(unknown.engineSpeed ? { otherLines: 0.7 } : { engineFiring: 0.9 }),
            bandLow: 0.5,
            bandMid: 0.4,
          },
        },
        {
          name: 'ancillary',
          share: 0.35,
          shows: { otherLines: 0.8, bandMid: 0.3, bandHigh: 0.5, bandTop: 0.5, engineModulation: 0.2 },
        },
      ];
    }
    case 'none':
      return [{ name: 'healthy', share: 1, shows: {} }];
  }
}
