import { type FormEvent, useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { WearRiseSchema } from '../../../shared/contract/returning-car.ts';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { useApp } from '../../store/context.ts';
import styles from './KeepingScreen.module.css';
import { useRequest } from './use-request.ts';

/** By how much a figure may rise over the first visit before the shop acts. */
export function WearRiseForm() {
  const { t } = useTranslation();
  const ask = useApp((s) => s.ask);
  const fail = useApp((s) => s.fail);
  const [typed, setTyped] = useState('');
  const [wrong, setWrong] = useState(false);
  const saving = useRequest('garage.setWearRise');
  useEffect(
    () => void ask('garage.wearRise', null).then(({ rise_db }) => setTyped(String(rise_db)), fail),
    [ask, fail],
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const checked = WearRiseSchema.safeParse({ rise_db: Number(typed.replace(',', '.')) });
    setWrong(!checked.success);
    if (checked.success) void saving.send(checked.data);
  };
  return (
    <form className={styles.form} onSubmit={submit} noValidate>
      <h2>{t('keeping.rule')}</h2>
      <div className={styles.folder}>
        <TextField
          label={t('keeping.rise')}
          hint={t('keeping.riseHint')}
          inputMode="decimal"
          value={typed}
          error={wrong ? 'range' : saving.error}
          onChange={(event) => setTyped(event.target.value)}
        />
        <Button type="submit">{t('keeping.save')}</Button>
      </div>
    </form>
  );
}
