import { zodResolver } from '@hookform/resolvers/zod';
import { useForm } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { z } from 'zod';
import type { Vehicle, VisitInput } from '../../../shared/contract/garage.ts';
import { Button } from '../../components/Button.tsx';
import { TextArea, TextField } from '../../components/Field.tsx';
import type { FormError } from '../../i18n/form-errors.ts';
import { RequestError } from '../../transport/client.ts';
import { asTyped, optionalNumber } from './form-numbers.ts';
import styles from './VehicleScreen.module.css';

const StartVisitSchema = z.object({
  complaint: z
    .string()
    .trim()
    .max(4000, 'tooLong' satisfies FormError),
  odometer_km: optionalNumber(0, 5_000_000),
});

interface Props {
  vehicle: Vehicle;
  submit(visit: VisitInput): Promise<void>;
  cancel(): void;
}

/** What the owner says and what the odometer shows; both may be left out. */
export function StartVisitForm({ vehicle, submit, cancel }: Props) {
  const { t } = useTranslation();
  const { register, handleSubmit, setError, formState } = useForm<
    z.input<typeof StartVisitSchema>,
    unknown,
    z.output<typeof StartVisitSchema>
  >({
    resolver: zodResolver(StartVisitSchema),
    defaultValues: { complaint: '', odometer_km: asTyped(vehicle.spec.odometer_km) },
  });
  const { errors } = formState;
  const send = handleSubmit(async (value) => {
    try {
      await submit({ ...value, vehicleId: vehicle.id, startedAt: new Date().toISOString() });
    } catch (error) {
      const field =
        error instanceof RequestError && error.field === 'odometer_km' ? error.field : 'complaint';
      setError(field, { message: error instanceof Error ? error.message : String(error) });
    }
  });
  return (
    <form className={styles.form} onSubmit={send} noValidate>
      <h2>{t('visit.start')}</h2>
      <TextArea
        label={t('visit.complaint')}
        hint={t('visit.complaintHint')}
        error={errors.complaint?.message}
        autoFocus
        {...register('complaint')}
      />
      <TextField
        label={t('form.odometer')}
        inputMode="decimal"
        error={errors.odometer_km?.message}
        {...register('odometer_km')}
      />
      <div className={styles.head}>
        <Button type="submit" primary disabled={formState.isSubmitting}>
          {t('visit.toSetup')}
        </Button>
        <Button onClick={cancel}>{t('form.cancel')}</Button>
      </div>
    </form>
  );
}
