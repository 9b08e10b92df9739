import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { DueRow } from '../../../shared/contract/returning-car.ts';
import { SelectField } from '../../components/Field.tsx';
import { Page } from '../../components/Page.tsx';
import { formatDay } from '../../format.ts';
import { useQuantity } from '../../i18n/use-quantity.ts';
import { vehicleName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import list from '../garage/VehiclesScreen.module.css';
import styles from './DueScreen.module.css';

const SPANS_days = [7, 30, 90, 365];

/** Cars whose next check is near or past, the most urgent first. */
export function DueScreen() {
  const { t } = useTranslation();
  const due = useApp((s) => s.due);
  const loadDue = useApp((s) => s.loadDue);
  const [within, setWithin] = useState(30);
  useEffect(() => void loadDue(within), [loadDue, within]);
  return (
    <Page>
      <div className={list.head}>
        <h1>{t('due.title')}</h1>
        <SelectField
          label={t('due.within')}
          value={within}
          onChange={(event) => setWithin(Number(event.target.value))}
        >
          {SPANS_days.map((count) => (
            <option key={count} value={count}>
              {t('due.days', { count })}
            </option>
          ))}
        </SelectField>
      </div>
      {due?.length === 0 && <p>{t('due.none')}</p>}
      <ul className={list.list}>
        {due?.map((row) => (
          <li key={row.vehicleId}>
            <Row row={row} />
          </li>
        ))}
      </ul>
    </Page>
  );
}

function Row({ row }: { row: DueRow }) {
  const { t, i18n } = useTranslation();
  const quantity = useQuantity();
  const when = () => {
    if (row.daysLeft === null) return t('due.unknown');
    if (row.daysLeft < 0) return t('due.overdue', { count: -row.daysLeft });
    return row.daysLeft === 0 ? t('due.today') : t('due.in', { count: row.daysLeft });
  };
  const part = row.source ? t(`part.${row.source}`) : null;
  return (
    <Link href={`/vehicles/${row.vehicleId}`} className={styles.row}>
      <span className={list.plate}>{row.plate || t('app.notKnown')}</span>
      <span className={list.what}>
        <b>{vehicleName(t, row.label)}</b>
        <span>{[t(`outcome.doneWords.${row.done}`), part, row.note].filter(Boolean).join(' · ')}</span>
      </span>
      <span className={styles.when} data-past={row.daysLeft !== null && row.daysLeft < 0}>
        <b>{when()}</b>
        <span>
          {row.dueOn && formatDay(row.dueOn, i18n.language)}
          {row.estimated && ` ${t('due.estimated')}`}
          {row.nextCheckAt_km !== null &&
            `, ${t('due.at', { distance: quantity(row.nextCheckAt_km, 'distance') })}`}
        </span>
      </span>
    </Link>
  );
}
