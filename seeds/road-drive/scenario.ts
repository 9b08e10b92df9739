import type { BearingGeometry, GearPair } from '../../shared/bundle/visit.ts';
import type { DriveLayout, DrivingState, Position, Source } from '../../shared/driveline/words.ts';
import type { HopName } from './hops.ts';

/** Everything that decides a simulated visit: plain data, so that it can be stored and driven again. */
export interface VisitScenario {
  /** Decides the vehicle's transmission paths and the sound of its healthy parts. */
  readonly seed: number;
  /** Decides what differs from visit to visit: mounting of the pickups, road, wind, driver. */
  readonly visitSeed: number;
  readonly startedAt: string;
  readonly sampleRate_Hz: number;
  readonly vehicle: VehicleModel;
  readonly known: KnownGeometry;
  readonly fault: Fault;
  readonly runs: readonly RunScenario[];
  /** Absent for the usual physics. */
  readonly physics?: OtherPhysics;
}

/** The vehicle as it truly is; `KnownGeometry` says how much of it the bundle tells. */
export interface VehicleModel {
  readonly label: string;
  readonly odometer_km: number;
  readonly layout: DriveLayout;
  readonly electricDrive: boolean;
  /** Rear axle in one rigid housing: its hubs hear the differential through the axle tubes. */
  readonly rigidRearAxle: boolean;
  readonly nominalCircumference_m: number;
  /** Front left, front right, rear left, rear right. */
  readonly trueCircumference_m: readonly [number, number, number, number];
  readonly wheelbase_m: number;
  readonly track_m: number;
  readonly wheelBearing: BearingGeometry;
  readonly finalDrive: { readonly front: GearPair | null; readonly rear: GearPair | null };
  /** Zero with an electric drive. */
  readonly cylinders: number;
  /** Engine (or motor) turns to gearbox output turns, lowest gear first. */
  readonly gearRatios: readonly number[];
  /** Teeth of the gear on the engine side that is always in mesh. */
  readonly gearboxInputTeeth: number;
}

export interface KnownGeometry {
  readonly circumference: boolean;
  readonly wheelBearing: boolean;
  readonly finalDrive: boolean;
  readonly engine: boolean;
  /** The gear driven in each segment. */
  readonly gearRatio: boolean;
}

export const BEARING_DEFECTS = ['outer', 'inner', 'element', 'cage', 'worn'] as const;
export const FINAL_DRIVE_WEAR = ['driveFlank', 'coastFlank', 'bothFlanks', 'bearing'] as const;
export const TYRE_WEAR = ['outOfRound', 'cupped'] as const;
export const PROPSHAFT_WEAR = ['bearing', 'unbalance'] as const;
export const GEARBOX_WEAR = ['gear', 'bearing'] as const;
export const ENGINE_FAULTS = ['uneven', 'accessory'] as const;
export type Mechanism =
  | (typeof BEARING_DEFECTS)[number]
  | (typeof FINAL_DRIVE_WEAR)[number]
  | (typeof TYRE_WEAR)[number]
  | (typeof PROPSHAFT_WEAR)[number]
  | (typeof GEARBOX_WEAR)[number]
  | (typeof ENGINE_FAULTS)[number]
  | 'none';

export interface Fault {
  readonly source: Source;
  readonly mechanism: Mechanism;
  /** 0 barely worse than healthy, 1 about to fail. */
  readonly severity: number;
}

/** How far the laws of a simulated car differ from the usual ones; a factor of 1 and 0 dB change nothing. */
export interface OtherPhysics {
  /** Spread of all noises from vehicle to vehicle and from run to run. */
  readonly spread: number;
  /** For every kind of hop: its loss, the spread of the loss, and where it begins to fall towards high frequency. */
  readonly hops: Readonly<
    Record<HopName, { readonly loss: number; readonly spread: number; readonly corner: number }>
  >;
  readonly engine: EngineManner;
}

/** How a healthy engine sounds. */
export interface EngineManner {
  /** Louder than usual by so much. */
  readonly level_db: number;
  /** Half and whole turns stand out more than usual by so much: cylinders never pull quite alike. */
  readonly uneven_db: number;
  /** How much its noise comes in strokes, one for each firing: 0 steady, 1 silent in between. */
  readonly strokes: number;
}

export interface RunScenario {
  readonly placement: readonly Position[];
  readonly drive: readonly DrivePhase[];
  readonly readings: SpeedReadingsModel | null;
  readonly tacho: TachoModel | null;
  /** By channel index, counted from zero. */
  readonly badChannels: Readonly<Record<number, ChannelFault>>;
}

/** One stretch of the drive; speed, torque and side load pass smoothly from each phase to the next. */
export interface DrivePhase {
  readonly duration_s: number;
  /** Null for a passage between two states, which gets no segment in the bundle. */
  readonly state: DrivingState | null;
  readonly endSpeed_km_h: number;
  /** 1 full torque forward, -1 full engine braking. */
  readonly torque: number;
  /** 1 the left wheels carry the load of a hard right-hand bend, -1 the mirror image. */
  readonly lateral: number;
  readonly gearRatio: number;
}

export interface SpeedReadingsModel {
  readonly kind: 'satellite' | 'bus';
  readonly rate_Hz: number;
  readonly lateness_s: number;
  readonly resolution_km_h: number;
  /** The vehicle's own speed signal usually reads a little high. */
  readonly scale: number;
}

export interface TachoModel {
  readonly shaft: 'wheel-front-left' | 'wheel-rear-left' | 'propshaft' | 'engine';
  readonly pulsesPerRev: number;
  /** Standard deviation of an edge's place, in parts of a pulse period. */
  readonly jitter: number;
  readonly missing: number;
  readonly doubled: number;
}

export type ChannelFault = 'dead' | 'clipped' | 'loose' | 'hum';
