import { useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { tyreRolling } from '../../../shared/driveline/tyre.ts';
import { WHEELS } from '../../../shared/driveline/words.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { TextField } from '../../components/Field.tsx';
import { FieldGroup, Wide } from '../../components/FieldGroup.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useApp } from '../../store/context.ts';
import type { IntakeForm } from './IntakeScreen.tsx';
import styles from './TyreFields.module.css';
import { useAdds } from './use-adds.ts';

/** Size, and each tyre's pressure, tread and age. */
export function TyreFields({ form }: { form: IntakeForm }) {
  const { t } = useTranslation();
  const addsOf = useAdds();
  const units = useApp((s) => s.settings.units);
  const { bind } = form;
  const size = useWatch({ control: form.control, name: 'tyres.size' });
  return (
    <FieldGroup title={t('intake.tyres')}>
      <TextField
        label={t('intake.tyreSize')}
        placeholder="225/45 R17"
        hint={useCircumference(size) ?? addsOf('tyres.size')}
        autoComplete="off"
        {...bind('tyres.size')}
      />
      <TextField
        label={t('intake.rearTyreSize')}
        hint={t('intake.rearTyreSizeHint')}
        autoComplete="off"
        {...bind('tyres.rearSize')}
      />
      <Wide>
        <div className={styles.wheels}>
          {WHEELS.map((wheel) => (
            <fieldset key={wheel} className={styles.wheel}>
              <legend>{t(`wheel.${wheel}`)}</legend>
              <TextField
                label={t('intake.pressure', { unit: unitOf('pressure', units) })}
                {...NUMERIC}
                {...bind(`tyres.wheels.${wheel}.pressure_kPa`)}
              />
              <TextField
                label={t('intake.tread', { unit: unitOf('tread', units) })}
                {...NUMERIC}
                {...bind(`tyres.wheels.${wheel}.tread_mm`)}
              />
              <TextField
                label={t('intake.madeIn')}
                placeholder="2319"
                {...NUMERIC}
                {...bind(`tyres.wheels.${wheel}.madeIn`)}
              />
            </fieldset>
          ))}
        </div>
        <p className={styles.hint}>{t('intake.wheelsHint')}</p>
      </Wide>
    </FieldGroup>
  );
}

/** What the size gives; nothing while it is none. */
function useCircumference(size: string): string | undefined {
  const { t } = useTranslation();
  try {
    const { rollingCircumference_m } = tyreRolling(size);
    return t('intake.rolls', { circumference: rollingCircumference_m });
  } catch {
    return undefined;
  }
}
