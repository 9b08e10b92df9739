import { useTranslation } from 'react-i18next';
import { type Caution, cautionsFor, cautionText } from '../../../shared/visit-work/cautions.ts';
import styles from '../../components/Cautions.module.css';
import { useTell } from '../../i18n/use-tell.ts';

interface Props {
  electricDrive: boolean | null;
  ticked: readonly Caution[];
  onTick(caution: Caution, on: boolean): void;
}

/** The cautions as a list to tick. Nothing is held up by one that is not; it comes back as a reminder. */
export function CautionTicks({ electricDrive, ticked, onTick }: Props) {
  const { t } = useTranslation();
  const tell = useTell();
  return (
    <fieldset className={styles.box}>
      <legend className={styles.legend}>⚠ {t('caution.title')}</legend>
      {cautionsFor(electricDrive).map((caution) => (
        <label key={caution} className={styles.tick}>
          <input
            type="checkbox"
            checked={ticked.includes(caution)}
            onChange={(event) => onTick(caution, event.target.checked)}
          />
          {tell(cautionText(caution))}
        </label>
      ))}
      <p>{t('caution.law')}</p>
    </fieldset>
  );
}
