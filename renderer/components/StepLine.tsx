import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { Form, VisitWork } from '../../shared/contract/visit-work.ts';
import { LINE, type LineStep, stepPath } from '../steps.ts';
import styles from './StepLine.module.css';

type Standing = 'done' | 'typed' | 'skipped' | 'open';
const SIGNS: Record<Standing, string> = { done: '✓', typed: '✎', skipped: '↷', open: '·' };

function standing(work: VisitWork, step: LineStep): Standing {
  if (work.drafts[step as Form] !== undefined) return 'typed';
  if (work.done.includes(step)) return 'done';
  return work.skipped.includes(step) ? 'skipped' : 'open';
}

/** The visit's steps: where it stands, what is done, and the way to any of them. */
export function StepLine({ work, step }: { work: VisitWork; step: LineStep }) {
  const { t } = useTranslation();
  return (
    <nav className={styles.line} aria-label={t('work.steps')}>
      <ol>
        {LINE.map((each) => {
          const is = standing(work, each);
          return (
            <li key={each}>
              <Link href={stepPath(work.visitId, each)} aria-current={each === step ? 'step' : undefined}>
                <span aria-hidden="true" className={styles.sign}>
                  {SIGNS[is]}
                </span>
                {t(`work.step.${each}`)}
                <span className="visually-hidden">, {t(`work.standing.${is}`)}</span>
              </Link>
            </li>
          );
        })}
      </ol>
    </nav>
  );
}
