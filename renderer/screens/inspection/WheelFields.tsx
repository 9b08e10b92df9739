import { useTranslation } from 'react-i18next';
import { DRAG, PLAY, TYRE_WEAR } from '../../../shared/diagnosis/inspection.ts';
import type { Wheel } from '../../../shared/driveline/words.ts';
import { Choice } from '../../components/Choice.tsx';
import { TextField } from '../../components/Field.tsx';
import styles from './Inspection.module.css';
import type { InspectionForm } from './InspectionScreen.tsx';

/** Each wheel: play, how its bearing turns, how its tyre has worn. */
export function WheelFields({ form, wheels }: { form: InspectionForm; wheels: readonly Wheel[] }) {
  const { t } = useTranslation();
  const { bind } = form;
  const none = t('inspection.notLooked');
  return (
    <section aria-labelledby="wheels-title">
      <h2 id="wheels-title">{t('inspection.wheels')}</h2>
      <p className={styles.soft}>{t('inspection.playHint')}</p>
      <div className={styles.wheels}>
        {wheels.map((wheel, i) => (
          <fieldset key={wheel} className={styles.wheel}>
            <legend>{t(`wheel.${wheel}`)}</legend>
            <Choice
              label={t('inspection.play')}
              none={none}
              options={PLAY.map((word) => [word, t(`inspection.playWords.${word}`)])}
              {...bind(`wheels.${i}.play`)}
            />
            <Choice
              label={t('inspection.drag')}
              none={none}
              options={DRAG.map((word) => [word, t(`inspection.dragWords.${word}`)])}
              {...bind(`wheels.${i}.drag`)}
            />
            <Choice
              label={t('inspection.tyreWear')}
              none={none}
              options={TYRE_WEAR.map((word) => [word, t(`inspection.tyreWearWords.${word}`)])}
              {...bind(`wheels.${i}.tyreWear`)}
            />
            <TextField label={t('inspection.note')} {...bind(`wheels.${i}.note`)} />
          </fieldset>
        ))}
      </div>
    </section>
  );
}
