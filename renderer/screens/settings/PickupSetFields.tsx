import { useFieldArray, useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { formatDay } from '../../format.ts';
import { NUMERIC } from '../../forms/numeric.ts';
import styles from './Settings.module.css';
import type { SettingsForm } from './SettingsScreen.tsx';

const noPickup = (name: string) => ({ name, sensitivity_mV_per_m_s2: '', calibrations: [] });

/** Sets of pickups with their sensitivities, and what a reference shaker has shown of each. */
export function PickupSetFields({ form }: { form: SettingsForm }) {
  const { t } = useTranslation();
  const { fields, append, remove } = useFieldArray({ control: form.control, name: 'pickupSets' });
  return (
    <fieldset className={styles.group}>
      <legend>{t('settings.pickupSets')}</legend>
      <p className={styles.hint}>{t('settings.pickupSetsHint')}</p>
      {fields.map(({ id }, i) => (
        <OneSet key={id} form={form} at={i} remove={() => remove(i)} />
      ))}
      <div className={styles.buttons}>
        <Button
          onClick={() =>
            append({ name: t('settings.setName', { number: fields.length + 1 }), pickups: [noPickup('')] })
          }
        >
          {t('settings.addSet')}
        </Button>
      </div>
    </fieldset>
  );
}

function OneSet({ form, at, remove }: { form: SettingsForm; at: number; remove(): void }) {
  const { t, i18n } = useTranslation();
  const name = `pickupSets.${at}.pickups` as const;
  const pickups = useFieldArray({ control: form.control, name });
  const values = useWatch({ control: form.control, name });
  return (
    <fieldset className={styles.set}>
      <legend className="visually-hidden">{t('settings.setName', { number: at + 1 })}</legend>
      <div className={styles.row}>
        <TextField label={t('settings.set')} {...form.bind(`pickupSets.${at}.name`)} />
        <span />
        <Button aria-label={t('settings.removeSet', { number: at + 1 })} onClick={remove}>
          {t('app.remove')}
        </Button>
      </div>
      {pickups.fields.map(({ id }, i) => {
        const newest = values[i]?.calibrations.at(-1);
        return (
          <div key={id} className={styles.row}>
            <TextField
              label={t('settings.pickup')}
              hint={
                newest &&
                t('settings.calibrated', {
                  date: formatDay(newest.at, i18n.language),
                  where: newest.interfaceName,
                  channel: newest.channel,
                })
              }
              {...form.bind(`${name}.${i}.name`)}
            />
            <TextField
              label={t('settings.sensitivity')}
              {...NUMERIC}
              {...form.bind(`${name}.${i}.sensitivity_mV_per_m_s2`)}
            />
            <Button
              aria-label={t('settings.removePickup', { number: i + 1 })}
              onClick={() => pickups.remove(i)}
            >
              {t('app.remove')}
            </Button>
          </div>
        );
      })}
      <div className={styles.buttons}>
        <Button onClick={() => pickups.append(noPickup(''))}>{t('settings.addPickup')}</Button>
      </div>
    </fieldset>
  );
}
