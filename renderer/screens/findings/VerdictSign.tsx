import { useTranslation } from 'react-i18next';
import type { Verdict } from '../../../shared/driveline/words.ts';
import styles from './FindingsScreen.module.css';

/** How far it is settled, by word and by how full the sign is. */
const FULL: Record<Verdict, number> = { pinpointed: 4, narrowed: 2, notYet: 0, nothingAbnormal: 4 };

export function VerdictSign({ verdict }: { verdict: Verdict }) {
  const { t } = useTranslation();
  return (
    <span className={styles.verdict}>
      <span className={styles.steps} aria-hidden="true">
        {[1, 2, 3, 4].map((step) => (
          <span key={step} className={step <= FULL[verdict] ? styles.full : styles.empty} />
        ))}
      </span>
      {t(`findings.verdict.${verdict}`)}
    </span>
  );
}
