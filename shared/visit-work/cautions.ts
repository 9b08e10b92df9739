import { z } from 'zod';

/** The cautions before a drive, to be ticked one by one. They remind; local law and licensed practice come first. */
export const CAUTIONS = {
  passenger: 'The passenger operates this program, never the driver.',
  leadsTied:
    'Leads are tied and their tails trimmed, clear of wheels, shafts, brakes, steering and exhaust over full travel.',
  stands: 'The vehicle stands on stands or a lift as its maker says; nobody is beneath one that can move.',
  turningWheels:
    'Wheels that turn on a lift are a hazard of their own: hands, hair, cloth and leads keep away.',
  highVoltage:
    'High-voltage parts of an electric or hybrid drive are touched only by those licensed for them.',
  recheck: 'After the first metres we stop at a safe place and look at clamps and leads again.',
  road: 'The road, the weather and the law allow each manoeuvre; the driver may refuse any of them.',
} as const;
export type Caution = keyof typeof CAUTIONS;
export const CautionSchema = z.enum(Object.keys(CAUTIONS) as [Caution, ...Caution[]]);

/** The cautions of a vehicle: high voltage is left out only where it is known that there is none. */
export const cautionsFor = (electricDrive: boolean | null): Caution[] =>
  (Object.keys(CAUTIONS) as Caution[]).filter((c) => c !== 'highVoltage' || electricDrive !== false);
