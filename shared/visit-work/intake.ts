import { z } from 'zod';
import { findRoom } from '../driveline/bearing.ts';
import { TyreSizeError, tyreRolling } from '../driveline/tyre.ts';
import { LAYOUTS } from '../driveline/words.ts';
import { textOf } from '../messages/as-text.ts';
import { message } from '../messages/message.ts';
import { count, type Field, issue, named, text, within } from './fields.ts';
import { madeInWeek } from './tyre-age.ts';
import { VinSchema } from './vin.ts';

/** What is asked before anything is measured. Everything may stay null or empty: not known, never guessed. */

/** When the owner hears it. */
export const HeardWhenSchema = z
  .object({
    speedFrom_km_h: within('Speed from', 0, 400, 'km/h').nullable(),
    speedTo_km_h: within('Speed to', 0, 400, 'km/h').nullable(),
    /** The bend in which it is louder. */
    bend: z.enum(['left', 'right', 'both', 'noDifference']).nullable(),
    /** What the drive does when it is loudest. */
    torque: z.enum(['drive', 'coast', 'float', 'noDifference']).nullable(),
    /** Whether passengers, luggage or a trailer make it louder. */
    laden: z.enum(['louder', 'noDifference']).nullable(),
    warmth: z.enum(['cold', 'warm', 'noDifference']).nullable(),
    /** Whether it changes with the road's surface. */
    surface: z.enum(['changes', 'noDifference']).nullable(),
    /** Whether it is there while the vehicle stands and its engine runs. */
    standing: z.boolean().nullable(),
  })
  .refine((h) => h.speedFrom_km_h === null || h.speedTo_km_h === null || h.speedTo_km_h >= h.speedFrom_km_h, {
    ...issue(message('intake.speedTo')),
    path: ['speedTo_km_h'],
  });
export type HeardWhen = z.infer<typeof HeardWhenSchema>;

const TyreSizeSchema = text('Tyre size', 40).superRefine((size, context) => {
  try {
    tyreRolling(size);
  } catch (error) {
    if (!(error instanceof TyreSizeError)) throw error;
    const { outerDiameter_mm: diameter_mm } = error;
    const told =
      diameter_mm === null
        ? message('intake.tyreNotASize', { size })
        : message('intake.tyreOdd', { size, diameter_mm });
    context.addIssue({ code: 'custom', message: textOf(told) });
  }
});

export const TyreSchema = z.object({
  pressure_kPa: within('Pressure', 20, 1000, 'kPa').nullable(),
  tread_mm: within('Tread', 0, 30, 'mm').nullable(),
  /** Week and year of making as on the sidewall: `2319` is week 23 of 2019. */
  madeIn: z
    .string()
    .refine((code) => madeInWeek(code) !== null, issue(message('intake.tyreAge')))
    .nullable(),
});
export type Tyre = z.infer<typeof TyreSchema>;

export const TyresSchema = z.object({
  /** As on the sidewall; it gives the rolling circumference. */
  size: TyreSizeSchema.nullable(),
  /** Where the rear axle has another one. */
  rearSize: TyreSizeSchema.nullable(),
  wheels: z.object({
    'front-left': TyreSchema,
    'front-right': TyreSchema,
    'rear-left': TyreSchema,
    'rear-right': TyreSchema,
  }),
});
export type Tyres = z.infer<typeof TyresSchema>;

const ratio = (field: Field) => within(field, 0.2, 30);

/** One axle's final drive: by tooth counts, or by its ratio alone where they are not known. */
export const FinalDriveSchema = z
  .object({
    ringTeeth: count('Ring gear teeth', 5, 300).nullable(),
    pinionTeeth: count('Pinion teeth', 3, 100).nullable(),
    ratio: ratio('Final drive ratio').nullable(),
  })
  .refine((f) => (f.ringTeeth === null) === (f.pinionTeeth === null), {
    ...issue(message('intake.bothTeeth')),
    path: ['pinionTeeth'],
  })
  .refine((f) => f.ringTeeth === null || f.pinionTeeth === null || f.ringTeeth > f.pinionTeeth, {
    ...issue(message('intake.moreTeeth')),
    path: ['ringTeeth'],
  })
  .refine(
    (f) =>
      f.ratio === null ||
      f.ringTeeth === null ||
      f.pinionTeeth === null ||
      Math.abs(f.ringTeeth / f.pinionTeeth / f.ratio - 1) < 0.02,
    { ...issue(message('intake.ratioOdd')), path: ['ratio'] },
  );
export type FinalDriveIntake = z.infer<typeof FinalDriveSchema>;

export const BearingIntakeSchema = z
  .object({
    rollingElements: count('Rolling elements', 3, 200),
    elementDiameter_mm: within('Element diameter', 1, 200, 'mm'),
    pitchDiameter_mm: within('Pitch circle', 5, 1000, 'mm'),
    contactAngle_deg: within('Contact angle', 0, 90, 'degrees'),
  })
  .refine(findRoom, {
    ...issue(message('intake.elementsOdd')),
    path: ['rollingElements'],
  });

export const DrivelineSchema = z.object({
  layout: z.enum(LAYOUTS).nullable(),
  electricDrive: z.boolean().nullable(),
  cylinders: count('Cylinders', 1, 16).nullable(),
  finalDrive: z.object({ front: FinalDriveSchema, rear: FinalDriveSchema }),
  /** Engine turns for one turn of the gearbox output. */
  gearRatios: z.array(z.object({ gear: named('Gear', 10), ratio: ratio('Gear ratio') })).max(14),
  wheelBearing: BearingIntakeSchema.nullable(),
});
export type DrivelineIntake = z.infer<typeof DrivelineSchema>;

export const IntakeSchema = z.object({
  ownerWords: text('Owner’s words', 4000),
  heard: HeardWhenSchema,
  /** What the vehicle is called in the workshop. */
  label: text('Vehicle', 200),
  plate: text('Plate', 20),
  vin: VinSchema.nullable(),
  odometer_km: within('Odometer', 0, 3_000_000, 'km').nullable(),
  tyres: TyresSchema,
  driveline: DrivelineSchema,
});
export type Intake = z.infer<typeof IntakeSchema>;

const noFinalDrive = (): FinalDriveIntake => ({ ringTeeth: null, pinionTeeth: null, ratio: null });
const noTyre = (): Tyre => ({ pressure_kPa: null, tread_mm: null, madeIn: null });

/** A form in which nothing has been answered yet. */
export const emptyIntake = (): Intake => ({
  ownerWords: '',
  heard: {
    speedFrom_km_h: null,
    speedTo_km_h: null,
    bend: null,
    torque: null,
    laden: null,
    warmth: null,
    surface: null,
    standing: null,
  },
  label: '',
  plate: '',
  vin: null,
  odometer_km: null,
  tyres: {
    size: null,
    rearSize: null,
    wheels: {
      'front-left': noTyre(),
      'front-right': noTyre(),
      'rear-left': noTyre(),
      'rear-right': noTyre(),
    },
  },
  driveline: {
    layout: null,
    electricDrive: null,
    cylinders: null,
    finalDrive: { front: noFinalDrive(), rear: noFinalDrive() },
    gearRatios: [],
    wheelBearing: null,
  },
});
