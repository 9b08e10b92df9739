import { useState } from 'react';
import { useTranslation } from 'react-i18next';
import type { CommonGround, Difference } from '../../../shared/contract/returning-car.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { formatLevel } from '../../levels/scale.ts';
import styles from './CompareScreen.module.css';

interface Props {
  differences: readonly Difference[];
  ground: CommonGround;
}

/** Beyond this many dB the bar ends. */
const LARGEST_DB = 20;

/** The figures of one place, state and speed: then, now, and what lies between with its uncertainty. */
export function Differences({ differences, ground }: Props) {
  const { t } = useTranslation();
  const [changedOnly, setChangedOnly] = useState(false);
  const here = differences.filter(
    (d) =>
      d.position === ground.position &&
      d.state === ground.state &&
      d.speedBand.low_km_h === ground.speedBand.low_km_h,
  );
  const rows = changedOnly ? here.filter((d) => d.change !== 'withinUncertainty') : here;
  return (
    <section aria-labelledby="differences-title" className={styles.differences}>
      <div className={styles.head}>
        <h2 id="differences-title">{t('compare.differences')}</h2>
        <label className={styles.check}>
          <input
            type="checkbox"
            checked={changedOnly}
            onChange={(event) => setChangedOnly(event.target.checked)}
          />
          {t('compare.changedOnly')}
        </label>
      </div>
      {rows.length === 0 ? (
        <p>{t('compare.none')}</p>
      ) : (
        <table className={styles.table}>
          <thead>
            <tr>
              <th scope="col">{t('compare.figure')}</th>
              <th scope="col">{t('compare.valueEarlier')}</th>
              <th scope="col">{t('compare.valueLater')}</th>
              <th scope="col" colSpan={2}>
                {t('compare.difference')}
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((d) => (
              <Row key={`${d.kind} ${d.part} ${d.label}`} difference={d} />
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

function Row({ difference: d }: { difference: Difference }) {
  const { t, i18n } = useTranslation();
  const level = (db: number) => formatLevel(db, true, i18n.language);
  const orderName = useOrderName();
  const percent = (db: number) => 50 + (50 * Math.max(-LARGEST_DB, Math.min(LARGEST_DB, db))) / LARGEST_DB;
  const low = percent(d.difference_db - d.uncertainty_db);
  const high = percent(d.difference_db + d.uncertainty_db);
  const sign = d.difference_db < 0 ? '−' : '+';
  return (
    <tr data-change={d.change}>
      <th scope="row">{orderName(d.label)}</th>
      <td>{level(d.earlier_db)}</td>
      <td>{level(d.later_db)}</td>
      <td>
        <b>
          {sign}
          {level(Math.abs(d.difference_db))}
        </b>{' '}
        ± {level(d.uncertainty_db)} dB
        <span className={styles.change}>{t(`compare.change.${d.change}`)}</span>
      </td>
      <td className={styles.barCell} aria-hidden="true">
        <span
          className={styles.interval}
          style={{ insetInlineStart: `${low}%`, inlineSize: `${high - low}%` }}
        />
        <span className={styles.middle} style={{ insetInlineStart: `${percent(d.difference_db)}%` }} />
      </td>
    </tr>
  );
}
