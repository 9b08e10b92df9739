import { z } from 'zod';
import { DRIVING_STATES, SOURCES } from '../driveline/words.ts';
import { MessageSchema } from '../messages/message.ts';
import { id } from './define.ts';
import { MEASURE_KINDS } from './garage.ts';

/** What is said about a car that comes back: what was done, how it compares, whether it gets worse, when to look. */

const isoTime = z.iso.datetime({ offset: true });

export const DONE = ['repaired', 'serviced', 'watched', 'nothing'] as const;
export type Done = (typeof DONE)[number];

/** How a visit ended, and when to look again: at a date, at an odometer reading, or whichever comes first. */
export const OutcomeSchema = z.object({
  done: z.enum(DONE),
  /** The part that it was about; its trend stands first on the vehicle's page. */
  source: z.enum(SOURCES).exclude(['none']).nullable(),
  note: z.string().max(2000),
  nextCheckOn: z.iso.date().nullable(),
  nextCheckAt_km: z.number().min(0).max(10_000_000).nullable(),
});
export type Outcome = z.infer<typeof OutcomeSchema>;

export const VisitOutcomeSchema = OutcomeSchema.extend({ visitId: id, startedAt: isoTime });
export type VisitOutcome = z.infer<typeof VisitOutcomeSchema>;

/** A car whose next check is near or past. */
export const DueRowSchema = z.object({
  vehicleId: id,
  visitId: id,
  label: z.string(),
  plate: z.string(),
  done: z.enum(DONE),
  source: OutcomeSchema.shape.source,
  note: z.string(),
  lastVisitAt: isoTime,
  nextCheckOn: z.iso.date().nullable(),
  nextCheckAt_km: z.number().nullable(),
  /** The day that comes first; the one on which the odometer is reached is estimated from earlier visits. */
  dueOn: z.iso.date().nullable(),
  estimated: z.boolean(),
  /** Days from today to `dueOn`, negative when it is past; null when the mileage per day is not known. */
  daysLeft: z.number().int().nullable(),
});
export type DueRow = z.infer<typeof DueRowSchema>;

const speedBand = z.object({ low_km_h: z.number(), high_km_h: z.number() });

/** A figure that can be followed over visits: one measure at one place, in one state and speed band. */
export const SeriesSchema = z.object({
  key: z.string(),
  kind: z.enum(MEASURE_KINDS),
  part: z.string(),
  label: z.string(),
  position: z.string(),
  state: z.enum(DRIVING_STATES),
  speedBand,
  /** What the levels are in: `dB re 1 µm/s²`, or `dB` for a prominence. */
  unit: z.string(),
  visits: z.number().int(),
  growth_db_per_10000_km: z.number().nullable(),
  rising: z.boolean(),
});
export type Series = z.infer<typeof SeriesSchema>;

const interval = z.object({ low: z.number(), high: z.number() });

/** The line through the levels of a series against one axis. */
export const TrendSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('tooFew'), visits: z.number().int(), sentence: MessageSchema }),
  z.object({
    kind: z.literal('fitted'),
    against: z.enum(['odometer', 'date']),
    visits: z.number().int(),
    /** dB per 10,000 km, or per year, with its 90 % confidence interval. */
    growth: z.object({ perUnit_db: z.number(), low: z.number(), high: z.number() }),
    rising: z.boolean(),
    /** One-sided exact probability of so rising a course in a car that does not change. */
    chance: z.number(),
    /** The line and the 90 % interval of a further visit, at places from the first visit to beyond the last. */
    line: z.array(z.object({ x: z.number(), level_db: z.number(), ...interval.shape })),
    /** Where the line reaches the limit; null without a limit, when it does not rise, or when it is too far off. */
    reaches: z
      .object({
        x: z.number(),
        earliest: z.number(),
        /** Null when, within the interval, it may never be reached. */
        latest: z.number().nullable(),
        on: z.iso.date().nullable(),
      })
      .nullable(),
    sentence: MessageSchema,
  }),
]);
export type Trend = z.infer<typeof TrendSchema>;

export const WearPointSchema = z.object({
  visitId: id,
  startedAt: isoTime,
  odometer_km: z.number().nullable(),
  level_db: z.number(),
  /** Standard uncertainty of the level: spread of the repeats and of clamping the pickup anew. */
  uncertainty_db: z.number(),
  /** Measured before the part was repaired: shown, not fitted. */
  beforeRepair: z.boolean(),
});
export type WearPoint = z.infer<typeof WearPointSchema>;

/** The page's answer in five seconds, and the chart under it. */
export const VehicleWearSchema = z.object({
  answer: z.object({
    verdict: z.enum(['gettingWorse', 'noChangeShown', 'tooFew', 'nothingMeasured']),
    worse: MessageSchema,
    howFast: MessageSchema,
    lastTime: MessageSchema,
    lookAgain: MessageSchema,
  }),
  lastOutcome: VisitOutcomeSchema.nullable(),
  series: z.array(SeriesSchema),
  shown: z
    .object({
      key: z.string(),
      points: z.array(WearPointSchema),
      againstOdometer: TrendSchema,
      againstDate: TrendSchema,
      limit: z.object({ level_db: z.number(), set: z.enum(['forThisVehicle', 'byRise']) }).nullable(),
    })
    .nullable(),
  /** Runs of this vehicle that wait to be measured. */
  measuring: z.number().int(),
});
export type VehicleWear = z.infer<typeof VehicleWearSchema>;

export const NOT_COMPARABLE = [
  'placement',
  'sensitivity',
  'state',
  'speedBand',
  'method',
  'notMeasured',
] as const;
export type NotComparable = (typeof NOT_COMPARABLE)[number];

/** One figure of two visits, like with like. */
export const DifferenceSchema = z.object({
  kind: z.enum(MEASURE_KINDS),
  part: z.string(),
  label: z.string(),
  position: z.string(),
  state: z.enum(DRIVING_STATES),
  speedBand,
  earlier_db: z.number(),
  later_db: z.number(),
  difference_db: z.number(),
  /** Half width of the interval that holds the true difference with 95 % (k = 2). */
  uncertainty_db: z.number(),
  change: z.enum(['louder', 'quieter', 'withinUncertainty']),
  sentence: MessageSchema,
});
export type Difference = z.infer<typeof DifferenceSchema>;

export const RefusalSchema = z.object({
  positions: z.array(z.string()),
  reason: z.enum(NOT_COMPARABLE),
  sentence: MessageSchema,
});
export type Refusal = z.infer<typeof RefusalSchema>;

/** Where two visits can be laid over each other and heard in turn. */
export const CommonGroundSchema = z.object({
  position: z.string(),
  state: z.enum(DRIVING_STATES),
  speedBand,
  earlier: z.object({ runId: id, channel: z.number().int() }),
  later: z.object({ runId: id, channel: z.number().int() }),
});
export type CommonGround = z.infer<typeof CommonGroundSchema>;

export const VisitComparisonSchema = z.object({
  earlierVisitId: id,
  laterVisitId: id,
  summary: MessageSchema,
  differences: z.array(DifferenceSchema),
  refused: z.array(RefusalSchema),
  ground: z.array(CommonGroundSchema),
});
export type VisitComparison = z.infer<typeof VisitComparisonSchema>;

export const OverlaidSpectrumSchema = z.object({
  shaft: z.literal('wheel'),
  first: z.number(),
  step: z.number().positive(),
  rms_m_s2: z.array(z.number()),
});
export type OverlaidSpectrum = z.infer<typeof OverlaidSpectrumSchema>;

/** What happens to recordings; measures, spectra and the history always stay. */
export const RetentionSchema = z.object({
  /** Recordings of a vehicle's newest visits are kept; null keeps all. */
  keepVisits: z.number().int().min(1).max(1000).nullable(),
  /** And all that are younger than this. */
  keepMonths: z.number().int().min(0).max(1200),
  /** And those of a vehicle's first visit, which the later ones are compared with. */
  keepFirst: z.boolean(),
});
export type Retention = z.infer<typeof RetentionSchema>;

/** What the policy would delete now; nothing is deleted before it has been seen. */
export const RetentionPlanSchema = z.object({
  deletes: z.array(
    z.object({
      runId: id,
      file: z.string(),
      bytes: z.number(),
      vehicleLabel: z.string(),
      plate: z.string(),
      startedAt: isoTime,
    }),
  ),
  bytes: z.number(),
  keeps: z.object({ files: z.number().int(), bytes: z.number() }),
  /** Would be deleted, but has not been measured yet. */
  waiting: z.number().int(),
});
export type RetentionPlan = z.infer<typeof RetentionPlanSchema>;

export const LookedBundleSchema = z.object({
  label: z.string(),
  /** Null where the bundle does not say; the format itself has neither. */
  plate: z.string().nullable(),
  vin: z.string().nullable(),
  startedAt: isoTime.nullable(),
  runs: z.number().int(),
});
export type LookedBundle = z.infer<typeof LookedBundleSchema>;

export const BackupMadeSchema = z.object({
  folder: z.string(),
  madeAt: isoTime,
  /** Recordings and pictures. */
  files: z.number().int(),
  bytes: z.number(),
  /** Those that the garage names and that are not there any more. */
  missing: z.array(z.string()),
});
export type BackupMade = z.infer<typeof BackupMadeSchema>;

/** The rise over the first comparable visit at which the shop acts, where no level was set for the vehicle. */
export const WearRiseSchema = z.object({ rise_db: z.number().min(1).max(40) });
export type WearRise = z.infer<typeof WearRiseSchema>;
