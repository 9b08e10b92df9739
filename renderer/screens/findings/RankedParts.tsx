import { useTranslation } from 'react-i18next';
import type { SourceFinding } from '../../../shared/diagnosis/findings.ts';
import type { Source } from '../../../shared/driveline/words.ts';
import { KeyButton } from '../../components/KeyButton.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import { percent } from './findings-words.ts';
import styles from './RankedParts.module.css';

interface Props {
  /** Those that are worth a line, most probable first. */
  ranked: readonly SourceFinding[];
  others: readonly SourceFinding[];
  part: Source;
  choose(part: Source): void;
  keys: KeyHandlers;
}

/** The parts by probability; the chosen one opens its evidence. */
export function RankedParts({ ranked, others, part, choose, keys }: Props) {
  const { t } = useTranslation();
  const tell = useTell();
  // Upwards: what is said to be the most is so for all of them.
  const most_percent = Math.max(1, Math.ceil(100 * Math.max(0, ...others.map((o) => o.probability))));
  return (
    <section className={styles.panel} aria-labelledby="parts-title">
      <h2 id="parts-title" className={styles.title}>
        {t('findings.parts.title')}
        <KeyButton action="partBefore" keys={keys} />
        <KeyButton action="nextPart" keys={keys} />
      </h2>
      <ol className={styles.list}>
        {ranked.map(({ source, probability, evidence }) => {
          const open = source === part;
          return (
            <li key={source} className={open ? styles.open : undefined}>
              <button
                type="button"
                className={styles.part}
                aria-expanded={open}
                onClick={() => choose(source)}
              >
                <b>{t(`part.${source}`)}</b>
                <span className={styles.track} aria-hidden="true">
                  <span style={{ inlineSize: `${100 * probability}%` }} />
                </span>
                <span className={styles.percent}>
                  <span className="visually-hidden">{t('findings.parts.probability', { value: '' })}</span>
                  {percent(t, probability)}
                </span>
              </button>
              {open && (
                <ul className={styles.evidence}>
                  {evidence
                    .map(({ text }) => tell(text))
                    .map((text) => (
                      <li key={text}>{text}</li>
                    ))}
                  {evidence.length === 0 && <li>{t('findings.parts.noEvidence')}</li>}
                </ul>
              )}
            </li>
          );
        })}
      </ol>
      {others.length > 0 && (
        <p className={styles.soft}>
          {t('findings.parts.others', {
            count: others.length,
            most: t('findings.parts.percent', { value: most_percent }),
          })}
        </p>
      )}
    </section>
  );
}
