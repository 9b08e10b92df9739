import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { VehiclePage } from '../../../shared/contract/garage.ts';
import type { VehicleWear } from '../../../shared/contract/returning-car.ts';
import button from '../../components/Button.module.css';
import { Button } from '../../components/Button.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import { OutcomeForm } from './OutcomeForm.tsx';
import { TrendPanel } from './TrendPanel.tsx';
import styles from './WearPanel.module.css';

/** The answer in five seconds: is it getting worse, how fast, what was done, when to look again; the chart under it. */
export function WearPanel({ vehicleId, visits }: { vehicleId: number; visits: VehiclePage['visits'] }) {
  const { t } = useTranslation();
  const wear = useApp((s) => (s.wear?.vehicleId === vehicleId ? s.wear.value : null));
  const loadWear = useApp((s) => s.loadWear);
  const [noting, setNoting] = useState(false);
  useEffect(() => void loadWear(vehicleId, null), [loadWear, vehicleId]);
  if (!wear) return <p aria-busy="true">{t('garage.loading')}</p>;
  const measured = visits.filter((v) => v.runs > 0);
  const last = visits[0];
  return (
    <section className={styles.panel} aria-labelledby="wear-title">
      <div className={styles.head}>
        <h2 id="wear-title">{t('wear.title')}</h2>
        {wear.measuring > 0 && <span role="status">{t('wear.measuring', { count: wear.measuring })}</span>}
        <span className={styles.actions}>
          {measured.length > 1 && (
            <Link
              href={`/vehicles/${vehicleId}/compare/${measured[1]!.id}/${measured[0]!.id}`}
              className={button.button}
            >
              {t('wear.compare')}
            </Link>
          )}
          {last && !noting && <Button onClick={() => setNoting(true)}>{t('wear.note')}</Button>}
        </span>
      </div>
      <Answers wear={wear} />
      {noting && last && (
        <OutcomeForm
          vehicleId={vehicleId}
          visit={last}
          outcome={wear.lastOutcome?.visitId === last.id ? wear.lastOutcome : null}
          close={() => setNoting(false)}
        />
      )}
      {wear.shown && <TrendPanel key={wear.shown.key} vehicleId={vehicleId} wear={wear} shown={wear.shown} />}
    </section>
  );
}

function Answers({ wear: { answer } }: { wear: VehicleWear }) {
  const { t } = useTranslation();
  const tell = useTell();
  return (
    <dl className={styles.answers}>
      <div data-verdict={answer.verdict} className={styles.verdict}>
        <dt>{t('wear.worse')}</dt>
        <dd>
          <b>{t(`wear.verdict.${answer.verdict}`)}</b>
          <span>{tell(answer.worse)}</span>
        </dd>
      </div>
      <div>
        <dt>{t('wear.howFast')}</dt>
        <dd>{tell(answer.howFast)}</dd>
      </div>
      <div>
        <dt>{t('wear.lastTime')}</dt>
        <dd>{tell(answer.lastTime)}</dd>
      </div>
      <div>
        <dt>{t('wear.lookAgain')}</dt>
        <dd>{tell(answer.lookAgain)}</dd>
      </div>
    </dl>
  );
}
