import { emptyIntake } from '../../../shared/visit-work/intake.ts';
import { missingOf } from '../../../shared/visit-work/missing.ts';

const ADDS = new Map(missingOf(emptyIntake()).map(({ field, adds }) => [field, adds]));

/** What a field of the intake adds to the diagnosis, in the words of the reminders. */
export const addsOf = (field: string): string | undefined => ADDS.get(field);
