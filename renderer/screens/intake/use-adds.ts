import { emptyIntake } from '../../../shared/visit-work/intake.ts';
import { missingOf } from '../../../shared/visit-work/missing.ts';
import { useTell } from '../../i18n/use-tell.ts';

const ADDS = new Map(missingOf(emptyIntake()).map(({ field, adds }) => [field, adds]));

/** What a field of the intake adds to the diagnosis, in the words of the reminders. */
export function useAdds(): (field: string) => string | undefined {
  const tell = useTell();
  return (field) => {
    const adds = ADDS.get(field);
    return adds && tell(adds);
  };
}
