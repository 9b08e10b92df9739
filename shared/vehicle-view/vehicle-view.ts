import type { KnownPosition } from '../driveline/words.ts';

/** The vehicle seen from above, front up, on a field of 100 by 170: drawn on the screens and in the report. */
export const FIELD = { width: 100, height: 170 } as const;

export const PLACES: Record<KnownPosition, { x: number; y: number }> = {
  'engine-mount': { x: 50, y: 16 },
  'hub-front-left': { x: 13, y: 36 },
  'differential-front-left': { x: 36, y: 36 },
  'differential-front-right': { x: 64, y: 36 },
  'hub-front-right': { x: 87, y: 36 },
  transmission: { x: 50, y: 54 },
  'transfer-case': { x: 50, y: 73 },
  'propshaft-centre-bearing': { x: 50, y: 93 },
  'differential-rear-pinion': { x: 50, y: 117 },
  'hub-rear-left': { x: 13, y: 134 },
  'differential-rear-left': { x: 36, y: 134 },
  'differential-rear-right': { x: 64, y: 134 },
  'hub-rear-right': { x: 87, y: 134 },
  'subframe-rear': { x: 50, y: 154 },
};

/** SVG paths of the drawing. */
export const OUTLINE = {
  body: 'M24 28C24 9 33 3 50 3S76 9 76 28V142C76 160 70 167 50 167S24 160 24 142Z',
  glass: 'M29 62Q50 52 71 62L67 76Q50 70 33 76ZM32 132Q50 138 68 132L70 144Q50 150 30 144Z',
  engine: 'M38 10H62V28H38Z',
  gearbox: 'M42 30H58L55 66H45Z',
  frontShafts: 'M19 36H81',
  rearShafts: 'M19 134H81M50 60V134',
} as const;

/** Centres of the wheels, each 13 wide and 26 long. */
export const WHEEL_CENTRES = [
  { x: 13, y: 36 },
  { x: 87, y: 36 },
  { x: 13, y: 134 },
  { x: 87, y: 134 },
] as const;
