import { useEffect } from 'react';
import { useFieldArray, useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useApp } from '../../store/context.ts';
import styles from './Settings.module.css';
import type { SettingsForm } from './SettingsScreen.tsx';

/** The audio interfaces: with the full scale in volts a pickup's sensitivity becomes m/s². */
export function InterfaceFields({ form }: { form: SettingsForm }) {
  const { t } = useTranslation();
  const devices = useApp((s) => s.devices);
  const loadDevices = useApp((s) => s.loadDevices);
  useEffect(() => void loadDevices(), [loadDevices]);
  const { fields, append, remove } = useFieldArray({ control: form.control, name: 'interfaces' });
  const listed = useWatch({ control: form.control, name: 'interfaces' }).map((i) => i.name);
  const there = devices?.filter((d) => d.inputChannels > 0 && !listed.includes(d.name)) ?? [];
  return (
    <fieldset className={styles.group}>
      <legend>{t('settings.interfaces')}</legend>
      <p className={styles.hint}>{t('settings.interfacesHint')}</p>
      {fields.map(({ id }, i) => (
        <div key={id} className={styles.row}>
          <TextField label={t('settings.interfaceName')} {...form.bind(`interfaces.${i}.name`)} />
          <TextField
            label={t('settings.fullScale')}
            {...NUMERIC}
            {...form.bind(`interfaces.${i}.fullScale_V`)}
          />
          <Button aria-label={t('settings.removeInterface', { number: i + 1 })} onClick={() => remove(i)}>
            {t('app.remove')}
          </Button>
        </div>
      ))}
      <div className={styles.buttons}>
        {there.map((device) => (
          <Button
            key={`${device.hostApi} ${device.name}`}
            onClick={() => append({ name: device.name, fullScale_V: '' })}
          >
            {t('settings.addDevice', { name: device.name })}
          </Button>
        ))}
        <Button onClick={() => append({ name: '', fullScale_V: '' })}>{t('settings.addInterface')}</Button>
      </div>
    </fieldset>
  );
}
