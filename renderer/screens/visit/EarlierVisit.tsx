import { useTranslation } from 'react-i18next';
import type { RunHistory } from '../../../shared/contract/garage.ts';
import type { DrivingState } from '../../../shared/driveline/words.ts';
import { formatDay, formatNumber } from '../../format.ts';
import { positionName } from '../../i18n/words.ts';
import { formatLevel } from '../../levels/scale.ts';
import { type Comparison, compareVisits } from './compare-visits.ts';
import styles from './EarlierVisit.module.css';

interface Props {
  now: RunHistory;
  earlier: RunHistory;
  state: DrivingState;
}

/** This run beside the earlier visit's, place by place; what cannot be compared says why. */
export function EarlierVisit({ now, earlier, state }: Props) {
  const { t, i18n } = useTranslation();
  const rows = compareVisits(now, earlier, state);
  const most = Math.max(
    0,
    ...rows.map((row) => ('reason' in row ? 0 : Math.max(row.now_m_s2, row.then_m_s2))),
  );
  const date = formatDay(earlier.run.startedAt, i18n.language);
  return (
    <section aria-labelledby="earlier-title">
      <h2 id="earlier-title">{t('visit.earlier', { date })}</h2>
      <p className={styles.soft}>{t('visit.compareHint', { state: t(`state.${state}`) })}</p>
      <ul className={styles.list}>
        {rows.map((row) => (
          <li key={row.position} className={styles.row}>
            <b>{positionName(t, row.position)}</b>
            {'reason' in row ? (
              <span className={styles.soft}>
                {t('visit.cannot')}: {t(`visit.reason.${row.reason}`)}
              </span>
            ) : (
              <Pair row={row} most={most} language={i18n.language} />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

type Compared = Exclude<Comparison, { reason: unknown }>;

function Pair({ row, most, language }: { row: Compared; most: number; language: string }) {
  const { t } = useTranslation();
  const bar = (value: number) => ({ inlineSize: `${(value / most) * 100}%` });
  return (
    <>
      <span className={styles.bars}>
        <span className={styles.now} style={bar(row.now_m_s2)} />
        <span className={styles.then} style={bar(row.then_m_s2)} />
      </span>
      <span>
        {t('visit.now')} <b>{formatLevel(row.now_m_s2, false)}</b>, {t('visit.before')}{' '}
        {formatLevel(row.then_m_s2, false)} m/s²
      </span>
      <span>
        {t('visit.times', {
          factor: new Intl.NumberFormat(language, { maximumSignificantDigits: 2 }).format(
            row.now_m_s2 / row.then_m_s2,
          ),
        })}
      </span>
      <span className={styles.soft}>
        {t('visit.atSpeed', {
          low: formatNumber(Math.round(row.low_km_h), language),
          high: formatNumber(Math.round(row.high_km_h), language),
        })}
      </span>
    </>
  );
}
