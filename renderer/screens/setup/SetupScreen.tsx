import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { Cautions } from '../../components/Cautions.tsx';
import { Page } from '../../components/Page.tsx';
import { WorkPage } from '../../components/WorkPage.tsx';
import { useApp } from '../../store/context.ts';
import { SetupForm } from './SetupForm.tsx';
import styles from './SetupScreen.module.css';
import { VisitSetup } from './VisitSetup.tsx';

/** Before the drive: where the samples come from and which pickup sits where. */
export function SetupScreen({ visitId }: { visitId: number | null }) {
  if (visitId === null) return <PlainSetup />;
  return (
    <WorkPage visitId={visitId} step="rigging">
      {(work) => <VisitSetup work={work} />}
    </WorkPage>
  );
}

/** Without a visit: what is recorded is kept under a vehicle that has no name yet. */
function PlainSetup() {
  const { t } = useTranslation();
  const loadSettings = useApp((s) => s.loadSettings);
  useEffect(() => void loadSettings(), [loadSettings]);
  return (
    <Page>
      <div className={styles.head}>
        <h1>{t('setup.title')}</h1>
        <p>{t('setup.noVisit')}</p>
      </div>
      <SetupForm visitId={null} layout={null} cautions={<Cautions highVoltage />} />
    </Page>
  );
}
