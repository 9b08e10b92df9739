import { type FormEvent, useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import {
  type Retention,
  type RetentionPlan,
  RetentionSchema,
} from '../../../shared/contract/returning-car.ts';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { formatBytes, formatDay } from '../../format.ts';
import { vehicleName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import styles from './KeepingScreen.module.css';
import { useRequest } from './use-request.ts';

interface Typed {
  keepAll: boolean;
  keepVisits: string;
  keepMonths: string;
  keepFirst: boolean;
}

const typedFrom = (policy: Retention): Typed => ({
  keepAll: policy.keepVisits === null,
  keepVisits: String(policy.keepVisits ?? 3),
  keepMonths: String(policy.keepMonths),
  keepFirst: policy.keepFirst,
});

/** Which recordings stay; what would go is shown before anything goes. */
export function RetentionForm() {
  const { t, i18n } = useTranslation();
  const ask = useApp((s) => s.ask);
  const fail = useApp((s) => s.fail);
  const [typed, setTyped] = useState<Typed | null>(null);
  const [faulty, setFaulty] = useState<string | null>(null);
  const [plan, setPlan] = useState<RetentionPlan | null>(null);
  const saving = useRequest('retention.set');
  const applying = useRequest('retention.apply');
  useEffect(
    () => void ask('retention.get', null).then((policy) => setTyped(typedFrom(policy)), fail),
    [ask, fail],
  );
  if (!typed) return null;

  const change = (part: Partial<Typed>) => {
    setTyped({ ...typed, ...part });
    setPlan(null);
  };
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    const checked = RetentionSchema.safeParse({
      keepVisits: typed.keepAll ? null : Number(typed.keepVisits),
      keepMonths: Number(typed.keepMonths),
      keepFirst: typed.keepFirst,
    });
    if (!checked.success) return setFaulty(String(checked.error.issues[0]!.path[0]));
    setFaulty(null);
    await saving.send(checked.data);
    await ask('retention.plan', null).then(setPlan, fail);
  };
  const apply = async () => {
    if (!plan) return;
    await applying.send({ runIds: plan.deletes.map((d) => d.runId) });
    await ask('retention.plan', null).then(setPlan, fail);
  };
  const size = (bytes: number) => formatBytes(bytes, i18n.language);
  return (
    <form className={styles.form} onSubmit={submit} noValidate>
      <h2>{t('keeping.retention')}</h2>
      <p className={styles.hint}>{t('keeping.retentionHint')}</p>
      <label className={styles.check}>
        <input type="radio" checked={typed.keepAll} onChange={() => change({ keepAll: true })} />
        {t('keeping.keepAll')}
      </label>
      <label className={styles.check}>
        <input type="radio" checked={!typed.keepAll} onChange={() => change({ keepAll: false })} />
        {t('keeping.keepSome')}
      </label>
      {!typed.keepAll && (
        <div className={styles.policy}>
          <TextField
            label={t('keeping.keepVisits')}
            inputMode="numeric"
            value={typed.keepVisits}
            error={faulty === 'keepVisits' ? 'range' : undefined}
            onChange={(event) => change({ keepVisits: event.target.value })}
          />
          <TextField
            label={t('keeping.keepMonths')}
            inputMode="numeric"
            value={typed.keepMonths}
            error={faulty === 'keepMonths' ? 'range' : undefined}
            onChange={(event) => change({ keepMonths: event.target.value })}
          />
          <label className={styles.check}>
            <input
              type="checkbox"
              checked={typed.keepFirst}
              onChange={(event) => change({ keepFirst: event.target.checked })}
            />
            {t('keeping.keepFirst')}
          </label>
        </div>
      )}
      {saving.error && <p role="alert">⚠ {saving.error}</p>}
      <div>
        <Button type="submit">{t('keeping.show')}</Button>
      </div>
      <div role="status" className={styles.form}>
        {applying.answer && (
          <p>
            ✓ {t('keeping.deleted', { count: applying.answer.deleted, size: size(applying.answer.bytes) })}
          </p>
        )}
        {plan && <Plan plan={plan} size={size} apply={() => void apply()} />}
      </div>
    </form>
  );
}

interface PlanProps {
  plan: RetentionPlan;
  size(bytes: number): string;
  apply(): void;
}

function Plan({ plan: { deletes, bytes, keeps, waiting }, size, apply }: PlanProps) {
  const { t, i18n } = useTranslation();
  const kept = { kept: keeps.files, keptSize: size(keeps.bytes) };
  return (
    <>
      <p>
        {deletes.length > 0
          ? t('keeping.plan', { count: deletes.length, size: size(bytes), ...kept })
          : t('keeping.nothingToDelete', kept)}{' '}
        {waiting > 0 && t('keeping.waiting', { count: waiting })}
      </p>
      {deletes.length > 0 && (
        <>
          <ul className={styles.plan}>
            {deletes.map((d) => (
              <li key={d.runId}>
                <span>
                  {d.plate} {vehicleName(t, d.vehicleLabel)}
                </span>
                <span>{formatDay(d.startedAt, i18n.language)}</span>
                <span>{size(d.bytes)}</span>
              </li>
            ))}
          </ul>
          <div>
            <Button onClick={apply}>{t('keeping.apply')}</Button>
          </div>
        </>
      )}
    </>
  );
}
