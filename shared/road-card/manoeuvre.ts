import { z } from 'zod';
import { SegmentSchema } from '../bundle/visit.ts';
import { DRIVING_STATES } from '../driveline/words.ts';
import { MessageSchema } from '../messages/message.ts';

/** What the driver is asked for: one stretch of driving that separates candidates. */
export const MANOEUVRE_KINDS = [
  'steady',
  'drive',
  'coast',
  'float',
  'swayLeft',
  'swayRight',
  'neutralCoast',
  'otherGear',
] as const;
export const ManoeuvreKindSchema = z.enum(MANOEUVRE_KINDS);
export type ManoeuvreKind = z.infer<typeof ManoeuvreKindSchema>;

export const ManoeuvreSchema = z.object({
  /** `coast-80`: kind and speed, unique within a card. */
  id: z.string().min(1).max(40),
  kind: ManoeuvreKindSchema,
  /** The state of the segments that it leaves. */
  state: z.enum(DRIVING_STATES),
  /** The speed to hold, or to begin with. */
  speed_km_h: z.number().min(10).max(250),
  /** Where the speed is to end; the same for a steady one. */
  endSpeed_km_h: z.number().min(0).max(250),
  /** Steady seconds that it needs in all. */
  wanted_s: z.number().positive().max(120),
  title: MessageSchema,
  /** One sentence: what this tells. */
  why: MessageSchema,
  /** To be read before the drive, never during it. */
  cautions: z.array(MessageSchema),
  /** What is said to the driver when it begins. */
  say: MessageSchema,
});
export type Manoeuvre = z.infer<typeof ManoeuvreSchema>;

export const RoadCardSchema = z.object({
  manoeuvres: z.array(ManoeuvreSchema).max(40),
  /** One sentence: what the card was made from. */
  madeFrom: MessageSchema,
});
export type RoadCard = z.infer<typeof RoadCardSchema>;

/** Tones for those who do not hear the words over the noise. */
export const TONES = ['begin', 'hold', 'done', 'attention'] as const;
export const ToneSchema = z.enum(TONES);
export type Tone = z.infer<typeof ToneSchema>;

/** Spoken by the screen's own voice, sounded through the listening output: nobody reads while driving. */
export const PromptSchema = z.object({
  manoeuvreId: z.string().nullable(),
  tone: ToneSchema,
  say: MessageSchema,
});
export type Prompt = z.infer<typeof PromptSchema>;

export const ManoeuvreProgressSchema = z.object({
  id: z.string(),
  state: z.enum(['missing', 'underWay', 'done']),
  held_s: z.number().nonnegative(),
  wanted_s: z.number().positive(),
});
export type ManoeuvreProgress = z.infer<typeof ManoeuvreProgressSchema>;

/** A steady stretch of driving, found in a run's own speed. */
export const FoundSegmentSchema = z.object({
  segment: SegmentSchema,
  mean_km_h: z.number().nonnegative(),
  /** Mean over the stretch. */
  acceleration_m_s2: z.number(),
  /** Whether the speed itself told the state, or the technician's key. */
  stateFrom: z.enum(['speed', 'keyed']),
});
export type FoundSegment = z.infer<typeof FoundSegmentSchema>;
