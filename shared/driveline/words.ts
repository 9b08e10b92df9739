/**
 * The closed vocabularies of the trade: where a pickup can sit, what can be the source, how the car is driven.
 * A position is an open string (the user may add places); these are the ones that every vehicle view knows.
 */
export const POSITIONS = [
  'hub-front-left',
  'hub-front-right',
  'hub-rear-left',
  'hub-rear-right',
  'differential-front-left',
  'differential-front-right',
  'differential-rear-left',
  'differential-rear-right',
  'differential-rear-pinion',
  'transfer-case',
  'transmission',
  'propshaft-centre-bearing',
  'engine-mount',
  'subframe-rear',
] as const;
export type KnownPosition = (typeof POSITIONS)[number];
/** A place on the vehicle that can hold a pickup: a known one, or one that the user named. */
export type Position = KnownPosition | (string & {});

export const SOURCES = [
  'wheel-bearing-front-left',
  'wheel-bearing-front-right',
  'wheel-bearing-rear-left',
  'wheel-bearing-rear-right',
  'tyre-front-left',
  'tyre-front-right',
  'tyre-rear-left',
  'tyre-rear-right',
  'differential-front',
  'differential-rear',
  'propshaft-centre-bearing',
  'transmission',
  'engine',
  'none',
] as const;
/** The faulty part, or `none` for a vehicle without a fault. */
export type Source = (typeof SOURCES)[number];

export const DRIVING_STATES = ['drive', 'coast', 'float', 'swayLeft', 'swayRight'] as const;
/**
 * How the car is driven during a segment: torque forward, engine braking, no torque, or swaying so that one side
 * carries the load (`swayLeft`: the left wheels).
 */
export type DrivingState = (typeof DRIVING_STATES)[number];

/** The four corners of the vehicle, as the parts of `POSITIONS` and `SOURCES` name them. */
export const WHEELS = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;
export type Wheel = (typeof WHEELS)[number];

export const LAYOUTS = ['fwd', 'rwd', 'awd'] as const;
export type DriveLayout = (typeof LAYOUTS)[number];

export const VERDICTS = ['pinpointed', 'narrowed', 'notYet', 'nothingAbnormal'] as const;
export type Verdict = (typeof VERDICTS)[number];
