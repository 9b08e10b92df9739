import type { Step } from '../shared/visit-work/steps.ts';

/** The steps as the line shows them: the drive belongs to the road card, and has the live view. */
export const LINE = [
  'intake',
  'rigging',
  'roadCard',
  'findings',
  'inspection',
  'decision',
  'report',
] as const satisfies readonly Step[];
export type LineStep = (typeof LINE)[number];

export const lineStep = (step: Step): LineStep => (step === 'drive' ? 'roadCard' : step);

const PATHS: Record<LineStep, (visitId: number) => string> = {
  intake: (id) => `/visits/${id}/intake`,
  rigging: (id) => `/setup/${id}`,
  roadCard: (id) => `/visits/${id}/road`,
  findings: (id) => `/visits/${id}/findings`,
  inspection: (id) => `/visits/${id}/inspection`,
  decision: (id) => `/visits/${id}/decision`,
  report: (id) => `/visits/${id}/report`,
};

export const stepPath = (visitId: number, step: Step): string => PATHS[lineStep(step)](visitId);

/** Null after the last. */
export const stepAfter = (step: LineStep): LineStep | null => LINE[LINE.indexOf(step) + 1] ?? null;
