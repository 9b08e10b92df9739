import { useTranslation } from 'react-i18next';
import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import type { RoadCard } from '../../../shared/road-card/manoeuvre.ts';
import { Button } from '../../components/Button.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import styles from './Manoeuvres.module.css';

const SIGNS = { done: '✓', underWay: '◐', missing: '○' } as const;

/** The card: read before the drive, and looked at afterwards for what is still missing. */
export function Manoeuvres({ work, card }: { work: VisitWork; card: RoadCard }) {
  const { t } = useTranslation();
  const tell = useTell();
  const followed = useApp((s) => s.roadProgress);
  const spoken = useApp((s) => s.spokenPrompts);
  const flipSpoken = useApp((s) => s.flipSpokenPrompts);
  const progress = followed ?? work.roadProgress;
  const cautions = [...new Set(card.manoeuvres.flatMap((m) => m.cautions.map(tell)))];
  const done = progress.manoeuvres.filter((m) => m.state === 'done').length;
  return (
    <section className={styles.card} aria-labelledby="card-title">
      <div className={styles.head}>
        <h2 id="card-title">{t('road.card', { done, count: card.manoeuvres.length })}</h2>
        <Button aria-pressed={spoken} onClick={flipSpoken}>
          {t(spoken ? 'road.spokenOn' : 'road.spokenOff')}
        </Button>
      </div>
      <p className={styles.soft}>{tell(card.madeFrom)}</p>
      {cautions.length > 0 && (
        <div className={styles.cautions}>
          <h3>⚠ {t('caution.title')}</h3>
          <ul>
            {cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </div>
      )}
      <ol className={styles.list}>
        {card.manoeuvres.map((m) => {
          const is = progress.manoeuvres.find((p) => p.id === m.id);
          const state = is?.state ?? 'missing';
          const held = is?.held_s ?? 0;
          return (
            <li key={m.id} className={state === 'done' ? styles.done : undefined}>
              <span className={styles.sign} aria-hidden="true">
                {SIGNS[state]}
              </span>
              <div className={styles.words}>
                <b>{tell(m.title)}</b>
                <span className={styles.soft}>{tell(m.why)}</span>
              </div>
              <div className={styles.held}>
                <progress max={m.wanted_s} value={Math.min(held, m.wanted_s)} aria-label={tell(m.title)} />
                <span>
                  {t(`road.state.${state}`)} ·{' '}
                  {t('road.held', { held: Math.floor(held), wanted: m.wanted_s })}
                </span>
              </div>
            </li>
          );
        })}
      </ol>
      <p className={styles.soft}>{t('road.segmentsHint')}</p>
    </section>
  );
}
