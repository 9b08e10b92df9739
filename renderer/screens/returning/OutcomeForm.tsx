import { zodResolver } from '@hookform/resolvers/zod';
import { useForm } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { z } from 'zod';
import { DONE, type Outcome, OutcomeSchema } from '../../../shared/contract/returning-car.ts';
import { SOURCES, type Source } from '../../../shared/driveline/words.ts';
import { textOf } from '../../../shared/messages/as-text.ts';
import { toldOf } from '../../../shared/messages/told-error.ts';
import { type UnitSystem, unitOf } from '../../../shared/units/units.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextArea, TextField } from '../../components/Field.tsx';
import { formatDay } from '../../format.ts';
import type { FormError } from '../../i18n/form-errors.ts';
import { useApp } from '../../store/context.ts';
import { RequestError } from '../../transport/client.ts';
import { distanceAsTyped, optionalDistance } from '../garage/form-numbers.ts';
import styles from './WearPanel.module.css';

type Part = Exclude<Source, 'none'>;
const PARTS = SOURCES.filter((s): s is Part => s !== 'none');

const formSchema = (units: UnitSystem, before: Outcome | null) =>
  z.object({
    done: OutcomeSchema.shape.done,
    source: z.union([z.literal(''), z.enum(PARTS)]).transform((s): Part | null => s || null),
    note: z.string().max(2000, 'tooLong' satisfies FormError),
    nextCheckOn: z.string().transform((day) => day || null),
    nextCheckAt_km: optionalDistance(0, 10_000_000, units, before?.nextCheckAt_km),
  });
type FormSchema = ReturnType<typeof formSchema>;
const FIELDS = [
  'done',
  'source',
  'note',
  'nextCheckOn',
  'nextCheckAt_km',
] as const satisfies (keyof z.input<FormSchema>)[];

interface Props {
  vehicleId: number;
  visit: { id: number; startedAt: string };
  /** What was noted already. */
  outcome: Outcome | null;
  close(): void;
}

/** How the visit ended and when to look again. */
export function OutcomeForm({ vehicleId, visit, outcome, close }: Props) {
  const { t, i18n } = useTranslation();
  const setOutcome = useApp((s) => s.setOutcome);
  const units = useApp((s) => s.settings.units);
  const { register, handleSubmit, setError, formState } = useForm<
    z.input<FormSchema>,
    unknown,
    z.output<FormSchema>
  >({
    resolver: zodResolver(formSchema(units, outcome)),
    defaultValues: {
      done: outcome?.done ?? 'watched',
      source: outcome?.source ?? '',
      note: outcome?.note ?? '',
      nextCheckOn: outcome?.nextCheckOn ?? '',
      nextCheckAt_km: distanceAsTyped(outcome?.nextCheckAt_km, units),
    },
  });
  const { errors } = formState;
  const send = handleSubmit(async (value) => {
    try {
      await setOutcome(vehicleId, visit.id, value);
      close();
    } catch (error) {
      const named = error instanceof RequestError ? error.field?.split('.').at(-1) : undefined;
      const field = FIELDS.find((f) => f === named) ?? 'note';
      setError(field, { message: textOf(toldOf(error)) });
    }
  });
  return (
    <form className={styles.form} onSubmit={send} noValidate>
      <h3>{t('outcome.title', { date: formatDay(visit.startedAt, i18n.language) })}</h3>
      <SelectField label={t('outcome.done')} error={errors.done?.message} autoFocus {...register('done')}>
        {DONE.map((done) => (
          <option key={done} value={done}>
            {t(`outcome.doneWords.${done}`)}
          </option>
        ))}
      </SelectField>
      <SelectField
        label={t('outcome.source')}
        hint={t('outcome.sourceHint')}
        error={errors.source?.message}
        {...register('source')}
      >
        <option value="">{t('outcome.noSource')}</option>
        {PARTS.map((source) => (
          <option key={source} value={source}>
            {t(`part.${source}`)}
          </option>
        ))}
      </SelectField>
      <TextField
        type="date"
        label={t('outcome.on')}
        error={errors.nextCheckOn?.message}
        {...register('nextCheckOn')}
      />
      <TextField
        label={t('outcome.at', { unit: unitOf('distance', units) })}
        hint={t('outcome.atHint')}
        inputMode="decimal"
        error={errors.nextCheckAt_km?.message}
        {...register('nextCheckAt_km')}
      />
      <div className={styles.wide}>
        <TextArea label={t('outcome.note')} error={errors.note?.message} {...register('note')} />
      </div>
      <div className={`${styles.wide} ${styles.head}`}>
        <Button type="submit" primary disabled={formState.isSubmitting}>
          {t('outcome.save')}
        </Button>
        <Button onClick={close}>{t('form.cancel')}</Button>
      </div>
    </form>
  );
}
