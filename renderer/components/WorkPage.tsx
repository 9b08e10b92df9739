import { type ReactNode, useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { VisitWork } from '../../shared/contract/visit-work.ts';
import { vehicleName } from '../i18n/words.ts';
import { type LineStep, lineStep } from '../steps.ts';
import { useApp } from '../store/context.ts';
import { Page } from './Page.tsx';
import { Reminders } from './Reminders.tsx';
import { StepLine } from './StepLine.tsx';
import styles from './WorkPage.module.css';

/** The visit's work with the settings, as soon as both are known; and the visit stands at this step from now on. */
export function useStep(visitId: number, step: LineStep): VisitWork | null {
  const work = useApp((s) => (s.work?.visitId === visitId && s.settingsKnown ? s.work : null));
  const loadWork = useApp((s) => s.loadWork);
  const loadSettings = useApp((s) => s.loadSettings);
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  useEffect(() => {
    void loadSettings();
    void loadWork(visitId);
  }, [visitId, loadWork, loadSettings]);
  const underWay = useApp((s) => s.unfinished?.some((v) => v.visitId === visitId) === true);
  const loadUnfinished = useApp((s) => s.loadUnfinished);
  useEffect(() => void loadUnfinished(), [loadUnfinished]);
  const standsAt = work && lineStep(work.step);
  useEffect(() => {
    // Looking at an old visit does not take it up again.
    if (underWay && standsAt !== null && standsAt !== step)
      changeWork('work.goTo', { visitId, step }).catch(fail);
  }, [underWay, standsAt, step, visitId, changeWork, fail]);
  return work;
}

interface Props {
  visitId: number;
  step: LineStep;
  children(work: VisitWork): ReactNode;
}

/** A step of a visit: the line of steps, the reminders, and the step's own content once the visit is known. */
export function WorkPage({ visitId, step, children }: Props) {
  const { t } = useTranslation();
  const work = useStep(visitId, step);
  if (!work)
    return (
      <Page>
        <p aria-busy="true">{t('garage.loading')}</p>
      </Page>
    );
  return (
    <Page>
      <StepLine work={work} step={step} />
      <div className={styles.head}>
        <h1>{t(`work.title.${step}`)}</h1>
        <p>
          <Link href={`/vehicles/${work.vehicleId}`}>{vehicleName(t, work.vehicleLabel)}</Link>{' '}
          {work.intake.plate}
        </p>
      </div>
      <Reminders work={work} step={step} />
      {children(work)}
    </Page>
  );
}
