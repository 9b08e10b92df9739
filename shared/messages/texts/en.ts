import { CHECKS } from './en-checks.ts';
import { DECISION } from './en-decision.ts';
import { ERRORS } from './en-errors.ts';
import { FINDINGS } from './en-findings.ts';
import { FORMS } from './en-forms.ts';
import { RETURNING } from './en-returning.ts';
import { ROAD } from './en-road.ts';
import { WORK } from './en-work.ts';

/**
 * Every message in English by its id. `{{place, place}}` puts a value in by the formatter after the comma
 * (`tell.ts`): a word of `names`, a number of decimals, a quantity with its unit.
 */
export const en = {
  /** A sentence from before there were ids, or of the user's own. */
  written: '{{text}}',
  ...FINDINGS,
  ...ROAD,
  ...WORK,
  ...CHECKS,
  ...DECISION,
  ...RETURNING,
  ...ERRORS,
  ...FORMS,
} as const;
