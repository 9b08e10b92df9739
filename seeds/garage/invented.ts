import type { Random } from '../road-drive/random.ts';

/** Invented vehicles, owners' notes and complaints. None of them stands for a real one. */

const COLOURS = ['blue', 'grey', 'white', 'red', 'green', 'silver', 'black', 'yellow'] as const;
const BODIES = [
  'estate car',
  'hatchback',
  'saloon',
  'panel van',
  'pickup',
  'people carrier',
  'minibus',
] as const;
const USES = [
  'commutes by motorway',
  'school run',
  'tows a trailer',
  'courier work',
  'mostly town',
  'weekends only',
] as const;
const WISHES = [
  'call before ordering parts',
  'keys in the box',
  'collects after five',
  'needs it on Friday',
  'wants an estimate first',
] as const;
const NOISES = ['hum', 'drone', 'growl', 'whine', 'rumble', 'grinding noise'] as const;
const PLACES = [
  'from the rear',
  'from the front',
  'front left',
  'rear right',
  'under the floor',
  'hard to place',
] as const;
const WHEN = [
  'from 70 km/h',
  'between 50 and 90 km/h',
  'in right-hand bends',
  'in left-hand bends',
  'when lifting off',
  'under load uphill',
  'worse when cold',
  'louder since new tyres',
] as const;

/** No country writes its plates like this. */
export const inventedPlate = (random: Random, n: number): string =>
  `${letters(random, 2)}-${letters(random, 1)} ${String(n).padStart(5, '0')}`;

/** Seventeen characters with the letter O in it, which no real VIN has (ISO 3779 excludes I, O and Q). */
export const inventedVin = (n: number): string => `DEMO${String(n).padStart(13, '0')}`;

export const inventedLabel = (random: Random): string => `${random.pick(COLOURS)} ${random.pick(BODIES)}`;

export const inventedNote = (random: Random): string => `${random.pick(USES)}; ${random.pick(WISHES)}`;

export const inventedComplaint = (random: Random): string =>
  `${random.pick(NOISES)} ${random.pick(PLACES)}, ${random.pick(WHEN)}`;

function letters(random: Random, count: number): string {
  return Array.from({ length: count }, () => String.fromCharCode(random.integer(65, 90))).join('');
}
