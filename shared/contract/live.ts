import { z } from 'zod';
import { ChannelSchema } from '../bundle/visit.ts';
import { DRIVING_STATES } from '../driveline/words.ts';
import { MessageSchema } from '../messages/message.ts';
import { SpeedLinkStateSchema } from './speed-requests.ts';

/** The live view: what the main process tells about the stream, and what the technician may ask of it. */

/**
 * Bands for meters and listening. `full` starts above the hand-over of road and body movement; `rumble` is where
 * bearings and tyres grumble, `whine` where gear meshes sing. Edges are IEC 61260 one-third-octave band edges.
 */
export const BANDS = {
  full: { label: 'full band', low_Hz: 8.913, high_Hz: 11220 },
  rumble: { label: 'rumble', low_Hz: 28.18, high_Hz: 281.8 },
  whine: { label: 'whine', low_Hz: 281.8, high_Hz: 4467 },
} as const;
export const BandSchema = z.enum(['full', 'rumble', 'whine']);
export type Band = z.infer<typeof BandSchema>;

export const UNITS = ['m/s²', 'g', 'dB'] as const;
export const UnitSchema = z.enum(UNITS);
export type Unit = z.infer<typeof UnitSchema>;

export const DeviceSchema = z.object({
  name: z.string(),
  hostApi: z.string(),
  inputChannels: z.number().int().nonnegative(),
  outputChannels: z.number().int().nonnegative(),
  defaultSampleRate_Hz: z.number().positive(),
  isDefaultInput: z.boolean(),
  isDefaultOutput: z.boolean(),
  /** Rates at which its input opens; null when it could not be asked, as when it is in use. */
  inputRates_Hz: z.array(z.number()).readonly().nullable(),
});
export type Device = z.infer<typeof DeviceSchema>;

const channelOfRun = z.object({
  runId: z.number().int().positive(),
  channel: z.number().int().min(1).max(32),
});

/** Where the live session takes its samples from. */
export const SourceChoiceSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('device'),
    name: z.string().min(1),
    channels: z.number().int().min(1).max(32),
    sampleRate_Hz: z.union([z.literal(44100), z.literal(48000), z.literal(96000)]),
    bits: z.union([z.literal(16), z.literal(24), z.literal(32)]),
  }),
  z.object({ kind: z.literal('demo') }),
  z.object({ kind: z.literal('run'), runId: z.number().int().positive(), from_s: z.number().nonnegative() }),
  /** One channel of each of two runs in a state and speed band, side by side: to be heard in turn. */
  z.object({
    kind: z.literal('pair'),
    earlier: channelOfRun,
    later: channelOfRun,
    state: z.enum(DRIVING_STATES),
    speedBand: z.object({ low_km_h: z.number().nonnegative(), high_km_h: z.number().nonnegative() }),
  }),
  /** What convinced in a visit's findings, at its loud and at its quiet place. */
  z.object({ kind: z.literal('evidence'), visitId: z.number().int().positive() }),
]);
export type SourceChoice = z.infer<typeof SourceChoiceSchema>;

/** What is wrong with a channel; one word each, the screen has the sentence. */
export const FAULTS = ['clipped', 'dead', 'offset', 'hum'] as const;
export const FaultSchema = z.enum(FAULTS);
export type Fault = z.infer<typeof FaultSchema>;

export const LiveStateSchema = z.object({
  phase: z.enum(['idle', 'watching', 'recording', 'playing']),
  source: z
    .object({ kind: z.enum(['device', 'demo', 'run']), name: z.string(), sampleRate_Hz: z.number() })
    .nullable(),
  visitId: z.number().int().positive().nullable(),
  vehicleLabel: z.string().nullable(),
  channels: z.array(ChannelSchema),
  /** Absolute when every vibration channel has a known full scale; otherwise all levels are re full scale. */
  scale: z.enum(['absolute', 'relative']),
  heard: z.number().int().nullable(),
  heardBefore: z.number().int().nullable(),
  listening: z.object({
    on: z.boolean(),
    band: BandSchema,
    /** The same for every channel: loudness is compared by ear. */
    gain_db: z.number(),
    output: z.string().nullable(),
    problem: MessageSchema.nullable(),
  }),
  meterBand: BandSchema,
  speed: z.object({
    from: z.enum(['hand', 'tacho', 'readings', 'satellite', 'bus']),
    km_h: z.number().nonnegative().nullable(),
    engine_rpm: z.number().nonnegative().nullable(),
    /** Keyed in, or found from engine and road speed where nothing is keyed in. */
    gearRatio: z.number().positive().nullable(),
    gearFrom: z.enum(['hand', 'speeds']).nullable(),
    /** The speed links that are open. */
    links: z.array(SpeedLinkStateSchema),
  }),
  drivingState: z.enum(DRIVING_STATES),
  recording: z
    .object({
      runId: z.number().int().positive(),
      startedAt: z.iso.datetime({ offset: true }),
      seconds: z.number().nonnegative(),
      marks: z.number().int().nonnegative(),
      freeBytes: z.number().nonnegative().nullable(),
    })
    .nullable(),
  /** Frames that the source did not deliver since it was opened. */
  lostFrames: z.number().int().nonnegative(),
  /** One sentence: what happened and what to do. */
  problem: MessageSchema.nullable(),
});
export type LiveState = z.infer<typeof LiveStateSchema>;

const perChannel = z.array(z.number());

/** About 30 a second. Levels are ratios of full scale, one per entry of `LiveState.channels`. */
export const LevelsSchema = z.object({
  /** Frames since the source was opened, at the end of the stretch that is described. */
  frame: z.number().int().nonnegative(),
  at_s: z.number(),
  speed_km_h: z.number().nullable(),
  rms: perChannel,
  peak: perChannel,
  peakHold: perChannel,
  /** Peak over RMS of the same stretch; 0 in silence. */
  crest: perChannel,
  faults: z.array(z.array(FaultSchema)),
});
export type Levels = z.infer<typeof LevelsSchema>;

/** About 4 a second: the energy of the parts' orders on every channel, and the heard channel's order spectrum. */
export const OrdersSchema = z.object({
  at_s: z.number(),
  /** The shaft that the spectrum's orders are multiples of. */
  shaft: z.string(),
  shaftRate_Hz: z.number().nullable(),
  channel: z.number().int(),
  /** RMS per order bin, ratio of full scale, from `first` in steps of `step` orders; empty without speed. */
  spectrum: z.object({ first: z.number(), step: z.number().positive(), rms: z.array(z.number()) }),
  lines: z.array(
    z.object({
      part: z.string(),
      label: z.string(),
      shaft: z.string(),
      order: z.number(),
      orderAtReference: z.number().nullable(),
      /** RMS ratio of full scale per channel; null where the line's rate is unknown or out of range. */
      rms: z.array(z.number().nullable()),
    }),
  ),
});
export type Orders = z.infer<typeof OrdersSchema>;

export const OpenLiveSchema = z.object({
  source: SourceChoiceSchema,
  visitId: z.number().int().positive().nullable(),
  /** Which pickup sits where; for a recorded run or the demo the source brings its own. */
  channels: z.array(ChannelSchema),
});
export type OpenLive = z.infer<typeof OpenLiveSchema>;
