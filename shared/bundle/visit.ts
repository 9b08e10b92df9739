import { z } from 'zod';
import { DRIVING_STATES, LAYOUTS } from '../driveline/words.ts';
import { messageIn } from '../messages/as-text.ts';
import { type Message, message } from '../messages/message.ts';
import { ToldError } from '../messages/told-error.ts';

/** `visit.json` of a visit bundle, format version 1. Unknown keys are kept, so that a round trip loses nothing. */

const positive = z.number().positive();
const seconds = z.number().nonnegative();

export const BearingGeometrySchema = z.looseObject({
  rollingElements: z.number().int().min(3).max(200),
  elementDiameter_mm: positive,
  pitchDiameter_mm: positive,
  contactAngle_deg: z.number().min(0).max(90),
});
export type BearingGeometry = z.infer<typeof BearingGeometrySchema>;

export const GearPairSchema = z.looseObject({
  ringTeeth: z.number().int().min(5).max(300),
  pinionTeeth: z.number().int().min(3).max(100),
});
export type GearPair = z.infer<typeof GearPairSchema>;

export const VehicleSpecSchema = z.looseObject({
  label: z.string(),
  odometer_km: z.number().nonnegative().nullish(),
  layout: z.enum(LAYOUTS),
  rollingCircumference_m: z.number().min(0.5).max(5).nullish(),
  wheelBearing: BearingGeometrySchema.nullish(),
  finalDrive: z.looseObject({ front: GearPairSchema.nullish(), rear: GearPairSchema.nullish() }).nullish(),
  engine: z.looseObject({ cylinders: z.number().int().min(1).max(16).nullish() }).nullish(),
  electricDrive: z.boolean().nullish(),
});
/** What is known of the running gear; what is unknown is null or absent, never guessed. */
export type VehicleSpec = z.infer<typeof VehicleSpecSchema>;

export const VibrationChannelSchema = z.looseObject({
  channel: z.number().int().min(1).max(32),
  role: z.literal('vibration'),
  position: z.string().min(1),
  fullScale_m_s2: positive.nullish(),
});
export const TachoChannelSchema = z.looseObject({
  channel: z.number().int().min(1).max(32),
  role: z.literal('tacho'),
  shaft: z.string().min(1),
  pulsesPerRev: positive,
});
export const ChannelSchema = z.discriminatedUnion('role', [VibrationChannelSchema, TachoChannelSchema]);
export type BundleChannel = z.infer<typeof ChannelSchema>;

export const SpeedReadingsSchema = z
  .looseObject({ t_s: z.array(z.number()), v_km_h: z.array(z.number().nonnegative()) })
  .refine((s) => s.t_s.length === s.v_km_h.length, { message: 't_s and v_km_h must have the same length' })
  .refine((s) => s.t_s.every((t, i) => i === 0 || t >= s.t_s[i - 1]!), {
    message: 't_s must not go back in time',
  });
export type SpeedReadings = z.infer<typeof SpeedReadingsSchema>;

export const SegmentSchema = z
  .looseObject({
    from_s: seconds,
    to_s: seconds,
    state: z.enum(DRIVING_STATES),
    gearRatio: positive.nullish(),
  })
  .refine((s) => s.to_s >= s.from_s, { message: 'to_s must not be before from_s' });
export type Segment = z.infer<typeof SegmentSchema>;

export const RunSchema = z.looseObject({
  file: z
    .string()
    .min(1)
    .refine((f) => !/[\\/]|^\.\.?$|\0/.test(f), { message: 'must be a plain file name inside the bundle' }),
  startedAt: z.iso.datetime({ offset: true }),
  channels: z
    .array(ChannelSchema)
    .min(1)
    .max(32)
    .refine((cs) => new Set(cs.map((c) => c.channel)).size === cs.length, {
      message: 'a channel is listed twice',
    }),
  speed: SpeedReadingsSchema.nullish(),
  segments: z.array(SegmentSchema).default([]),
  /** Moments that the technician marked. Not in every bundle. */
  marks: z.array(z.looseObject({ at_s: seconds, text: z.string().max(500) })).optional(),
  /** Frames that the interface did not deliver: the recording holds silence there. Not in every bundle. */
  gaps: z
    .array(z.looseObject({ firstFrame: z.number().int().nonnegative(), frames: z.number().int().positive() }))
    .optional(),
});
export type BundleRun = z.infer<typeof RunSchema>;

export const VisitBundleSchema = z.looseObject({
  formatVersion: z.literal(1),
  vehicle: VehicleSpecSchema,
  runs: z.array(RunSchema),
});
export type VisitBundle = z.infer<typeof VisitBundleSchema>;

/** The bundle is malformed: `field` is the JSON path of the first fault. */
export class BundleError extends ToldError {
  override readonly name = 'BundleError';
  readonly file: string;
  readonly field: string;
  constructor(file: string, field: string, why: Message) {
    super(
      field ? message('error.bundleField', { file, field, why }) : message('error.bundle', { file, why }),
    );
    this.file = file;
    this.field = field;
  }
}

/** Unknown keys are kept as they are, and writing them again goes as deep as they do. */
const DEEPEST = 100;

/** Level by level: a function that calls itself would be what it shall prevent. */
function isDeeperThan(json: unknown, deepest: number): boolean {
  let level = [json].filter(isHolder);
  for (let depth = 0; level.length > 0; depth++) {
    if (depth > deepest) return true;
    level = level.flatMap((holder) => Object.values(holder).filter(isHolder));
  }
  return false;
}

const isHolder = (value: unknown): value is object => typeof value === 'object' && value !== null;

/**
 * Reads the text of a `visit.json`.
 * @param text the file's content
 * @param file the name to show in an error
 * @throws {BundleError} with the file and the first faulty field
 */
export function parseVisitBundle(text: string, file = 'visit.json'): VisitBundle {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (cause) {
    throw new BundleError(file, '', message('bundle.notJson', { why: (cause as Error).message }));
  }
  if (isDeeperThan(json, DEEPEST))
    throw new BundleError(file, '', message('bundle.tooDeep', { most: DEEPEST }));
  const result = VisitBundleSchema.safeParse(json);
  if (result.success) return result.data;
  const issue = result.error.issues[0]!;
  const field = issue.path
    .map((p) => (typeof p === 'number' ? `[${p}]` : `.${String(p)}`))
    .join('')
    .replace(/^\./, '');
  throw new BundleError(file, field, messageIn(issue.message));
}
