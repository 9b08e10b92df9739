import { z } from 'zod';
import { type Message, message } from '../messages/message.ts';

/** The cautions before a drive, to be ticked one by one. They remind; local law and licensed practice come first. */
export const CAUTIONS = [
  'passenger',
  'leadsTied',
  'stands',
  'turningWheels',
  'highVoltage',
  'recheck',
  'road',
] as const;
export const CautionSchema = z.enum(CAUTIONS);
export type Caution = z.infer<typeof CautionSchema>;

export const cautionText = (caution: Caution): Message => message(`caution.${caution}`);

/** The cautions of a vehicle: high voltage is left out only where it is known that there is none. */
export const cautionsFor = (electricDrive: boolean | null): Caution[] =>
  CAUTIONS.filter((c) => c !== 'highVoltage' || electricDrive !== false);
