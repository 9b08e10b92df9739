import type { DrivingState } from '../driveline/words.ts';
import { accelerationLevelDb } from '../dsp/levels.ts';

export type MeasureKind = 'orderLevel' | 'envelopeProminence' | 'bandLevel';

export type SpeedBand = { readonly low_km_h: number; readonly high_km_h: number };

/** A measure of a visit with everything that decides whether it may be compared. */
export type ComparableMeasure = {
  readonly visitId: number;
  /** ISO 8601. */
  readonly startedAt: string;
  readonly odometer_km: number | null;
  readonly runId: number;
  readonly channel: number;
  readonly position: string;
  readonly pickup: string | null;
  /** Null when the pickup's sensitivity or the interface's full scale was not known: no comparison. */
  readonly fullScale_m_s2: number | null;
  readonly kind: MeasureKind;
  readonly part: string;
  readonly label: string;
  /** `m/s²` for levels, `dB` for prominences. */
  readonly unit: string;
  readonly method: string;
  readonly state: DrivingState;
  readonly speedBand: SpeedBand;
  readonly value: number;
  /** Standard deviation over the run's repeats, in the value's unit. */
  readonly spread: number | null;
  readonly repeats: number;
};

/**
 * Standard uncertainty of a level for taking a pickup off and clamping it on again at the same place: angle, paint
 * and clamp change it by some decibels (common practice; no standard covers clamps on running gear).
 */
export const CLAMPING_SD_DB = 2;
/** Scatter of a single repeat whose spread is not known (common practice). */
export const SINGLE_REPEAT_SD_DB = 2;
/** For another pickup of known sensitivity: the calibration's own tolerance, about 5 % (common practice). */
export const CALIBRATION_SD_DB = 0.5;

const DB_PER_NEPER = 20 / Math.LN10;

/** Smallest level that is told apart from silence, m/s²: far below any pickup's own noise. */
const SILENCE_M_S2 = 1e-9;

/** A measure as a level: dB re 1 µm/s² (ISO 1683), or dB as it is for a prominence. */
export function levelOf(measure: Pick<ComparableMeasure, 'unit' | 'value'>): number {
  return measure.unit === 'm/s²' ? accelerationLevelDb(Math.max(SILENCE_M_S2, measure.value)) : measure.value;
}

/** What `levelOf` has turned into decibels, back in the measure's unit. */
export function valueAtLevel(unit: string, level_db: number): number {
  return unit === 'm/s²' ? 1e-6 * 10 ** (level_db / 20) : level_db;
}

/** Standard uncertainty of the mean over a measure's repeats, dB, without that of clamping. */
export function repeatSd_db(
  measure: Pick<ComparableMeasure, 'unit' | 'value' | 'spread' | 'repeats'>,
): number {
  const { unit, value, spread, repeats } = measure;
  if (spread === null) return SINGLE_REPEAT_SD_DB;
  const spread_db = unit === 'm/s²' ? (DB_PER_NEPER * spread) / Math.max(SILENCE_M_S2, value) : spread;
  return spread_db / Math.sqrt(repeats);
}

/** Places that nobody has named cannot be found again. */
export const isPlaced = (position: string): boolean => !/^(un|not )placed/.test(position);

/** The share of the narrower band that two speed bands have in common. */
export function overlap(a: SpeedBand, b: SpeedBand): number {
  const common = Math.min(a.high_km_h, b.high_km_h) - Math.max(a.low_km_h, b.low_km_h);
  const narrower = Math.min(a.high_km_h - a.low_km_h, b.high_km_h - b.low_km_h);
  return common < 0 ? 0 : narrower > 0 ? common / narrower : 1;
}
