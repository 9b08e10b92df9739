import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link, useLocation } from 'wouter';
import button from '../../components/Button.module.css';
import { Page } from '../../components/Page.tsx';
import { formatDay, formatDuration, formatTime } from '../../format.ts';
import { useQuantity } from '../../i18n/use-quantity.ts';
import { KEYS } from '../../keys.ts';
import { useApp } from '../../store/context.ts';
import { useKeys } from '../../use-keys.ts';
import { ExportForm } from '../keeping/FolderForms.tsx';
import { MeasureAgain } from '../returning/MeasureAgain.tsx';
import { EarlierVisit } from './EarlierVisit.tsx';
import { RunView } from './RunView.tsx';
import { runSeconds } from './run-stretches.ts';
import styles from './VisitScreen.module.css';

/** A visit from history: its runs, each with levels, orders, spectra and playback. */
export function VisitScreen({ visitId }: { visitId: number }) {
  const { t, i18n } = useTranslation();
  const quantity = useQuantity();
  const visit = useApp((s) => (s.visit?.id === visitId ? s.visit : null));
  const loadVisit = useApp((s) => s.loadVisit);
  const earlier = useApp((s) => s.earlierVisit);
  const loadVehicle = useApp((s) => s.loadVehicle);
  const loadEarlierVisit = useApp((s) => s.loadEarlierVisit);
  const [index, setIndex] = useState(0);
  const [, navigate] = useLocation();
  useKeys('visit', { analyse: () => navigate(`/visits/${visitId}/findings`) });
  useEffect(() => {
    void loadVisit(visitId).then(loadEarlierVisit);
  }, [visitId, loadVisit, loadEarlierVisit]);
  const vehicleId = visit?.vehicleId;
  useEffect(() => {
    if (vehicleId !== undefined) void loadVehicle(vehicleId);
  }, [vehicleId, loadVehicle]);
  if (!visit)
    return (
      <Page>
        <p aria-busy="true">{t('garage.loading')}</p>
      </Page>
    );
  const run = visit.runs[index];
  return (
    <Page>
      <div className={styles.head}>
        <div>
          <p>
            <Link href={`/vehicles/${visit.vehicleId}`}>← {t('visit.visits')}</Link>
          </p>
          <h1>{t('visit.title', { date: formatDay(visit.startedAt, i18n.language) })}</h1>
          <p>
            {visit.complaint || t('visit.noComplaint')}
            {visit.odometer_km !== null && ` · ${quantity(visit.odometer_km, 'distance')}`}
          </p>
        </div>
        {visit.runs.length > 0 && (
          <Link href={`/visits/${visitId}/findings`} className={`${button.button} ${button.primary}`}>
            {t('findings.link')} ({KEYS.analyse.keys[0]})
          </Link>
        )}
        <Link href={`/setup/${visitId}`} className={button.button}>
          {t('visit.anotherRun')}
        </Link>
      </div>
      {visit.runs.length > 1 && (
        <fieldset className={styles.choices}>
          <legend className="visually-hidden">{t('visit.runs', { count: visit.runs.length })}</legend>
          {visit.runs.map((r, i) => (
            <button
              key={r.id}
              type="button"
              aria-pressed={i === index}
              className={styles.choice}
              onClick={() => setIndex(i)}
            >
              {t('visit.run', { number: i + 1 })}
              <small>
                {formatTime(r.startedAt, i18n.language)}, {formatDuration(runSeconds(r))}
              </small>
            </button>
          ))}
        </fieldset>
      )}
      {run ? (
        <RunView key={run.id} run={run} nextRun={() => setIndex((index + 1) % visit.runs.length)} />
      ) : (
        <p>{t('visit.noRuns')}</p>
      )}
      {run && (
        <>
          {earlier && <EarlierVisit visit={visit} earlier={earlier} />}
          <MeasureAgain visitId={visitId} />
          <ExportForm visitId={visitId} />
        </>
      )}
    </Page>
  );
}
