import { z } from 'zod';
import { DecisionSchema } from '../decision/decision.ts';
import { SOURCES } from '../driveline/words.ts';
import { message } from '../messages/message.ts';
import { FoundSegmentSchema, PromptSchema } from '../road-card/manoeuvre.ts';
import { issue, within } from '../visit-work/fields.ts';
import { InspectionSchema } from '../visit-work/inspection.ts';
import { IntakeSchema } from '../visit-work/intake.ts';
import { channelNumber, RiggingSchema } from '../visit-work/rigging.ts';
import { SettingsSchema } from '../visit-work/settings.ts';
import { StepSchema } from '../visit-work/steps.ts';
import { id, nothing, request } from './define.ts';
import {
  ATTACHMENT_BYTES,
  AttachmentSchema,
  CheckStateSchema,
  DraftSchema,
  FormSchema,
  KeptCheckSchema,
  MEDIA_TYPES,
  RoadProgressSchema,
  ShopHistorySchema,
  StartCheckSchema,
  UnfinishedVisitSchema,
  VisitWorkSchema,
} from './visit-work.ts';

const visitId = id;

/** The work around the measurement. Whatever changes a visit is answered with the whole of it. */
export const VISIT_WORK_REQUESTS = {
  /** Begins a visit; without a vehicle one is made that has no name yet. */
  'work.begin': request(z.object({ vehicleId: id.nullable() }), VisitWorkSchema),
  /** Visits that are being worked on, the last touched first: where the program goes on after it was closed. */
  'work.unfinished': request(nothing, z.array(UnfinishedVisitSchema)),
  /** Of any visit, also one that was imported or recorded without a form. */
  'work.get': request(z.object({ visitId }), VisitWorkSchema),
  'work.goTo': request(z.object({ visitId, step: StepSchema }), VisitWorkSchema),
  'work.skip': request(z.object({ visitId, step: StepSchema, skipped: z.boolean() }), VisitWorkSchema),
  'work.finish': request(z.object({ visitId, finished: z.boolean() }), VisitWorkSchema),

  /** Also writes the vehicle and the visit's complaint and odometer. */
  'work.saveIntake': request(z.object({ visitId, intake: IntakeSchema }), VisitWorkSchema),
  'work.saveRigging': request(z.object({ visitId, rigging: RiggingSchema }), VisitWorkSchema),
  'work.saveInspection': request(z.object({ visitId, inspection: InspectionSchema }), VisitWorkSchema),
  'work.saveDecision': request(z.object({ visitId, decision: DecisionSchema }), VisitWorkSchema),
  'work.history': request(
    z.object({ source: z.enum(SOURCES), horizon_km: z.number().positive() }),
    ShopHistorySchema,
  ),

  /** What stands in a form at this moment, right or wrong; saving the form clears it. */
  'drafts.save': request(z.object({ visitId: id.nullable(), form: FormSchema, value: DraftSchema }), nothing),
  'drafts.clear': request(z.object({ visitId: id.nullable(), form: FormSchema }), nothing),
  'drafts.get': request(
    z.object({ visitId: id.nullable(), form: FormSchema }),
    z.object({ value: DraftSchema.nullable() }),
  ),

  'attachments.add': request(
    z.object({
      visitId: id.nullable(),
      name: z.string().max(200),
      mediaType: z.enum(MEDIA_TYPES, issue(message('photo.kind'))),
      base64: z
        .base64(issue(message('photo.unreadable')))
        .max(
          Math.ceil(ATTACHMENT_BYTES / 3) * 4,
          issue(message('error.photoTooLarge', { most_kB: ATTACHMENT_BYTES / 1000 })),
        ),
    }),
    AttachmentSchema,
  ),
  /** Refused when the file no longer has its checksum. */
  'attachments.get': request(
    z.object({ attachmentId: id }),
    z.object({ attachment: AttachmentSchema, base64: z.string() }),
  ),
  'attachments.remove': request(z.object({ attachmentId: id }), nothing),

  'settings.get': request(nothing, z.object({ settings: SettingsSchema, draft: DraftSchema.nullable() })),
  'settings.save': request(z.object({ settings: SettingsSchema }), SettingsSchema),

  /** One check at a time, on the open live source; results come as events and stay with the visit. */
  'checks.start': request(z.object({ visitId: id.nullable(), check: StartCheckSchema }), nothing),
  'checks.stop': request(nothing, nothing),
  'checks.state': request(nothing, CheckStateSchema),
  /** Takes the channel's last good calibration into its pickup's data; refused when there is none. */
  'rigging.useCalibration': request(z.object({ visitId, channel: channelNumber }), VisitWorkSchema),
  'rigging.markRelative': request(
    z.object({ visitId, channel: channelNumber, relative: z.boolean() }),
    VisitWorkSchema,
  ),

  /** Makes the card anew from the complaint, the vehicle and what is still open; null: nothing measured yet. */
  'roadCard.propose': request(
    z.object({
      visitId,
      open: z.array(z.object({ source: z.enum(SOURCES), probability: z.number().min(0).max(1) })).nullable(),
      /** Neutral coast-down is offered only where the technician says that it is lawful and safe here. */
      neutralAllowed: z.boolean(),
      /** Highest speed that the roads at hand allow. */
      limit_km_h: within('Speed limit', 20, 250, 'km/h'),
    }),
    VisitWorkSchema,
  ),
  /** Prompts and progress while the live source runs; null ends it. */
  'roadCard.follow': request(z.object({ visitId: id.nullable() }), nothing),
  /** Goes to a manoeuvre out of turn, or with null to the next that is missing. */
  'roadCard.choose': request(z.object({ manoeuvreId: z.string().max(40).nullable() }), nothing),
  /** The steady stretches of a recorded run as its own speed shows them. */
  'roadCard.segments': request(z.object({ runId: id }), z.array(FoundSegmentSchema)),
} as const;

export const VISIT_WORK_EVENTS = {
  'checks.state': CheckStateSchema,
  /** `visitId` null: measured without a visit, and kept nowhere. */
  'checks.result': z.object({ visitId: id.nullable(), check: KeptCheckSchema.omit({ id: true }) }),
  'road.prompt': PromptSchema,
  'road.progress': RoadProgressSchema,
} as const;
