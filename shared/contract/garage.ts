import { z } from 'zod';
import { ChannelSchema, SegmentSchema, VehicleSpecSchema } from '../bundle/visit.ts';
import { DRIVING_STATES } from '../driveline/words.ts';

/** What the garage remembers: vehicles, their visits, the runs of a visit and what was measured in them. */

const id = z.number().int().positive();
const isoTime = z.iso.datetime({ offset: true });

/** A vehicle as it is entered or changed; `spec` is what is known of the running gear. */
export const VehicleInputSchema = z.object({
  plate: z.string().max(20),
  vin: z.string().max(17).nullable(),
  ownerNote: z.string().max(2000),
  spec: VehicleSpecSchema,
});
export type VehicleInput = z.infer<typeof VehicleInputSchema>;

export const VehicleSchema = VehicleInputSchema.extend({ id, createdAt: isoTime });
export type Vehicle = z.infer<typeof VehicleSchema>;

/** One row of the list of vehicles. */
export const VehicleRowSchema = z.object({
  id,
  label: z.string(),
  plate: z.string(),
  ownerNote: z.string(),
  odometer_km: z.number().nullable(),
  visits: z.number().int(),
  lastVisitAt: isoTime.nullable(),
  lastComplaint: z.string().nullable(),
});
export type VehicleRow = z.infer<typeof VehicleRowSchema>;

export const VisitInputSchema = z.object({
  vehicleId: id,
  startedAt: isoTime,
  odometer_km: z.number().nonnegative().nullable(),
  complaint: z.string().max(4000),
});
export type VisitInput = z.infer<typeof VisitInputSchema>;

/** A moment that the technician marked during a run. */
export const MarkSchema = z.object({ at_s: z.number().nonnegative(), text: z.string().max(500) });
export type Mark = z.infer<typeof MarkSchema>;

/** Frames that the interface did not deliver; the recording holds silence there. */
export const GapSchema = z.object({
  firstFrame: z.number().int().nonnegative(),
  frames: z.number().int().positive(),
});
export type Gap = z.infer<typeof GapSchema>;

/** A line whose energy was followed: `ring gear mesh 1×` at order 41 of the wheel. */
export const OrderLineSchema = z.object({
  part: z.string(),
  label: z.string(),
  shaft: z.string(),
  /** Multiples of the named shaft's turning rate. */
  order: z.number().positive(),
});
export type OrderLine = z.infer<typeof OrderLineSchema>;

export const RunSchema = z.object({
  id,
  visitId: id,
  startedAt: isoTime,
  /** File name inside the data folder's `recordings`. */
  file: z.string(),
  sampleRate_Hz: z.number().positive(),
  frames: z.number().int().nonnegative(),
  state: z.enum(['recording', 'complete', 'repaired']),
  channels: z.array(ChannelSchema),
  segments: z.array(SegmentSchema),
  orderLines: z.array(OrderLineSchema),
  marks: z.array(MarkSchema),
  gaps: z.array(GapSchema),
});
export type Run = z.infer<typeof RunSchema>;

/** What is known of a run when its recording starts. */
export type RunStart = Pick<
  Run,
  'visitId' | 'startedAt' | 'file' | 'sampleRate_Hz' | 'channels' | 'orderLines'
>;

export const VisitSchema = VisitInputSchema.extend({ id, runs: z.array(RunSchema) });
export type Visit = z.infer<typeof VisitSchema>;

/** A vehicle with its visits, newest first, without the runs' details. */
export const VehiclePageSchema = z.object({
  vehicle: VehicleSchema,
  visits: z.array(
    z.object({
      id,
      startedAt: isoTime,
      odometer_km: z.number().nullable(),
      complaint: z.string(),
      runs: z.number().int(),
      seconds: z.number().nonnegative(),
      /** Loudest per-second RMS of the visit in m/s² and where it was; null when no pickup was calibrated. */
      loudest: z.object({ position: z.string(), rms_m_s2: z.number() }).nullable(),
    }),
  ),
});
export type VehiclePage = z.infer<typeof VehiclePageSchema>;

/**
 * What one recorded second leaves in the database. Values are ratios of full scale, one per channel in the
 * order of `Run.channels`; `orders` is channel-major, one value per channel and order line, NaN where the line's
 * rate was unknown or out of range.
 */
export interface RunSecond {
  readonly second: number;
  readonly speed_km_h: number | null;
  readonly rms: Float32Array;
  readonly peak: Float32Array;
  readonly orders: Float32Array;
}

/**
 * The seconds of a run as the screens draw them: `rms[channel][second]`, `orders[line][channel][second]`, null
 * where the line's rate was unknown or out of range.
 */
export const RunHistorySchema = z.object({
  run: RunSchema,
  second: z.array(z.number()),
  speed_km_h: z.array(z.number().nullable()),
  rms: z.array(z.array(z.number())),
  peak: z.array(z.array(z.number())),
  orders: z.array(z.array(z.array(z.number().nullable()))),
});
export type RunHistory = z.infer<typeof RunHistorySchema>;

export const MEASURE_KINDS = ['orderLevel', 'envelopeProminence', 'bandLevel'] as const;

/** A figure that a run leaves to be compared with those of other visits. */
export const MeasureSchema = z.object({
  /** The channel of the run that gave it, and with it the placement, the pickup and its sensitivity. */
  channel: z.number().int().min(1).max(32),
  kind: z.enum(MEASURE_KINDS),
  /** The part whose level it is, and the line or band: `ring gear mesh 1×`, `891-1122 Hz`. */
  part: z.string(),
  label: z.string(),
  unit: z.string(),
  /** Names the computation and its version: figures of two methods are not comparable. */
  method: z.string(),
  state: z.enum(DRIVING_STATES),
  speedBand: z.object({ low_km_h: z.number().nonnegative(), high_km_h: z.number().nonnegative() }),
  value: z.number(),
  /** Standard deviation over the run's repeats in the value's unit; null from a single one. */
  spread: z.number().nonnegative().nullable(),
  repeats: z.number().int().positive(),
});
export type Measure = z.infer<typeof MeasureSchema>;

/** A measure with everything that decides whether it may be compared. */
export const MeasureOfVisitSchema = MeasureSchema.extend({
  visitId: id,
  startedAt: isoTime,
  odometer_km: z.number().nullable(),
  runId: id,
  position: z.string(),
  /** Which pickup it was, as the placement named it. */
  pickup: z.string().nullable(),
  /** Null when the pickup's sensitivity or the interface's full scale was not known: no comparison. */
  fullScale_m_s2: z.number().positive().nullable(),
});
export type MeasureOfVisit = z.infer<typeof MeasureOfVisitSchema>;
