import type { RunningGear } from '../driveline/runningGear.ts';
import { type BandChoice, bandLevels, FEATURE_BANDS } from './bands.ts';
import { type DefectChoice, defectFamilies } from './defects.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { FamilyFeatures } from './observation.ts';
import { type OrderChoice, orderFamilies } from './order-families.ts';

/** All numbers that the probabilities rest on, with what they were measured from. */
export type VisitFeatures = {
  readonly families: readonly FamilyFeatures[];
  /** Which lines, rates and bands each family was measured in, for pictures, words and listening. */
  readonly choices: readonly FeatureChoice[];
};

export type FeatureChoice = OrderChoice | DefectChoice | BandChoice;

/**
 * Turns the measures of all runs into features. Families that nothing was measured of are left out.
 */
export function visitFeatures(vehicle: RunningGear, channels: readonly ChannelMeasure[]): VisitFeatures {
  const found = [
    ...orderFamilies(vehicle, channels),
    ...defectFamilies(vehicle, channels),
    ...FEATURE_BANDS.map((band) => bandLevels(band, channels)),
  ].filter(({ features }) => features.observations.length > 0);
  return { families: found.map((f) => f.features), choices: found.map((f) => f.choice) };
}
