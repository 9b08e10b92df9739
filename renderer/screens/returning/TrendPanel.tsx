import { type FormEvent, useMemo, useState } from 'react';
import { useTranslation } from 'react-i18next';
import type { Series, VehicleWear } from '../../../shared/contract/returning-car.ts';
import { textOf } from '../../../shared/messages/as-text.ts';
import { toldOf } from '../../../shared/messages/told-error.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextField } from '../../components/Field.tsx';
import { LineChart } from '../../components/LineChart.tsx';
import { formatNumber } from '../../format.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { useSpeedRange } from '../../i18n/use-quantity.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import { type TrendAxis, trendData, trendOf, trendOptions } from './trend-options.ts';
import styles from './WearPanel.module.css';

interface Props {
  vehicleId: number;
  wear: VehicleWear;
  shown: NonNullable<VehicleWear['shown']>;
}

/** One figure over the visits, against odometer or date, with the level at which the shop acts. */
export function TrendPanel({ vehicleId, wear, shown }: Props) {
  const { t } = useTranslation();
  const loadWear = useApp((s) => s.loadWear);
  const [axis, setAxis] = useState<TrendAxis>(
    shown.againstOdometer.kind === 'tooFew' && shown.againstDate.kind === 'fitted' ? 'date' : 'odometer',
  );
  const units = useApp((s) => s.settings.units);
  const data = useMemo(() => trendData(shown, axis, units), [shown, axis, units]);
  const figureName = useFigureName();
  const tell = useTell();
  const series = wear.series.find((s) => s.key === shown.key);
  if (!series) return null;
  const trend = trendOf(shown, axis);
  const across = t('wear.across', { unit: unitOf('distance', units) });
  return (
    <div className={styles.trend}>
      <div className={styles.choices}>
        <SelectField
          label={t('wear.shown')}
          value={shown.key}
          onChange={(event) => void loadWear(vehicleId, event.target.value)}
        >
          {wear.series.map((s) => (
            <option key={s.key} value={s.key}>
              {figureName(s)}
            </option>
          ))}
        </SelectField>
        <SelectField
          label={t('wear.against')}
          value={axis}
          onChange={(event) => setAxis(event.target.value as TrendAxis)}
        >
          {(['odometer', 'date'] as const).map((a) => (
            <option key={a} value={a}>
              {t(`wear.axis.${a}`)}
            </option>
          ))}
        </SelectField>
        <LimitForm vehicleId={vehicleId} series={series} limit={shown.limit} />
      </div>
      <div className={styles.chart}>
        <p className={styles.unit}>{series.unit}</p>
        <LineChart
          label={t('wear.chart', { label: figureName(series), unit: series.unit })}
          data={data}
          rebuild={`${shown.key} ${axis} ${units} ${JSON.stringify(shown.limit)} ${shown.points.length}`}
          options={(colours) => trendOptions(shown, axis, units, across, colours)}
        />
      </div>
      <ul className={styles.legend}>
        <li data-mark="point">{t('wear.legendPoint')}</li>
        {shown.points.some((p) => p.beforeRepair) && <li data-mark="before">{t('wear.legendBefore')}</li>}
        {trend.kind === 'fitted' && <li data-mark="line">{t('wear.legendLine')}</li>}
        {shown.limit && <li data-mark="limit">{t('wear.legendLimit')}</li>}
      </ul>
      {tell(trend.sentence) !== tell(wear.answer.howFast) && <p>{tell(trend.sentence)}</p>}
    </div>
  );
}

/** A series in one line: what, where, in which state and at what speed, over how many visits. */
function useFigureName(): (series: Series) => string {
  const { t } = useTranslation();
  const orderName = useOrderName();
  const speedRange = useSpeedRange();
  return (s) =>
    t('wear.figure', {
      label: orderName(s.label),
      position: positionName(t, s.position),
      state: t(`state.${s.state}`),
      ...speedRange(s.speedBand),
      visits: t('wear.visits', { count: s.visits }),
    });
}

function LimitForm({
  vehicleId,
  series,
  limit,
}: {
  vehicleId: number;
  series: Series;
  limit: Props['shown']['limit'];
}) {
  const { t, i18n } = useTranslation();
  const setWearLimit = useApp((s) => s.setWearLimit);
  const own = limit?.set === 'forThisVehicle';
  const [typed, setTyped] = useState(own ? limit.level_db.toFixed(1) : '');
  const [error, setError] = useState<string>();
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const text = typed.trim().replace(',', '.');
    const level_db = text === '' ? null : Number(text);
    if (Number.isNaN(level_db)) return setError('number');
    setError(undefined);
    setWearLimit(vehicleId, series.key, level_db).catch((cause: unknown) => setError(textOf(toldOf(cause))));
  };
  return (
    <form onSubmit={submit} className={styles.limit} noValidate>
      <TextField
        label={t('wear.limit', { unit: series.unit })}
        inputMode="decimal"
        value={typed}
        placeholder={limit ? formatNumber(Math.round(limit.level_db * 10) / 10, i18n.language) : ''}
        error={error}
        hint={
          own
            ? t('wear.limitHint.forThisVehicle')
            : t(limit ? 'wear.limitHint.byShop' : 'wear.limitHint.none')
        }
        onChange={(event) => setTyped(event.target.value)}
      />
      <Button type="submit">{t('wear.setLimit')}</Button>
    </form>
  );
}
