import { z } from 'zod';
import { DecisionSchema } from '../decision/decision.ts';
import { MessageSchema, message } from '../messages/message.ts';
import { ManoeuvreProgressSchema, RoadCardSchema } from '../road-card/manoeuvre.ts';
import { issue, within } from '../visit-work/fields.ts';
import { InspectionSchema } from '../visit-work/inspection.ts';
import { IntakeSchema } from '../visit-work/intake.ts';
import { MissingSchema } from '../visit-work/missing.ts';
import { ReminderSchema } from '../visit-work/reminders.ts';
import { RiggingSchema } from '../visit-work/rigging.ts';
import { StepSchema } from '../visit-work/steps.ts';
import { FAULTS } from './live.ts';

/**
 * The work around the measurement, from the complaint to the report. The forms stand where their rules are
 * (`shared/visit-work`, `shared/road-card`, `shared/decision`, `shared/diagnosis/inspection.ts`); here is what the
 * two ends tell each other about them.
 */

const id = z.number().int().positive();
const isoTime = z.iso.datetime({ offset: true });

/** Forms whose half-typed content is kept; `settings` belongs to no visit. */
export const FORMS = ['intake', 'rigging', 'roadCard', 'inspection', 'decision', 'settings'] as const;
export const FormSchema = z.enum(FORMS);
export type Form = z.infer<typeof FormSchema>;

/** Longest JSON text of a draft: nobody types more. */
export const DRAFT_CHARACTERS = 200_000;
/** As typed, wrong or right; any JSON value. */
export const DraftSchema = z
  .json()
  .refine((value) => JSON.stringify(value).length <= DRAFT_CHARACTERS, issue(message('draft.tooLong')));

export const CHECKS = ['tap', 'noiseFloor', 'lead', 'polarity', 'calibration'] as const;
export const CheckKindSchema = z.enum(CHECKS);
export type CheckKind = z.infer<typeof CheckKindSchema>;

const channel = z.number().int().min(1).max(32);

export const StartCheckSchema = z.discriminatedUnion('check', [
  /** The technician taps beside the pickup of this channel. */
  z.object({ check: z.literal('tap'), channel }),
  /** All channels together, vehicle at rest. */
  z.object({ check: z.literal('noiseFloor') }),
  /** All channels together, leads moved by hand. */
  z.object({ check: z.literal('lead') }),
  /** The technician taps on top of the pickup, along its arrow. */
  z.object({ check: z.literal('polarity'), channel }),
  /** The pickup of this channel sits on a reference shaker. */
  z.object({
    check: z.literal('calibration'),
    channel,
    /** RMS that the shaker gives at 159.15 Hz; 10 m/s² there is 10 mm/s and 10 µm. */
    reference_m_s2: within('Reference', 0.1, 1000, 'm/s²'),
  }),
]);
export type StartCheck = z.infer<typeof StartCheckSchema>;

/** Levels are ratios of full scale; `text` is the sentence for the technician. */
export const CheckResultSchema = z.discriminatedUnion('check', [
  z.object({
    check: z.literal('tap'),
    /** Beside which pickup the tap was asked for. */
    channel,
    verdict: z.enum(['right', 'other', 'unclear']),
    /** The channel that answered most; null when none stands out. */
    answered: channel.nullable(),
    /** How far the strongest stands over the next one; null with a single channel. */
    margin_db: z.number().nullable(),
    /** Each over its own noise before the tap, and how long after the first it was reached. */
    channels: z.array(
      z.object({ channel, rise_db: z.number(), peak: z.number(), after_ms: z.number().nonnegative() }),
    ),
    text: MessageSchema,
  }),
  z.object({
    check: z.literal('noiseFloor'),
    verdict: z.enum(['good', 'doubtful']),
    channels: z.array(
      z.object({
        channel,
        rms: z.number(),
        /** Null without a known full scale. */
        rms_m_s2: z.number().nullable(),
        verdict: z.enum(['quiet', 'high', 'dead']),
        text: MessageSchema,
      }),
    ),
    text: MessageSchema,
  }),
  z.object({
    check: z.literal('lead'),
    verdict: z.enum(['good', 'doubtful']),
    channels: z.array(
      z.object({ channel, faults: z.array(z.enum([...FAULTS, 'loose'])), text: MessageSchema }),
    ),
    text: MessageSchema,
  }),
  z.object({
    check: z.literal('polarity'),
    channel,
    verdict: z.enum(['positive', 'negative', 'unclear']),
    text: MessageSchema,
  }),
  z.object({
    check: z.literal('calibration'),
    channel,
    verdict: z.enum(['calibrated', 'refused']),
    reason: z.enum(['noTone', 'wrongFrequency', 'unsteady', 'impure', 'clipped']).nullable(),
    frequency_Hz: z.number().nullable(),
    rms: z.number().nullable(),
    reference_m_s2: z.number(),
    fullScale_m_s2: z.number().nullable(),
    text: MessageSchema,
  }),
]);
export type CheckResult = z.infer<typeof CheckResultSchema>;

/** A result as the visit keeps it. */
export const KeptCheckSchema = z.object({ id, at: isoTime, result: CheckResultSchema });
export type KeptCheck = z.infer<typeof KeptCheckSchema>;

/** What the running check waits for. */
export const CheckStateSchema = z.object({
  running: CheckKindSchema.nullable(),
  channel: channel.nullable(),
  /** 0 to 1; null while it waits for the technician's tap. */
  progress: z.number().min(0).max(1).nullable(),
  /** What the technician is to do; null while none runs. */
  text: MessageSchema.nullable(),
});
export type CheckState = z.infer<typeof CheckStateSchema>;

export const MEDIA_TYPES = ['image/jpeg', 'image/png'] as const;
/** A photo that tells flakes from chips needs no more; the screen makes larger ones smaller. */
export const ATTACHMENT_BYTES = 700_000;
export const AttachmentSchema = z.object({
  id,
  /** Null for the shop's logo. */
  visitId: id.nullable(),
  name: z.string(),
  mediaType: z.enum(MEDIA_TYPES),
  bytes: z.number().int().positive(),
  /** Hexadecimal. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  addedAt: isoTime,
});
export type Attachment = z.infer<typeof AttachmentSchema>;

/** How far the road card has been driven. */
export const RoadProgressSchema = z.object({
  following: z.boolean(),
  current: z.string().nullable(),
  manoeuvres: z.array(ManoeuvreProgressSchema),
  /** What is still missing. */
  missing: z.array(MessageSchema),
});
export type RoadProgress = z.infer<typeof RoadProgressSchema>;

/** Everything that was noted in a visit beside its runs. */
export const VisitWorkSchema = z.object({
  visitId: id,
  vehicleId: id,
  vehicleLabel: z.string(),
  startedAt: isoTime,
  /** Where the work stands; the screen opens there. */
  step: StepSchema,
  finishedAt: isoTime.nullable(),
  intake: IntakeSchema,
  rigging: RiggingSchema,
  /** Newest first. */
  checks: z.array(KeptCheckSchema),
  roadCard: RoadCardSchema.nullable(),
  roadProgress: RoadProgressSchema,
  inspection: InspectionSchema,
  decision: DecisionSchema,
  /** Steps whose form has been saved. */
  done: z.array(StepSchema),
  skipped: z.array(StepSchema),
  attachments: z.array(AttachmentSchema),
  missing: z.array(MissingSchema),
  reminders: z.array(ReminderSchema),
  /** What was typed and not saved yet, by form. */
  drafts: z.partialRecord(FormSchema, z.json()),
});
export type VisitWork = z.infer<typeof VisitWorkSchema>;

/** A visit that is still being worked on. */
export const UnfinishedVisitSchema = z.object({
  visitId: id,
  vehicleLabel: z.string(),
  plate: z.string(),
  step: StepSchema,
  changedAt: isoTime,
});
export type UnfinishedVisit = z.infer<typeof UnfinishedVisitSchema>;

/**
 * What became of the shop's own earlier decisions to watch a part of this kind, or to do nothing about it: those that
 * came back within the horizon to be repaired, and those that are known to have passed it.
 */
export const ShopHistorySchema = z.object({
  known: z.number().int().nonnegative(),
  repaired: z.number().int().nonnegative(),
});
export type ShopHistory = z.infer<typeof ShopHistorySchema>;
