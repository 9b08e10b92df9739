import { z } from 'zod';
import { DRIVING_STATES } from '../driveline/words.ts';
import { MessageSchema, message } from '../messages/message.ts';
import { issue } from '../visit-work/fields.ts';
import { id, nothing, request } from './define.ts';
import {
  BackupMadeSchema,
  DueRowSchema,
  LookedBundleSchema,
  OutcomeSchema,
  OverlaidSpectrumSchema,
  RetentionPlanSchema,
  RetentionSchema,
  VehicleWearSchema,
  VisitComparisonSchema,
  VisitOutcomeSchema,
  WearRiseSchema,
} from './returning-car.ts';

const folder = z
  .string()
  .trim()
  .min(1, issue(message('folder.name')))
  .max(1000);
const ofRun = z.object({ runId: id, channel: z.number().int().min(1).max(32) });
const ground = z.object({
  earlier: ofRun,
  later: ofRun,
  state: z.enum(DRIVING_STATES),
  speedBand: z.object({ low_km_h: z.number().nonnegative(), high_km_h: z.number().nonnegative() }),
});

export const RETURNING_CAR_REQUESTS = {
  'outcomes.set': request(z.object({ visitId: id, outcome: OutcomeSchema.nullable() }), nothing),
  'outcomes.ofVehicle': request(z.object({ vehicleId: id }), z.array(VisitOutcomeSchema)),
  /** Cars to be checked within so many days, those past their day included, the most urgent first. */
  'garage.due': request(z.object({ withinDays: z.number().int().min(0).max(3660) }), z.array(DueRowSchema)),

  /** @param series whose trend to show; null for the one that answers for the vehicle */
  'vehicles.wear': request(z.object({ vehicleId: id, series: z.string().nullable() }), VehicleWearSchema),
  /** @param level_db null takes the limit away again */
  'vehicles.setWearLimit': request(
    z.object({ vehicleId: id, series: z.string(), level_db: z.number().min(-200).max(300).nullable() }),
    nothing,
  ),
  'garage.wearRise': request(nothing, WearRiseSchema),
  'garage.setWearRise': request(WearRiseSchema, nothing),

  'visits.compare': request(z.object({ earlierVisitId: id, laterVisitId: id }), VisitComparisonSchema),
  /** Both spectra over the turns of a wheel; null where a run was not measured there. */
  'visits.overlay': request(
    ground,
    z.object({ earlier: OverlaidSpectrumSchema.nullable(), later: OverlaidSpectrumSchema.nullable() }),
  ),
  /** Opens both recordings as one source: channel 1 the earlier visit, channel 2 the later, at the same gain. */
  'visits.hearBoth': request(ground, nothing),
  /** Measures the recordings of a visit again. */
  'visits.measure': request(z.object({ visitId: id }), nothing),

  /** What a bundle says of itself, so that its vehicle can be found in the garage. */
  'bundles.look': request(z.object({ folder }), LookedBundleSchema),
  'bundles.import': request(
    z.object({ folder, vehicleId: id.nullable() }),
    z.object({ vehicleId: id, visitId: id }),
  ),
  'bundles.export': request(z.object({ visitId: id, folder }), nothing),

  'garage.backUp': request(z.object({ folder }), BackupMadeSchema),
  /** Checks a backup and has it take the garage's place at the next start. */
  'garage.restore': request(
    z.object({ folder }),
    z.object({ files: z.number().int(), sentence: MessageSchema }),
  ),
  'retention.get': request(nothing, RetentionSchema),
  'retention.set': request(RetentionSchema, nothing),
  'retention.plan': request(nothing, RetentionPlanSchema),
  /** Deletes the recordings that were seen in the plan, those only, and only where the policy still says so. */
  'retention.apply': request(
    z.object({ runIds: z.array(id) }),
    z.object({ deleted: z.number().int(), bytes: z.number() }),
  ),
} as const;
