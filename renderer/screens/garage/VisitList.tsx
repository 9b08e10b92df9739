import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { VehiclePage } from '../../../shared/contract/garage.ts';
import { formatDay, formatDuration } from '../../format.ts';
import { useQuantity } from '../../i18n/use-quantity.ts';
import { positionName } from '../../i18n/words.ts';
import { formatLevel } from '../../levels/scale.ts';
import styles from './VehicleScreen.module.css';

/** Visits, newest first, each with its loudest place on one common scale from zero. */
export function VisitList({ visits }: { visits: VehiclePage['visits'] }) {
  const { t, i18n } = useTranslation();
  const quantity = useQuantity();
  const most = Math.max(0, ...visits.map((visit) => visit.loudest?.rms_m_s2 ?? 0));
  return (
    <section aria-labelledby="visits-title">
      <h2 id="visits-title">{t('visit.visits')}</h2>
      {visits.length === 0 && <p>{t('visit.none')}</p>}
      {visits.some((visit) => visit.loudest) && <p className={styles.soft}>{t('visit.loudestHint')}</p>}
      <ul className={styles.visits}>
        {visits.map((visit) => (
          <li key={visit.id}>
            <Link href={`/visits/${visit.id}`} className={styles.visit}>
              <span className={styles.when}>
                <b>{formatDay(visit.startedAt, i18n.language)}</b>
                {visit.odometer_km !== null && (
                  <span className={styles.soft}>{quantity(visit.odometer_km, 'distance')}</span>
                )}
              </span>
              <span className={styles.loudest}>
                <span>{visit.complaint || t('visit.noComplaint')}</span>
                {visit.loudest && (
                  <>
                    <span className={styles.track} aria-hidden="true">
                      <span
                        className={styles.level}
                        style={{ inlineSize: `${(visit.loudest.rms_m_s2 / most) * 100}%` }}
                      />
                    </span>
                    <span>
                      <b>{formatLevel(visit.loudest.rms_m_s2, false, i18n.language)} m/s²</b>{' '}
                      {t('visit.loudestAt', { position: positionName(t, visit.loudest.position) })}
                    </span>
                  </>
                )}
                <span className={styles.soft}>
                  {t('visit.runs', { count: visit.runs })}
                  {visit.seconds > 0 && `, ${formatDuration(visit.seconds)}`}
                </span>
              </span>
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}
