import type { Decision } from '../decision/decision.ts';
import type { Difference, Refusal } from '../diagnosis/compare.ts';
import type { Findings } from '../diagnosis/findings.ts';
import type { DriveLayout, DrivingState } from '../driveline/words.ts';
import type { Inspection } from '../visit-work/inspection.ts';
import type { HeardWhen } from '../visit-work/intake.ts';
import type { Settings } from '../visit-work/settings.ts';

/** One recorded drive, as far as the owner needs to know of it. */
export type ReportRun = {
  /** ISO 8601. */
  readonly startedAt: string;
  readonly duration_s: number | null;
  readonly channels: readonly {
    readonly channel: number;
    readonly position: string;
    readonly calibrated: boolean;
  }[];
  readonly states: readonly DrivingState[];
  readonly speed_km_h: { readonly low: number; readonly high: number } | null;
};

export type ReportLogo = { readonly mediaType: string; readonly base64: string };

/** Everything that a report is made from. What is not known is null or empty. */
export type ReportData = {
  readonly settings: Pick<
    Settings,
    'units' | 'language' | 'currency' | 'labourRate_per_h' | 'tax_percent'
  > & {
    readonly shop: { readonly name: string; readonly address: string; readonly logo: ReportLogo | null };
  };
  readonly madeAt: string;
  /** Null for a bundle that is in no garage. */
  readonly visitId: number | null;
  readonly startedAt: string | null;
  readonly odometer_km: number | null;
  readonly vehicle: {
    readonly label: string;
    readonly plate: string;
    readonly vin: string | null;
    readonly layout: DriveLayout | null;
    readonly electricDrive: boolean | null;
  };
  readonly complaint: string;
  readonly heard: HeardWhen | null;
  readonly runs: readonly ReportRun[];
  readonly findings: Findings | null;
  readonly inspection: Inspection | null;
  readonly decision: Decision | null;
  /** With the last visit before this one. */
  readonly comparison: {
    readonly earlierAt: string;
    readonly differences: readonly Difference[];
    readonly refused: readonly Refusal[];
  } | null;
};
