import { z } from 'zod';
import type { Intake } from './intake.ts';

/** Something that is not known yet, and what it would add. */
export const MissingSchema = z.object({
  /** The field of the intake form, as a path: `driveline.layout`. */
  field: z.string(),
  name: z.string(),
  adds: z.string(),
});
export type Missing = z.infer<typeof MissingSchema>;

const MESH =
  'Tooth counts put the gear mesh on its exact order; without them a whine cannot be tied to this axle. The ratio alone still tells how fast the propshaft turns.';

/** What the intake leaves open, the most useful for the diagnosis first. */
export function missingOf(intake: Intake): Missing[] {
  const { heard, tyres, driveline } = intake;
  const missing: Missing[] = [];
  const ask = (unknown: boolean, field: string, name: string, adds: string): void => {
    if (unknown) missing.push({ field, name, adds });
  };
  const driven = (axle: 'front' | 'rear'): boolean => driveline.layout !== (axle === 'front' ? 'rwd' : 'fwd');
  const noTeeth = (axle: 'front' | 'rear'): boolean =>
    driven(axle) && driveline.finalDrive[axle].ringTeeth === null;

  ask(
    driveline.layout === null,
    'driveline.layout',
    'Driven wheels',
    'It decides which parts there are at all: an axle without drive has no differential that could be heard.',
  );
  ask(
    tyres.size === null,
    'tyres.size',
    'Tyre size',
    'It gives the rolling circumference; without it speed cannot be turned into wheel turns, and no order of the running gear has its place.',
  );
  ask(
    intake.ownerWords.trim() === '',
    'ownerWords',
    'Owner’s words',
    'They give the candidates their first, weak order, and the report quotes them.',
  );
  ask(
    heard.speedFrom_km_h === null || heard.speedTo_km_h === null,
    'heard.speedFrom_km_h',
    'Speeds at which it is heard',
    'The road card is driven where the noise is, instead of everywhere.',
  );
  ask(
    heard.bend === null,
    'heard.bend',
    'Louder in a bend',
    'A bend loads one side: it separates wheel bearings from gears, and left from right.',
  );
  ask(
    heard.torque === null,
    'heard.torque',
    'Pulling, lifting off or rolling',
    'Gears answer to the direction of the torque, bearings and tyres hardly.',
  );
  ask(noTeeth('rear'), 'driveline.finalDrive.rear.ringTeeth', 'Rear final drive', MESH);
  ask(noTeeth('front'), 'driveline.finalDrive.front.ringTeeth', 'Front final drive', MESH);
  ask(
    driveline.wheelBearing === null,
    'driveline.wheelBearing',
    'Wheel bearing geometry',
    'It places the four defect rates; without it a whole family of plausible rates is searched, and less is proved.',
  );
  ask(
    driveline.electricDrive === null,
    'driveline.electricDrive',
    'Electric drive',
    'An electric drive has no firing but a reduction of its own, and high-voltage parts to keep away from.',
  );
  ask(
    driveline.electricDrive !== true && driveline.cylinders === null,
    'driveline.cylinders',
    'Cylinders',
    'They place the firing order, so that the engine is not taken for the running gear.',
  );
  ask(
    driveline.electricDrive !== true && driveline.gearRatios.length === 0,
    'driveline.gearRatios',
    'Gearbox ratios',
    'With the gear that is driven in they tie engine speed to road speed and separate engine from road noise.',
  );
  ask(
    heard.standing === null,
    'heard.standing',
    'Heard while standing',
    'What is heard while the vehicle stands comes from the engine or its accessories, not from the running gear.',
  );
  ask(
    heard.surface === null,
    'heard.surface',
    'Changes with the road’s surface',
    'Tyres change their sound with the surface; bearings and gears do not.',
  );
  ask(
    heard.laden === null,
    'heard.laden',
    'Louder when laden',
    'Load on an axle speaks for its bearings and tyres.',
  );
  ask(
    heard.warmth === null,
    'heard.warmth',
    'Cold or warm',
    'It tells whether to measure at once or after a warm-up; otherwise the noise may stay away during the drive.',
  );
  ask(
    intake.odometer_km === null,
    'odometer_km',
    'Odometer',
    'Without it there is no growth per distance and no next check by mileage.',
  );
  const wheels = Object.entries(tyres.wheels);
  ask(
    wheels.some(([, t]) => t.pressure_kPa === null),
    `tyres.wheels.${wheels.find(([, t]) => t.pressure_kPa === null)?.[0]}.pressure_kPa`,
    'Tyre pressures',
    'A soft tyre rumbles like a bearing and rolls a shorter way; uneven pressures are found before a part is bought.',
  );
  ask(
    wheels.some(([, t]) => t.tread_mm === null),
    `tyres.wheels.${wheels.find(([, t]) => t.tread_mm === null)?.[0]}.tread_mm`,
    'Tread depths',
    'Worn tread takes up to 2.5 % off the rolling circumference, and uneven tread speaks for the tyre.',
  );
  ask(
    wheels.some(([, t]) => t.madeIn === null),
    `tyres.wheels.${wheels.find(([, t]) => t.madeIn === null)?.[0]}.madeIn`,
    'Age of the tyres',
    'Old tyres grow hard and loud; their age weighs tyre against bearing.',
  );
  ask(
    intake.vin === null,
    'vin',
    'VIN',
    'It finds the maker’s data and knows the vehicle again under another plate.',
  );
  ask(intake.plate.trim() === '', 'plate', 'Plate', 'It finds the vehicle when it comes back.');
  return missing;
}
