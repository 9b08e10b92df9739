import { useTranslation } from 'react-i18next';
import type { Findings } from '../../../shared/diagnosis/findings.ts';
import { Button } from '../../components/Button.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import styles from './NextStep.module.css';

/** What to do now: where to clamp next and why, or that it is settled. */
export function NextStep({ findings }: { findings: Findings }) {
  const { t } = useTranslation();
  const tell = useTell();
  const { verdict, nextPlacement } = findings;
  if (verdict === 'pinpointed' || verdict === 'nothingAbnormal') {
    const settled = verdict === 'pinpointed';
    return (
      <section className={styles.box} aria-labelledby="next-title">
        <h2 id="next-title">{t(settled ? 'findings.next.settledTitle' : 'findings.next.nothingTitle')}</h2>
        <p>{t(settled ? 'findings.next.settled' : 'findings.next.nothing')}</p>
      </section>
    );
  }
  return (
    <section className={styles.box} aria-labelledby="next-title">
      <h2 id="next-title">{t('findings.next.title')}</h2>
      {nextPlacement.length === 0 && <p>{t('findings.next.none')}</p>}
      <ol className={styles.list}>
        {nextPlacement.map(({ position, why }, i) => (
          <li key={position}>
            <span className={styles.number} aria-hidden="true">
              {i + 1}
            </span>
            <span>
              <b>{positionName(t, position)}.</b> {tell(why)}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

const NAMED = 3;

/** The same in one line, for those who know why: in sight without scrolling. */
export function NextInShort({ findings, onSetUp }: { findings: Findings; onSetUp(): void }) {
  const { t, i18n } = useTranslation();
  const { nextPlacement } = findings;
  if (nextPlacement.length === 0) return null;
  const names = nextPlacement.slice(0, NAMED).map(({ position }) => positionName(t, position));
  const more = nextPlacement.length - names.length;
  if (more > 0) names.push(t('findings.next.more', { count: more }));
  const places = new Intl.ListFormat(i18n.language, { type: 'conjunction' }).format(names);
  return (
    <p className={styles.short}>
      <Button primary onClick={onSetUp}>
        {t('findings.next.setUp')} ({KEYS.useProposal.keys[0]})
      </Button>
      <span>
        {t('findings.next.clamp')} <b>{places}</b>
      </span>
    </p>
  );
}
