import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { Visit } from '../../../shared/contract/garage.ts';
import type { Difference } from '../../../shared/contract/returning-car.ts';
import { formatDay } from '../../format.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import { Refusals } from '../returning/Refusals.tsx';
import styles from './EarlierVisit.module.css';

interface Props {
  visit: Visit;
  earlier: Visit;
}

/** This visit beside the one before it: what differs most at each place, and what cannot be compared. */
export function EarlierVisit({ visit, earlier }: Props) {
  const { t, i18n } = useTranslation();
  const tell = useTell();
  const loadComparison = useApp((s) => s.loadComparison);
  const found = useApp((s) => s.comparison);
  useEffect(() => void loadComparison(earlier.id, visit.id), [loadComparison, earlier.id, visit.id]);
  const comparison = found?.earlierVisitId === earlier.id && found.laterVisitId === visit.id ? found : null;
  return (
    <>
      <section aria-labelledby="earlier-title">
        <h2 id="earlier-title">
          {t('visit.earlier', { date: formatDay(earlier.startedAt, i18n.language) })}
        </h2>
        {comparison ? (
          <>
            <p>{tell(comparison.summary)}</p>
            <ul className={styles.list}>
              {clearestOfEachPlace(comparison.differences).map((d) => (
                <li key={d.position}>{tell(d.sentence)}</li>
              ))}
            </ul>
            <Link href={`/vehicles/${visit.vehicleId}/compare/${earlier.id}/${visit.id}`}>
              {t('visit.compareAll')}
            </Link>
          </>
        ) : (
          <p aria-busy="true">{t('compare.loading')}</p>
        )}
      </section>
      {comparison && comparison.refused.length > 0 && <Refusals refused={comparison.refused} />}
    </>
  );
}

/** The main side gives the clearest differences first. */
const clearestOfEachPlace = (differences: readonly Difference[]): Difference[] =>
  differences.filter((d, i) => differences.findIndex((other) => other.position === d.position) === i);
