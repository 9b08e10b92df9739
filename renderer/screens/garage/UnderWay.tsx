import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import { formatDay, formatTime } from '../../format.ts';
import { vehicleName } from '../../i18n/words.ts';
import { lineStep, stepPath } from '../../steps.ts';
import { useApp } from '../../store/context.ts';
import styles from './VehiclesScreen.module.css';

/** Visits that are not finished, the last touched first: each goes on where it was left. */
export function UnderWay() {
  const { t, i18n } = useTranslation();
  const unfinished = useApp((s) => s.unfinished);
  const loadUnfinished = useApp((s) => s.loadUnfinished);
  useEffect(() => void loadUnfinished(), [loadUnfinished]);
  if (!unfinished || unfinished.length === 0) return null;
  return (
    <section aria-labelledby="under-way-title">
      <h2 id="under-way-title">{t('work.underWay')}</h2>
      <ul className={styles.list}>
        {unfinished.map((visit) => (
          <li key={visit.visitId}>
            <Link href={stepPath(visit.visitId, visit.step)} data-row className={styles.row}>
              <span className={styles.plate}>{visit.plate || t('app.notKnown')}</span>
              <span className={styles.what}>
                <b>{vehicleName(t, visit.vehicleLabel)}</b>
              </span>
              <span>{t(`work.step.${lineStep(visit.step)}`)}</span>
              <span className={styles.figure}>
                {t('work.lastTouched', {
                  date: formatDay(visit.changedAt, i18n.language),
                  time: formatTime(visit.changedAt, i18n.language),
                })}
              </span>
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}
