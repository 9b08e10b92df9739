import { useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { DEBRIS, type FluidUnit } from '../../../shared/diagnosis/inspection.ts';
import type { Message } from '../../../shared/messages/message.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { Choice } from '../../components/Choice.tsx';
import { TextField } from '../../components/Field.tsx';
import { PhotoField } from '../../components/PhotoField.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import styles from './Inspection.module.css';
import type { InspectionForm } from './InspectionScreen.tsx';

interface Props {
  form: InspectionForm;
  visitId: number;
  units: readonly FluidUnit[];
  doubts: readonly { unit: FluidUnit; text: Message }[];
}

/** Each unit with a fluid: what was on its magnet, what came out and went in, how its plugs were tightened. */
export function UnitFields({ form, visitId, units, doubts }: Props) {
  const { t } = useTranslation();
  const tell = useTell();
  return (
    <section aria-labelledby="units-title">
      <h2 id="units-title">{t('inspection.units')}</h2>
      <p className={styles.caution}>⚠ {t('inspection.unitsHint')}</p>
      {units.map((unit, i) => (
        <OneUnit
          key={unit}
          form={form}
          visitId={visitId}
          at={i}
          unit={unit}
          doubts={doubts.filter((d) => d.unit === unit).map((d) => tell(d.text))}
        />
      ))}
    </section>
  );
}

interface OneProps {
  form: InspectionForm;
  visitId: number;
  at: number;
  unit: FluidUnit;
  doubts: readonly string[];
}

function OneUnit({ form, visitId, at, unit, doubts }: OneProps) {
  const { t } = useTranslation();
  const system = useApp((s) => s.settings.units);
  const { bind } = form;
  const photo = useWatch({ control: form.control, name: `units.${at}.photoId` });
  const volume = { unit: unitOf('volume', system) };
  const torque = { unit: unitOf('torque', system) };
  return (
    <fieldset className={styles.unit}>
      <legend>{t(`inspection.unit.${unit}`)}</legend>
      <div className={styles.column}>
        <Choice
          label={t('inspection.debris')}
          none={t('inspection.notLooked')}
          options={DEBRIS.map((word) => [word, t(`inspection.debrisWords.${word}`)])}
          {...bind(`units.${at}.debris`)}
        />
        <PhotoField
          label={t('inspection.photo')}
          visitId={visitId}
          value={photo}
          error={form.bind(`units.${at}.photoId`).error}
          onChange={(value) => form.setValue(`units.${at}.photoId`, value, { shouldDirty: true })}
        />
      </div>
      <div className={styles.column}>
        <Choice
          label={t('inspection.fillFirst')}
          options={[
            ['yes', t('app.yes')],
            ['no', t('app.no')],
          ]}
          {...bind(`units.${at}.fillPlugOpenedFirst`)}
        />
        <div className={styles.pair}>
          <TextField
            label={t('inspection.drained', volume)}
            {...NUMERIC}
            {...bind(`units.${at}.drained_l`)}
          />
          <TextField
            label={t('inspection.refilled', volume)}
            {...NUMERIC}
            {...bind(`units.${at}.refilled_l`)}
          />
        </div>
        <TextField
          label={t('inspection.fluid')}
          hint={t('inspection.fluidHint')}
          {...bind(`units.${at}.fluid`)}
        />
      </div>
      <div className={styles.column}>
        {(['fillPlug', 'drainPlug'] as const).map((plug) => (
          <fieldset key={plug} className={styles.pair}>
            <legend>{t(`inspection.${plug}`)}</legend>
            <TextField
              label={t('inspection.wanted', torque)}
              {...NUMERIC}
              {...bind(`units.${at}.${plug}.wanted_Nm`)}
            />
            <TextField
              label={t('inspection.done', torque)}
              {...NUMERIC}
              {...bind(`units.${at}.${plug}.done_Nm`)}
            />
          </fieldset>
        ))}
        <TextField label={t('inspection.note')} {...bind(`units.${at}.note`)} />
      </div>
      {doubts.length > 0 && (
        <ul className={styles.doubts} aria-label={t('inspection.doubts')}>
          {doubts.map((text) => (
            <li key={text}>⚠ {text}</li>
          ))}
        </ul>
      )}
    </fieldset>
  );
}
