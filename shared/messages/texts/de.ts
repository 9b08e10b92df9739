import type { SameKeys } from '../same-keys.ts';
import { CHECKS } from './de-checks.ts';
import { DECISION } from './de-decision.ts';
import { ERRORS } from './de-errors.ts';
import { FINDINGS } from './de-findings.ts';
import { FORMS } from './de-forms.ts';
import { RETURNING } from './de-returning.ts';
import { ROAD } from './de-road.ts';
import { WORK } from './de-work.ts';
import type { en } from './en.ts';

/** Every message in German by its id. */
export const de: SameKeys<typeof en> = {
  written: '{{text}}',
  ...FINDINGS,
  ...ROAD,
  ...WORK,
  ...CHECKS,
  ...DECISION,
  ...RETURNING,
  ...ERRORS,
  ...FORMS,
};
