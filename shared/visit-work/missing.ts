import { z } from 'zod';
import { MessageSchema, message } from '../messages/message.ts';
import type { Intake } from './intake.ts';

/** Something that is not known yet, and what it would add. */
export const MissingSchema = z.object({
  /** The field of the intake form, as a path: `driveline.layout`. */
  field: z.string(),
  name: MessageSchema,
  adds: MessageSchema,
});
export type Missing = z.infer<typeof MissingSchema>;

type Thing =
  | 'layout'
  | 'tyreSize'
  | 'ownerWords'
  | 'heardSpeeds'
  | 'bend'
  | 'torque'
  | 'rearTeeth'
  | 'frontTeeth'
  | 'wheelBearing'
  | 'electricDrive'
  | 'cylinders'
  | 'gearRatios'
  | 'standing'
  | 'surface'
  | 'laden'
  | 'warmth'
  | 'odometer'
  | 'pressures'
  | 'treads'
  | 'tyreAges'
  | 'vin'
  | 'plate';

/** What the intake leaves open, the most useful for the diagnosis first. */
export function missingOf(intake: Intake): Missing[] {
  const { heard, tyres, driveline } = intake;
  const missing: Missing[] = [];
  const ask = (unknown: boolean, thing: Thing, field: string): void => {
    if (!unknown) return;
    const [name, adds] = [message(`missing.${thing}.name`), message(`missing.${thing}.adds`)];
    missing.push({ field, name, adds });
  };
  const driven = (axle: 'front' | 'rear'): boolean => driveline.layout !== (axle === 'front' ? 'rwd' : 'fwd');
  const noTeeth = (axle: 'front' | 'rear'): boolean =>
    driven(axle) && driveline.finalDrive[axle].ringTeeth === null;
  const combustion = driveline.electricDrive !== true;

  ask(driveline.layout === null, 'layout', 'driveline.layout');
  ask(tyres.size === null, 'tyreSize', 'tyres.size');
  ask(intake.ownerWords.trim() === '', 'ownerWords', 'ownerWords');
  ask(heard.speedFrom_km_h === null || heard.speedTo_km_h === null, 'heardSpeeds', 'heard.speedFrom_km_h');
  ask(heard.bend === null, 'bend', 'heard.bend');
  ask(heard.torque === null, 'torque', 'heard.torque');
  ask(noTeeth('rear'), 'rearTeeth', 'driveline.finalDrive.rear.ringTeeth');
  ask(noTeeth('front'), 'frontTeeth', 'driveline.finalDrive.front.ringTeeth');
  ask(driveline.wheelBearing === null, 'wheelBearing', 'driveline.wheelBearing');
  ask(driveline.electricDrive === null, 'electricDrive', 'driveline.electricDrive');
  ask(combustion && driveline.cylinders === null, 'cylinders', 'driveline.cylinders');
  ask(combustion && driveline.gearRatios.length === 0, 'gearRatios', 'driveline.gearRatios');
  ask(heard.standing === null, 'standing', 'heard.standing');
  ask(heard.surface === null, 'surface', 'heard.surface');
  ask(heard.laden === null, 'laden', 'heard.laden');
  ask(heard.warmth === null, 'warmth', 'heard.warmth');
  ask(intake.odometer_km === null, 'odometer', 'odometer_km');
  const wheels = Object.entries(tyres.wheels);
  for (const [thing, value] of [
    ['pressures', 'pressure_kPa'],
    ['treads', 'tread_mm'],
    ['tyreAges', 'madeIn'],
  ] as const) {
    const first = wheels.find(([, t]) => t[value] === null);
    ask(first !== undefined, thing, `tyres.wheels.${first?.[0]}.${value}`);
  }
  ask(intake.vin === null, 'vin', 'vin');
  ask(intake.plate.trim() === '', 'plate', 'plate');
  return missing;
}
