import { z } from 'zod';

/** The visit's steps in their usual order. Any of them may be skipped, and comes back as a reminder. */
export const STEPS = [
  'intake',
  'rigging',
  'roadCard',
  'drive',
  'findings',
  'inspection',
  'decision',
  'report',
] as const;
export const StepSchema = z.enum(STEPS);
export type Step = z.infer<typeof StepSchema>;
