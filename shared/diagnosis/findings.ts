import { z } from 'zod';
import { SOURCES, VERDICTS } from '../driveline/words.ts';
import { MessageSchema } from '../messages/message.ts';
import { CHANNEL_FAULTS } from './channel-faults.ts';

/** Goes up when the same recordings can lead to other findings; kept findings of another method say so. */
export const DIAGNOSIS_METHOD = 'diagnosis 4';

/** What an analysis gives: what the findings screen shows and, told in English, `analyse --json` prints. */

export const EvidenceSchema = z.object({
  /** Which kind of observation: an order, an envelope, a band, an answer to the driving state, a rule, an inspection. */
  kind: z.enum(['order', 'envelope', 'band', 'torque', 'sway', 'speed', 'rule', 'inspection']),
  /** Where it was heard; null when it concerns the whole car. */
  position: z.string().nullable(),
  value: z.number(),
  unit: z.string(),
  /** A sentence that a customer could follow. */
  text: MessageSchema,
});
export type Evidence = z.infer<typeof EvidenceSchema>;

export const SourceFindingSchema = z.object({
  source: z.enum(SOURCES),
  probability: z.number().min(0).max(1),
  evidence: z.array(EvidenceSchema),
});
export type SourceFinding = z.infer<typeof SourceFindingSchema>;

export const NextPlacementSchema = z.object({
  position: z.string(),
  gain_bits: z.number().nonnegative(),
  why: MessageSchema,
});
export type NextPlacement = z.infer<typeof NextPlacementSchema>;

export const ChannelFindingSchema = z.object({
  run: z.number().int().positive(),
  channel: z.number().int().positive(),
  position: z.string(),
  /** Null when the recording could not be read or its scale is not known. */
  rms_m_s2: z.number().nullable(),
  faults: z.array(z.enum(CHANNEL_FAULTS)),
});
export type ChannelFinding = z.infer<typeof ChannelFindingSchema>;

const PlaceHeardSchema = z.object({
  run: z.number().int().positive(),
  channel: z.number().int().positive(),
  position: z.string(),
});

/** What to play and to paint: the evidence that speaks most for the first source. */
export const ConvincingSchema = z.object({
  kind: z.enum(['orders', 'envelope', 'band']),
  /** In turns of a wheel; null for a band. */
  order: z.number().nullable(),
  band_Hz: z.array(z.number()).length(2).nullable(),
  loud: PlaceHeardSchema,
  quiet: PlaceHeardSchema,
  /**
   * Its level wherever a pickup was. Bands in dB re 1e-6 m/s² (re full scale without sensitivity), orders in dB re
   * the usual noise around the line, envelopes in dB re (1e-6 m/s²)² of swinging power.
   */
  levels: z.array(PlaceHeardSchema.extend({ level_db: z.number(), heard: z.boolean() })),
});
export type Convincing = z.infer<typeof ConvincingSchema>;

export const DrawnSpectrumSchema = PlaceHeardSchema.extend({
  shaft: z.literal('wheel'),
  /** RMS in m/s² (ratio of full scale without sensitivity) at orders `first`, `first + step`, ... */
  first: z.number(),
  step: z.number().positive(),
  rms: z.array(z.number()),
});
export type DrawnSpectrum = z.infer<typeof DrawnSpectrumSchema>;

export const DrawnLineSchema = z.object({
  label: z.string(),
  order: z.number().positive(),
  sources: z.array(z.enum(SOURCES)),
});
export type DrawnLine = z.infer<typeof DrawnLineSchema>;

export const FindingsSchema = z.object({
  verdict: z.enum(VERDICTS),
  /** All sources, most probable first, summing to 1. */
  sources: z.array(SourceFindingSchema),
  nextPlacement: z.array(NextPlacementSchema),
  channels: z.array(ChannelFindingSchema),
  /** Factor found against the nominal rolling circumference; null when it could not be found. */
  speedCorrection: z.number().nullable(),
  /** The verdict in one sentence. */
  summary: MessageSchema,
  /** Sentences on what was left out or is in doubt. */
  notices: z.array(MessageSchema),
  convincing: ConvincingSchema.nullable(),
  spectra: z.array(DrawnSpectrumSchema),
  lines: z.array(DrawnLineSchema),
});
export type Findings = z.infer<typeof FindingsSchema>;
