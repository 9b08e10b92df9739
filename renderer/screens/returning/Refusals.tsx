import { useTranslation } from 'react-i18next';
import type { VisitComparison } from '../../../shared/contract/returning-car.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import styles from './CompareScreen.module.css';

/** What cannot be compared, each with its reason. */
export function Refusals({ refused }: { refused: VisitComparison['refused'] }) {
  const { t } = useTranslation();
  const tell = useTell();
  const told = refused.map((r) => ({ ...r, sentence: tell(r.sentence) }));
  return (
    <section aria-labelledby="refused-title">
      <h2 id="refused-title">{t('compare.refused')}</h2>
      <ul className={styles.refused}>
        {told.map((r) => (
          <li key={`${r.reason} ${r.sentence}`}>
            <b>{t(`compare.reason.${r.reason}`)}</b>
            <span>
              {r.sentence} <small>({r.positions.map((p) => positionName(t, p)).join('; ')})</small>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
