import { useTranslation } from 'react-i18next';
import { unitOf } from '../../../shared/units/units.ts';
import { Choice } from '../../components/Choice.tsx';
import { TextArea, TextField } from '../../components/Field.tsx';
import { FieldGroup, Wide } from '../../components/FieldGroup.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useApp } from '../../store/context.ts';
import type { IntakeForm } from './IntakeScreen.tsx';
import { useAdds } from './use-adds.ts';

const HEARD = {
  bend: ['left', 'right', 'both', 'noDifference'],
  torque: ['drive', 'coast', 'float', 'noDifference'],
  laden: ['louder', 'noDifference'],
  warmth: ['cold', 'warm', 'noDifference'],
  surface: ['changes', 'noDifference'],
  standing: ['yes', 'no'],
} as const;

/** The owner's words, and when he hears it. */
export function ComplaintFields({ form }: { form: IntakeForm }) {
  const { t } = useTranslation();
  const addsOf = useAdds();
  const units = useApp((s) => s.settings.units);
  const { bind } = form;
  const speed = { unit: unitOf('speed', units) };
  return (
    <FieldGroup title={t('intake.complaint')}>
      <Wide>
        <TextArea
          label={t('intake.ownerWords')}
          hint={addsOf('ownerWords')}
          autoFocus
          {...bind('ownerWords')}
        />
      </Wide>
      <TextField
        label={t('intake.speedFrom', speed)}
        hint={addsOf('heard.speedFrom_km_h')}
        {...NUMERIC}
        {...bind('heard.speedFrom_km_h')}
      />
      <TextField label={t('intake.speedTo', speed)} {...NUMERIC} {...bind('heard.speedTo_km_h')} />
      {(Object.keys(HEARD) as (keyof typeof HEARD)[]).map((key) => (
        <Choice
          key={key}
          label={t(`intake.heard.${key}.label`)}
          hint={addsOf(`heard.${key}`)}
          options={HEARD[key].map((value) => [
            value,
            t(`intake.heard.${key}.${value}` as 'intake.heard.bend.left'),
          ])}
          {...bind(`heard.${key}`)}
        />
      ))}
    </FieldGroup>
  );
}
