import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link, useLocation } from 'wouter';
import type { KeptFindings } from '../../../shared/contract/findings-requests.ts';
import { Button } from '../../components/Button.tsx';
import { KeyHelp } from '../../components/KeyHelp.tsx';
import { Page } from '../../components/Page.tsx';
import { StepLine } from '../../components/StepLine.tsx';
import { useStep } from '../../components/WorkPage.tsx';
import { formatDay, formatTime } from '../../format.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { KEYS } from '../../keys.ts';
import { stepPath } from '../../steps.ts';
import { useApp } from '../../store/context.ts';
import { useKeys } from '../../use-keys.ts';
import { AnalysisUnderWay, NoFindings } from './AnalysisState.tsx';
import styles from './FindingsScreen.module.css';
import { FindingsView } from './FindingsView.tsx';
import { VerdictSign } from './VerdictSign.tsx';

/** What makes the noise, how sure that is, why, and what to do next. */
export function FindingsScreen({ visitId }: { visitId: number }) {
  const { t, i18n } = useTranslation();
  const tell = useTell();
  const visit = useApp((s) => (s.visit?.id === visitId ? s.visit : null));
  const kept = useApp((s) => (s.findings?.visitId === visitId ? s.findings : null));
  const analysis = useApp((s) => (s.analysis?.visitId === visitId ? s.analysis : null));
  const problem = useApp((s) => s.findingsProblem);
  const work = useStep(visitId, 'findings');
  const loadVisit = useApp((s) => s.loadVisit);
  const loadVehicle = useApp((s) => s.loadVehicle);
  const openFindings = useApp((s) => s.openFindings);
  const analyseVisit = useApp((s) => s.analyse);
  const cancelAnalysis = useApp((s) => s.cancelAnalysis);
  const dismissAll = useApp((s) => s.dismissAll);
  const flipTheme = useApp((s) => s.flipTheme);
  const [help, setHelp] = useState(false);
  const [, navigate] = useLocation();
  const vehicleId = visit?.vehicleId;
  useEffect(() => {
    void loadVisit(visitId);
    void openFindings(visitId);
  }, [visitId, loadVisit, openFindings]);
  useEffect(() => {
    if (vehicleId !== undefined) void loadVehicle(vehicleId);
  }, [vehicleId, loadVehicle]);

  const cancel = () => void cancelAnalysis();
  const analyse = () => (analysis ? cancel() : void analyseVisit(visitId));
  useKeys('findings', {
    analyse,
    dismissNotices: () => (analysis ? cancel() : dismissAll()),
    dayNight: flipTheme,
    help: () => setHelp(true),
  });

  return (
    <Page>
      {work && <StepLine work={work} step="findings" />}
      <header className={styles.head}>
        <div className={styles.title}>
          <h1>{t('findings.title')}</h1>
          {kept && <VerdictSign verdict={kept.findings.verdict} />}
          <span className={styles.headActions}>
            {kept && !analysis && (
              <Button primary={kept.outOfDate !== null} onClick={analyse}>
                {t('findings.again')} ({KEYS.analyse.keys[0]})
              </Button>
            )}
            <Button onClick={() => setHelp(true)}>
              {t('help.keys')} ({KEYS.help.keys[0]})
            </Button>
            <Button onClick={() => navigate(stepPath(visitId, 'inspection'))}>
              {t('work.goOn', { step: t('work.step.inspection') })}
            </Button>
          </span>
        </div>
        {kept && <p className={styles.summary}>{tell(kept.findings.summary)}</p>}
        <p className={styles.origin}>
          <Link href={`/visits/${visitId}`}>
            ←{' '}
            {visit
              ? t('findings.visit', { date: formatDay(visit.startedAt, i18n.language) })
              : t('garage.loading')}
          </Link>{' '}
          {kept && !analysis && <Origin kept={kept} />}
        </p>
      </header>
      {analysis && <AnalysisUnderWay analysis={analysis} cancel={cancel} />}
      {!kept && !analysis && <NoFindings visitId={visitId} problem={problem} analyse={analyse} />}
      {kept && problem && (
        <p role="alert" className={styles.problem}>
          ⚠ {tell(problem)}
        </p>
      )}
      {kept && visit && <FindingsView key={kept.analysedAt} kept={kept} visit={visit} />}
      {help && <KeyHelp screen="findings" onClose={() => setHelp(false)} />}
    </Page>
  );
}

/** What the findings were made from, and whether they still show the visit as it stands. */
function Origin({ kept }: { kept: KeptFindings }) {
  const { t, i18n } = useTranslation();
  return (
    <>
      {kept.outOfDate && <b className={styles.problem}>⚠ {t(`findings.outOfDate.${kept.outOfDate}`)} </b>}
      {t('findings.analysedAt', {
        count: kept.runIds.length,
        day: formatDay(kept.analysedAt, i18n.language),
        time: formatTime(kept.analysedAt, i18n.language),
      })}
    </>
  );
}
