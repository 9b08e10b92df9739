import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { AnalysisProgress } from '../../../shared/contract/findings-requests.ts';
import type { Message } from '../../../shared/messages/message.ts';
import button from '../../components/Button.module.css';
import { Button } from '../../components/Button.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { keyCap } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import styles from './FindingsScreen.module.css';

/** An analysis under way, with the way to stop it. */
export function AnalysisUnderWay({ analysis, cancel }: { analysis: AnalysisProgress; cancel(): void }) {
  const { t } = useTranslation();
  return (
    <div className={styles.progress} role="status">
      <span>{t(`findings.doing.${analysis.doing}`)}</span>
      <progress value={analysis.share} aria-label={t('findings.progress')} />
      <Button onClick={cancel}>
        {t('findings.cancel')} ({keyCap(t, KEYS.dismissNotices.keys[0])})
      </Button>
    </div>
  );
}

interface NothingProps {
  visitId: number;
  /** Null: the analysis was cancelled. */
  problem: Message | null;
  analyse(): void;
}

/** There are no findings; why, and what can be done. */
export function NoFindings({ visitId, problem, analyse }: NothingProps) {
  const { t } = useTranslation();
  const tell = useTell();
  return (
    <div className={styles.nothing} role="status">
      <p>{problem ? tell(problem) : t('findings.cancelled')}</p>
      <p className={styles.actions}>
        <Button primary onClick={analyse}>
          {t('findings.analyse')} ({KEYS.analyse.keys[0]})
        </Button>
        <Link href={`/setup/${visitId}`} className={button.button}>
          {t('findings.toSetup')}
        </Link>
      </p>
    </div>
  );
}
