import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { VisitWork } from '../../shared/contract/visit-work.ts';
import { useTell } from '../i18n/use-tell.ts';
import { type LineStep, lineStep, stepPath } from '../steps.ts';
import styles from './Reminders.module.css';

/** What was left open in any step. Safety stands open; the rest is a line that opens. */
export function Reminders({ work, step }: { work: VisitWork; step: LineStep }) {
  const { t } = useTranslation();
  const tell = useTell();
  const safety = work.reminders.filter((r) => r.weight === 'safety');
  const others = work.reminders.filter((r) => r.weight !== 'safety');
  const list = (reminders: VisitWork['reminders']) => (
    <ul>
      {reminders.map((reminder) => {
        const at = lineStep(reminder.step);
        const text = tell(reminder.text);
        return (
          <li key={`${reminder.step} ${text}`}>
            {text} {at !== step && <Link href={stepPath(work.visitId, at)}>{t(`work.step.${at}`)}</Link>}
          </li>
        );
      })}
    </ul>
  );
  return (
    <>
      {safety.length > 0 && (
        <section className={styles.safety} aria-labelledby="safety-title">
          <h2 id="safety-title">⚠ {t('work.safety')}</h2>
          {list(safety)}
        </section>
      )}
      {others.length > 0 && (
        <details className={styles.others}>
          <summary>{t('work.reminders', { count: others.length })}</summary>
          {list(others)}
        </details>
      )}
    </>
  );
}
