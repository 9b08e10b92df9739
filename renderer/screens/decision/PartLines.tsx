import { useFieldArray } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import type { Option } from '../../../shared/decision/decision.ts';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useApp } from '../../store/context.ts';
import styles from './Decision.module.css';
import type { DecisionForm } from './DecisionScreen.tsx';

/** Parts and materials of an option, net. */
export function PartLines({ option, form }: { option: Option; form: DecisionForm }) {
  const { t } = useTranslation();
  const currency = useApp((s) => s.settings.currency);
  const name = `options.${option}.cost.parts` as const;
  const { fields, append, remove } = useFieldArray({ control: form.control, name });
  return (
    <div className={styles.parts}>
      {fields.map(({ id }, i) => (
        <div key={id} className={styles.part}>
          <TextField label={t('decision.part')} {...form.bind(`${name}.${i}.name`)} />
          <div className={styles.amounts}>
            <TextField label={t('decision.quantity')} {...NUMERIC} {...form.bind(`${name}.${i}.quantity`)} />
            <TextField
              label={t('decision.price', { currency })}
              {...NUMERIC}
              {...form.bind(`${name}.${i}.unitPrice`)}
            />
            <Button aria-label={t('decision.removePart', { number: i + 1 })} onClick={() => remove(i)}>
              ✕
            </Button>
          </div>
        </div>
      ))}
      <Button onClick={() => append({ name: '', quantity: '1', unitPrice: '' })}>
        {t('decision.addPart')}
      </Button>
    </div>
  );
}
