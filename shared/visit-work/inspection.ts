import { z } from 'zod';
import { DEBRIS, DRAG, FLUID_UNITS, PLAY, TYRE_WEAR } from '../diagnosis/inspection.ts';
import { WHEELS } from '../driveline/words.ts';
import { message } from '../messages/message.ts';
import { type Field, issue, text, within } from './fields.ts';

const once = <T>(values: readonly T[]): boolean => new Set(values).size === values.length;

const fluid = (field: Field) => within(field, 0, 50, 'l').nullable();
const torque = (field: Field) => within(field, 1, 1000, 'Nm').nullable();
const PlugSchema = z.object({
  /** From the maker's service information; null: not looked up. */
  wanted_Nm: torque('Torque from the maker’s data'),
  done_Nm: torque('Torque'),
});

/** Null: not looked at. What the findings weigh stands in `shared/diagnosis/inspection.ts`. */
export const InspectionSchema = z.object({
  wheels: z
    .array(
      z.object({
        wheel: z.enum(WHEELS),
        play: z.enum(PLAY).nullable(),
        drag: z.enum(DRAG).nullable(),
        tyreWear: z.enum(TYRE_WEAR).nullable(),
        note: text('Note', 1000),
      }),
    )
    .refine((wheels) => once(wheels.map((w) => w.wheel)), issue(message('inspection.wheelOnce'))),
  units: z
    .array(
      z.object({
        unit: z.enum(FLUID_UNITS),
        debris: z.enum(DEBRIS).nullable(),
        /** An attachment of the visit: what was on the magnet. */
        photoId: z.number().int().positive().nullable(),
        drained_l: fluid('Fluid drained'),
        refilled_l: fluid('Fluid refilled'),
        fillPlugOpenedFirst: z.boolean().nullable(),
        /** The maker's name for it. */
        fluid: text('Fluid', 200),
        fillPlug: PlugSchema,
        drainPlug: PlugSchema,
        note: text('Note', 1000),
      }),
    )
    .refine((units) => once(units.map((u) => u.unit)), issue(message('inspection.unitOnce'))),
  note: text('Note', 2000),
});
export type Inspection = z.infer<typeof InspectionSchema>;

export const emptyInspection = (): Inspection => ({ wheels: [], units: [], note: '' });
