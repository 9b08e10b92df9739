import { z } from 'zod';
import { FindingsSchema } from '../diagnosis/findings.ts';
import { DRIVING_STATES } from '../driveline/words.ts';
import { id, nothing, request } from './define.ts';

/** The last analysis of a visit, as it is kept. */
export const KeptFindingsSchema = z.object({
  visitId: id,
  analysedAt: z.iso.datetime({ offset: true }),
  /** Run k of the findings is entry k - 1. */
  runIds: z.array(id),
  /** Why it no longer shows the visit as it stands; null while it does. */
  outOfDate: z.enum(['runs', 'facts', 'method']).nullable(),
  findings: FindingsSchema,
});
export type KeptFindings = z.infer<typeof KeptFindingsSchema>;

export const AnalysisProgressSchema = z.object({
  visitId: id,
  /** The demo garage's sound is made when it is first wanted; then the recordings are analysed. */
  doing: z.enum(['makingSound', 'analysing']),
  share: z.number().min(0).max(1),
});
export type AnalysisProgress = z.infer<typeof AnalysisProgressSchema>;

/** Where the evidence that convinces is loudest, and where it is faintest. */
export const EvidencePlaceSchema = z.enum(['loud', 'quiet']);
export type EvidencePlace = z.infer<typeof EvidencePlaceSchema>;

/** What is played of a visit's evidence: channel 1 is the loud place, channel 2 the quiet one. */
export const EvidenceSoundSchema = z.object({
  run: z.number().int().positive(),
  from_s: z.number().nonnegative(),
  to_s: z.number(),
  state: z.enum(DRIVING_STATES).nullable(),
  /** Mean frequency of the tracked order; null for a band. */
  frequency_Hz: z.number().nullable(),
  /** RMS at the loud place over that at the quiet one, in dB. */
  difference_db: z.number(),
});
export type EvidenceSound = z.infer<typeof EvidenceSoundSchema>;

/** The live session's source while the evidence plays. */
export const EVIDENCE_SOURCE = 'What convinced';

const visitId = id;

/** What is asked about the source of a visit's noise. */
export const FINDINGS_REQUESTS = {
  'findings.get': request(z.object({ visitId }), KeptFindingsSchema.nullable()),
  /** Takes all complete runs of the visit. Whoever asks again meanwhile gets the same answer; null: cancelled. */
  'findings.analyse': request(z.object({ visitId }), KeptFindingsSchema.nullable()),
  'findings.cancel': request(z.object({ visitId }), nothing),
  /** Plays the evidence at a place, in a loop until the live session is closed; while it plays, changes the place. */
  'findings.play': request(z.object({ visitId, place: EvidencePlaceSchema }), EvidenceSoundSchema),
} as const;

export const FINDINGS_EVENTS = {
  'findings.progress': AnalysisProgressSchema,
} as const;
