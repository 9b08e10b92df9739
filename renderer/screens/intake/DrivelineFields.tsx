import { useFieldArray } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { LAYOUTS } from '../../../shared/driveline/words.ts';
import { Button } from '../../components/Button.tsx';
import { Choice } from '../../components/Choice.tsx';
import { TextField } from '../../components/Field.tsx';
import { FieldGroup, Wide } from '../../components/FieldGroup.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import styles from './DrivelineFields.module.css';
import type { IntakeForm } from './IntakeScreen.tsx';
import { useAdds } from './use-adds.ts';

const MOST_GEARS = 14;

/** What turns how fast: layout, teeth, ratios, bearing geometry. */
export function DrivelineFields({ form }: { form: IntakeForm }) {
  const { t } = useTranslation();
  const addsOf = useAdds();
  const { bind } = form;
  return (
    <FieldGroup title={t('intake.driveline')}>
      <Choice
        label={t('form.layout')}
        hint={addsOf('driveline.layout')}
        options={LAYOUTS.map((layout) => [layout, t(`layout.${layout}`)])}
        {...bind('driveline.layout')}
      />
      <Choice
        label={t('form.electric')}
        hint={addsOf('driveline.electricDrive')}
        options={[
          ['yes', t('app.yes')],
          ['no', t('app.no')],
        ]}
        {...bind('driveline.electricDrive')}
      />
      <TextField
        label={t('form.cylinders')}
        hint={addsOf('driveline.cylinders')}
        {...NUMERIC}
        {...bind('driveline.cylinders')}
      />
      {(['front', 'rear'] as const).map((axle) => (
        <Wide key={axle}>
          <fieldset className={styles.row}>
            <legend>{t(`intake.finalDrive.${axle}`)}</legend>
            <TextField
              label={t('intake.ringTeeth')}
              {...NUMERIC}
              {...bind(`driveline.finalDrive.${axle}.ringTeeth`)}
            />
            <TextField
              label={t('intake.pinionTeeth')}
              {...NUMERIC}
              {...bind(`driveline.finalDrive.${axle}.pinionTeeth`)}
            />
            <TextField
              label={t('intake.ratioAlone')}
              {...NUMERIC}
              {...bind(`driveline.finalDrive.${axle}.ratio`)}
            />
          </fieldset>
          {axle === 'rear' && <p className={styles.hint}>{addsOf('driveline.finalDrive.rear.ringTeeth')}</p>}
        </Wide>
      ))}
      <Wide>
        <fieldset className={styles.row}>
          <legend>{t('gear.bearing')}</legend>
          <TextField
            label={t('intake.elements')}
            {...NUMERIC}
            {...bind('driveline.wheelBearing.rollingElements')}
          />
          <TextField
            label={t('form.elementDiameter')}
            {...NUMERIC}
            {...bind('driveline.wheelBearing.elementDiameter_mm')}
          />
          <TextField
            label={t('form.pitchDiameter')}
            {...NUMERIC}
            {...bind('driveline.wheelBearing.pitchDiameter_mm')}
          />
          <TextField
            label={t('form.contactAngle')}
            {...NUMERIC}
            {...bind('driveline.wheelBearing.contactAngle_deg')}
          />
        </fieldset>
        <p className={styles.hint}>{addsOf('driveline.wheelBearing')}</p>
      </Wide>
      <Wide>
        <GearRatios form={form} />
      </Wide>
    </FieldGroup>
  );
}

function GearRatios({ form }: { form: IntakeForm }) {
  const { t } = useTranslation();
  const addsOf = useAdds();
  const { fields, append, remove } = useFieldArray({ control: form.control, name: 'driveline.gearRatios' });
  return (
    <fieldset className={styles.gears}>
      <legend>{t('intake.gearRatios')}</legend>
      <p className={styles.hint}>{addsOf('driveline.gearRatios')}</p>
      {fields.map(({ id }, i) => (
        <div key={id} className={styles.gear}>
          <TextField label={t('intake.gear')} {...form.bind(`driveline.gearRatios.${i}.gear`)} />
          <TextField
            label={t('intake.ratio')}
            {...NUMERIC}
            {...form.bind(`driveline.gearRatios.${i}.ratio`)}
          />
          <Button aria-label={t('intake.removeGear', { number: i + 1 })} onClick={() => remove(i)}>
            {t('app.remove')}
          </Button>
        </div>
      ))}
      {fields.length < MOST_GEARS && (
        <Button onClick={() => append({ gear: String(fields.length + 1), ratio: '' })}>
          {t('intake.addGear')}
        </Button>
      )}
    </fieldset>
  );
}
