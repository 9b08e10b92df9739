import type { DriveLayout } from './words.ts';

/** Dimensions of a rolling bearing as a catalogue gives them. */
export type BearingDimensions = {
  readonly rollingElements: number;
  readonly elementDiameter_mm: number;
  readonly pitchDiameter_mm: number;
  readonly contactAngle_deg: number;
};

/** Tooth counts of a final drive. */
export type FinalDriveTeeth = { readonly ringTeeth: number; readonly pinionTeeth: number };

/**
 * What this library needs to know of a vehicle; the vehicle of a visit bundle is assignable to it.
 * Null or absent means unknown and stays unknown.
 */
export type RunningGear = {
  readonly layout: DriveLayout;
  readonly rollingCircumference_m?: number | null | undefined;
  readonly wheelBearing?: BearingDimensions | null | undefined;
  readonly finalDrive?:
    | {
        readonly front?: FinalDriveTeeth | null | undefined;
        readonly rear?: FinalDriveTeeth | null | undefined;
      }
    | null
    | undefined;
  readonly engine?: { readonly cylinders?: number | null | undefined } | null | undefined;
  readonly electricDrive?: boolean | null | undefined;
};
