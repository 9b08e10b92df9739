import { useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { unitOf } from '../../../shared/units/units.ts';
import { checkVin } from '../../../shared/visit-work/vin.ts';
import { TextField } from '../../components/Field.tsx';
import { FieldGroup } from '../../components/FieldGroup.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import type { IntakeForm } from './IntakeScreen.tsx';
import { useAdds } from './use-adds.ts';

/** Which vehicle it is. */
export function VehicleFields({ form }: { form: IntakeForm }) {
  const { t } = useTranslation();
  const addsOf = useAdds();
  const units = useApp((s) => s.settings.units);
  const { bind } = form;
  return (
    <FieldGroup title={t('form.vehicle')}>
      <TextField label={t('form.label')} hint={t('form.labelHint')} {...bind('label')} />
      <TextField label={t('form.plate')} hint={addsOf('plate')} autoComplete="off" {...bind('plate')} />
      <TextField
        label={t('form.vin')}
        hint={useVinWord(form) ?? addsOf('vin')}
        autoComplete="off"
        spellCheck={false}
        {...bind('vin')}
      />
      <TextField
        label={t('intake.odometer', { unit: unitOf('distance', units) })}
        hint={addsOf('odometer_km')}
        {...NUMERIC}
        {...bind('odometer_km')}
      />
    </FieldGroup>
  );
}

/** What the check digit says of the VIN as typed; nothing while it is not whole. */
function useVinWord(form: IntakeForm): string | undefined {
  const { t } = useTranslation();
  const tell = useTell();
  const typed = useWatch({ control: form.control, name: 'vin' });
  const check = checkVin(typed);
  if (!check.ok) return undefined;
  return check.warning ? `⚠ ${tell(check.warning)}` : t('intake.vinFits');
}
