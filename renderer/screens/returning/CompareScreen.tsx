import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link, useLocation } from 'wouter';
import type { CommonGround, VisitComparison } from '../../../shared/contract/returning-car.ts';
import { SelectField } from '../../components/Field.tsx';
import { Page } from '../../components/Page.tsx';
import { formatDay } from '../../format.ts';
import { useSpeedRange } from '../../i18n/use-quantity.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName, vehicleName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import { groundKey } from '../../store/returning.ts';
import { useKeys } from '../../use-keys.ts';
import styles from './CompareScreen.module.css';
import { Differences } from './Differences.tsx';
import { OverlayPanel } from './OverlayPanel.tsx';
import { Refusals } from './Refusals.tsx';
import { usePairPlayer } from './use-pair-player.ts';

interface Props {
  vehicleId: number;
  earlierVisitId: number;
  laterVisitId: number;
}

/** Two visits of a car, like with like: differences with their uncertainty, spectra laid over each other, sound in turn. */
export function CompareScreen({ vehicleId, earlierVisitId, laterVisitId }: Props) {
  const { t, i18n } = useTranslation();
  const [, navigate] = useLocation();
  const page = useApp((s) => (s.vehiclePage?.vehicle.id === vehicleId ? s.vehiclePage : null));
  const loadVehicle = useApp((s) => s.loadVehicle);
  const loadComparison = useApp((s) => s.loadComparison);
  const found = useApp((s) => s.comparison);
  useEffect(() => void loadVehicle(vehicleId), [loadVehicle, vehicleId]);
  useEffect(
    () => void loadComparison(earlierVisitId, laterVisitId),
    [loadComparison, earlierVisitId, laterVisitId],
  );
  if (!page)
    return (
      <Page>
        <p aria-busy="true">{t('garage.loading')}</p>
      </Page>
    );
  const measured = page.visits.filter((v) => v.runs > 0);
  const dayOf = (visitId: number) => {
    const visit = page.visits.find((v) => v.id === visitId);
    return visit ? formatDay(visit.startedAt, i18n.language) : '';
  };
  const choose = (earlier: number, later: number) => {
    const at = (visitId: number) => Date.parse(page.visits.find((v) => v.id === visitId)!.startedAt);
    const [first, second] = at(earlier) <= at(later) ? [earlier, later] : [later, earlier];
    navigate(`/vehicles/${vehicleId}/compare/${first}/${second}`);
  };
  const comparison =
    found?.earlierVisitId === earlierVisitId && found.laterVisitId === laterVisitId ? found : null;
  const choice = (which: 'earlier' | 'later', value: number, choosing: (visitId: number) => void) => (
    <SelectField
      label={t(`compare.${which}`)}
      value={value}
      onChange={(event) => choosing(Number(event.target.value))}
    >
      {measured.map((v) => (
        <option key={v.id} value={v.id}>
          {formatDay(v.startedAt, i18n.language)}
        </option>
      ))}
    </SelectField>
  );
  return (
    <Page>
      <p>
        <Link href={`/vehicles/${vehicleId}`}>← {vehicleName(t, page.vehicle.spec.label)}</Link>
      </p>
      <h1>{t('compare.title')}</h1>
      <div className={styles.choices}>
        {choice('earlier', earlierVisitId, (visitId) => choose(visitId, laterVisitId))}
        {choice('later', laterVisitId, (visitId) => choose(earlierVisitId, visitId))}
      </div>
      {earlierVisitId === laterVisitId ? (
        <p>{t('compare.same')}</p>
      ) : comparison ? (
        <Compared
          key={`${earlierVisitId} ${laterVisitId}`}
          comparison={comparison}
          days={{ earlier: dayOf(earlierVisitId), later: dayOf(laterVisitId) }}
        />
      ) : (
        <p aria-busy="true">{t('compare.loading')}</p>
      )}
    </Page>
  );
}

/** The place and state of the clearest difference, or else any that both visits have. */
function startingGround({ ground, differences }: VisitComparison): CommonGround | null {
  const clearest = differences.find((d) => d.kind !== 'bandLevel') ?? differences[0];
  return (
    ground.find(
      (g) =>
        g.position === clearest?.position &&
        g.state === clearest.state &&
        g.speedBand.low_km_h === clearest.speedBand.low_km_h,
    ) ??
    ground[0] ??
    null
  );
}

function Compared({
  comparison,
  days,
}: {
  comparison: VisitComparison;
  days: { earlier: string; later: string };
}) {
  const { t } = useTranslation();
  const tell = useTell();
  const speedRange = useSpeedRange();
  const [chosen, setChosen] = useState(() => startingGround(comparison));
  const player = usePairPlayer(chosen);
  useKeys('visit', player.keys);
  return (
    <>
      <p className={styles.summary}>{tell(comparison.summary)}</p>
      {chosen ? (
        <>
          <SelectField
            label={t('compare.where')}
            value={groundKey(chosen)}
            onChange={(event) =>
              setChosen(comparison.ground.find((g) => groundKey(g) === event.target.value) ?? chosen)
            }
          >
            {comparison.ground.map((g) => (
              <option key={groundKey(g)} value={groundKey(g)}>
                {t('compare.ground', {
                  position: positionName(t, g.position),
                  state: t(`state.${g.state}`),
                  ...speedRange(g.speedBand),
                })}
              </option>
            ))}
          </SelectField>
          <OverlayPanel ground={chosen} days={days} player={player} />
          <Differences differences={comparison.differences} ground={chosen} />
        </>
      ) : (
        <p>{t('compare.noGround')}</p>
      )}
      {comparison.refused.length > 0 && <Refusals refused={comparison.refused} />}
    </>
  );
}
