import { zodResolver } from '@hookform/resolvers/zod';
import { useState } from 'react';
import { type FieldError, type FieldPath, get, useForm } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import type { VehicleInput } from '../../../shared/contract/garage.ts';
import { LAYOUTS } from '../../../shared/driveline/words.ts';
import { textOf } from '../../../shared/messages/as-text.ts';
import { toldOf } from '../../../shared/messages/told-error.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextArea, TextField } from '../../components/Field.tsx';
import { useErrorText } from '../../i18n/use-error-text.ts';
import { useApp } from '../../store/context.ts';
import { RequestError } from '../../transport/client.ts';
import styles from './VehicleForm.module.css';
import {
  mergeVehicle,
  type VehicleFormText,
  type VehicleFormValue,
  vehicleAsText,
  vehicleFormSchema,
} from './vehicle-form.ts';

interface Props {
  vehicle: VehicleInput | null;
  submit(vehicle: VehicleInput): Promise<void>;
  cancel(): void;
}

/** Adds or changes a vehicle. Only the description is asked for; all else helps and may stay unknown. */
export function VehicleForm({ vehicle, submit, cancel }: Props) {
  const { t } = useTranslation();
  const errorText = useErrorText();
  const unitsNow = useApp((s) => s.settings.units);
  // What is typed keeps the units it was begun in.
  const [units] = useState(unitsNow);
  const { register, handleSubmit, setError, formState } = useForm<VehicleFormText, unknown, VehicleFormValue>(
    {
      resolver: zodResolver(vehicleFormSchema(units, vehicle)),
      defaultValues: vehicleAsText(vehicle, units),
    },
  );
  const { errors } = formState;
  const bind = (name: FieldPath<VehicleFormText>) => ({
    ...register(name),
    error: (get(errors, name) as FieldError | undefined)?.message,
  });
  const send = async (value: VehicleFormValue) => {
    try {
      await submit(mergeVehicle(vehicle, value));
    } catch (error) {
      const field = error instanceof RequestError ? error.field : undefined;
      const message = textOf(toldOf(error));
      setError((field ?? 'root') as FieldPath<VehicleFormText>, { message }, { shouldFocus: true });
    }
  };
  const number = { inputMode: 'decimal', autoComplete: 'off' } as const;
  return (
    <form className={styles.form} onSubmit={handleSubmit(send)} noValidate>
      <fieldset className={styles.group}>
        <legend>{t('form.vehicle')}</legend>
        <TextField label={t('form.label')} hint={t('form.labelHint')} {...bind('spec.label')} />
        <TextField label={t('form.plate')} {...bind('plate')} />
        <TextField label={t('form.vin')} {...bind('vin')} />
        <TextField
          label={t('form.odometer', { unit: unitOf('distance', units) })}
          {...number}
          {...bind('spec.odometer_km')}
        />
        <div className={styles.wide}>
          <TextArea label={t('form.ownerNote')} {...bind('ownerNote')} />
        </div>
      </fieldset>
      <fieldset className={styles.group}>
        <legend>{t('form.runningGear')}</legend>
        <p className={styles.wide}>{t('form.runningGearHint')}</p>
        <SelectField label={t('form.layout')} {...bind('spec.layout')}>
          {LAYOUTS.map((layout) => (
            <option key={layout} value={layout}>
              {t(`layout.${layout}`)}
            </option>
          ))}
        </SelectField>
        <TextField
          label={t('form.circumference')}
          hint={t('form.circumferenceHint')}
          {...number}
          {...bind('spec.rollingCircumference_m')}
        />
        <TextField
          label={t('form.cylinders')}
          hint={t('form.cylindersHint')}
          {...number}
          {...bind('spec.engine.cylinders')}
        />
        <label className={styles.check}>
          <input type="checkbox" {...register('spec.electricDrive')} /> {t('form.electric')}
        </label>
        <TextField
          label={t('form.frontRing')}
          hint={t('form.teethHint')}
          {...number}
          {...bind('spec.finalDrive.front.ringTeeth')}
        />
        <TextField label={t('form.frontPinion')} {...number} {...bind('spec.finalDrive.front.pinionTeeth')} />
        <TextField
          label={t('form.rearRing')}
          hint={t('form.teethHint')}
          {...number}
          {...bind('spec.finalDrive.rear.ringTeeth')}
        />
        <TextField label={t('form.rearPinion')} {...number} {...bind('spec.finalDrive.rear.pinionTeeth')} />
        <TextField
          label={t('form.elements')}
          hint={t('form.bearingHint')}
          {...number}
          {...bind('spec.wheelBearing.rollingElements')}
        />
        <TextField
          label={t('form.elementDiameter')}
          {...number}
          {...bind('spec.wheelBearing.elementDiameter_mm')}
        />
        <TextField
          label={t('form.pitchDiameter')}
          {...number}
          {...bind('spec.wheelBearing.pitchDiameter_mm')}
        />
        <TextField
          label={t('form.contactAngle')}
          {...number}
          {...bind('spec.wheelBearing.contactAngle_deg')}
        />
      </fieldset>
      {errors.root && <p role="alert">⚠ {errorText(String(errors.root.message))}</p>}
      <div className={styles.actions}>
        <Button type="submit" primary disabled={formState.isSubmitting}>
          {t('form.save')}
        </Button>
        <Button onClick={cancel}>{t('form.cancel')}</Button>
      </div>
    </form>
  );
}
