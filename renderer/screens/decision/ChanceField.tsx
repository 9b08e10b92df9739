import { useState } from 'react';
import { useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { chanceFromHistory } from '../../../shared/decision/arithmetic.ts';
import type { Decision, Option } from '../../../shared/decision/decision.ts';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { percentText } from '../../forms/texts.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import styles from './Decision.module.css';
import type { DecisionForm } from './DecisionScreen.tsx';

interface Props {
  option: Option;
  form: DecisionForm;
  now: Decision;
}

/** How likely the part must be replaced all the same: estimated, or known from the shop's own cars, or not known. */
export function ChanceField({ option, form, now }: Props) {
  const { t } = useTranslation();
  const tell = useTell();
  const askHistory = useApp((s) => s.askHistory);
  const [told, setTold] = useState<string>();
  const later = `options.${option}.later` as const;
  const from = useWatch({ control: form.control, name: `${later}.from` });
  const { error, onChange, ...probability } = form.bind(`${later}.probability`);
  const set = (chance: string, by: string) => {
    form.setValue(`${later}.probability`, chance);
    form.setValue(`${later}.from`, by);
  };
  const ask = async (source: NonNullable<Decision['source']>) => {
    const history = await askHistory(source, now.horizon_km);
    if (!history) return;
    const { later: known, text } = chanceFromHistory(history);
    setTold(tell(text));
    if (known) set(percentText(known.probability), known.from);
  };
  const source = now.source;
  return (
    <div className={styles.chance}>
      <TextField
        label={t('decision.chance')}
        hint={told ?? t(`decision.chanceHint.${option === 'replace' ? 'replace' : 'other'}`)}
        error={error}
        {...NUMERIC}
        {...probability}
        onChange={(event) => {
          form.setValue(`${later}.from`, event.target.value.trim() === '' ? '' : 'technician');
          return onChange(event);
        }}
      />
      {from !== '' && (
        <span className={styles.soft}>
          {t(from === 'shopHistory' ? 'decision.fromShop' : 'decision.fromTechnician')}
        </span>
      )}
      {source !== null && option !== 'replace' && (
        <Button onClick={() => void ask(source)}>{t('decision.fromHistory')}</Button>
      )}
    </div>
  );
}
