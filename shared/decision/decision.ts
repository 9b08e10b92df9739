import { z } from 'zod';
import { SOURCES } from '../driveline/words.ts';
import { message } from '../messages/message.ts';
import { type Field, issue, named, text, within } from '../visit-work/fields.ts';

export const OPTIONS = ['replace', 'watch', 'test', 'nothing'] as const;
export const OptionSchema = z.enum(OPTIONS);
export type Option = z.infer<typeof OptionSchema>;

const money = (field: Field) => within(field, 0, 10_000_000);

/** What an option costs now, net of tax. */
export const CostSchema = z.object({
  parts: z
    .array(
      z.object({
        name: named('Part', 120),
        quantity: within('Quantity', 0.01, 1000),
        unitPrice: money('Price'),
      }),
    )
    .max(50),
  labour_h: within('Labour', 0, 500, 'hours').nullable(),
});
export type Cost = z.infer<typeof CostSchema>;

/** How likely the part must be replaced within the horizon all the same, and who says so. */
export const LaterSchema = z.object({
  probability: within('Chance', 0, 1),
  from: z.enum(['technician', 'shopHistory']),
});
export type Later = z.infer<typeof LaterSchema>;

const OptionFormSchema = z.object({ cost: CostSchema, later: LaterSchema.nullable() });

export const DecisionSchema = z.object({
  /** The part in question; null: not told. */
  source: z.enum(SOURCES).nullable(),
  horizon_km: within('Horizon', 100, 300_000, 'km'),
  options: z.object({
    replace: OptionFormSchema,
    watch: OptionFormSchema,
    test: OptionFormSchema,
    nothing: OptionFormSchema,
  }),
  /** What a failure on the road costs beyond the replacement, such as towing and damage; null: not told. */
  failureExtra: money('Cost of a failure').nullable(),
  /** Null: not known, as on a first visit. */
  levelHasRisen: z.boolean().nullable(),
  chosen: OptionSchema.nullable(),
  /** Whether it has been done already: only then the vehicle's history says so. */
  carriedOut: z.boolean(),
  reason: text('Reason', 2000),
  nextCheck: z.object({
    date: z.iso.date(issue(message('field.date', { field: 'Next check' }))).nullable(),
    odometer_km: within('Next check', 0, 3_000_000, 'km').nullable(),
  }),
});
export type Decision = z.infer<typeof DecisionSchema>;

const noCost = (): z.infer<typeof OptionFormSchema> => ({ cost: { parts: [], labour_h: null }, later: null });

export const emptyDecision = (): Decision => ({
  source: null,
  horizon_km: 20_000,
  options: { replace: noCost(), watch: noCost(), test: noCost(), nothing: noCost() },
  failureExtra: null,
  levelHasRisen: null,
  chosen: null,
  carriedOut: false,
  reason: '',
  nextCheck: { date: null, odometer_km: null },
});
