import { useTranslation } from 'react-i18next';
import type { OptionAdvice } from '../../../shared/decision/advice.ts';
import type { OptionSum, Step } from '../../../shared/decision/arithmetic.ts';
import type { Decision, Option } from '../../../shared/decision/decision.ts';
import { LOCALES } from '../../../shared/messages/tell.ts';
import { moneyText } from '../../../shared/units/money.ts';
import { withUnit } from '../../../shared/units/units.ts';
import { TextField } from '../../components/Field.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import { ChanceField } from './ChanceField.tsx';
import styles from './Decision.module.css';
import type { DecisionForm } from './DecisionScreen.tsx';
import { PartLines } from './PartLines.tsx';

interface Props {
  option: Option;
  form: DecisionForm;
  sum: OptionSum;
  advice: OptionAdvice;
  now: Decision;
}

/** One option: what it takes, what it costs with the way it was reckoned, and what it risks. */
export function OptionColumn({ option, form, sum, advice, now }: Props) {
  const { t } = useTranslation();
  const tell = useTell();
  const { currency, units, language } = useApp((s) => s.settings);
  const locale = LOCALES[language][units];
  const money = (minor: number) => moneyText(minor, currency, locale);
  const distance = withUnit(now.horizon_km, 'distance', units, locale);
  const chosen = now.chosen === option;
  return (
    <section
      className={`${styles.option} ${chosen ? styles.chosen : ''} ${advice.offered ? '' : styles.barred}`}
      aria-labelledby={`option-${option}`}
    >
      <h3 id={`option-${option}`}>
        {t(`decision.option.${option}`)} <small>{t(`decision.fits.${advice.fits}`)}</small>
      </h3>
      {!advice.offered && <p className={styles.stop}>⚠ {t('decision.notOffered')}</p>}
      <dl className={styles.result}>
        <dt>{t('decision.now')}</dt>
        <dd>{sum.now === null ? t('decision.noPrice') : money(sum.now)}</dd>
        <dt>{t('decision.expected', { distance })}</dt>
        <dd>{sum.expected ? money(sum.expected.minor) : t('decision.noExpected')}</dd>
      </dl>
      <ul className={styles.risk} aria-label={t('decision.risk')}>
        {advice.risk.map(tell).map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
      <PartLines option={option} form={form} />
      <TextField
        label={t('decision.labour')}
        {...NUMERIC}
        {...form.bind(`options.${option}.cost.labour_h`)}
      />
      <ChanceField option={option} form={form} now={now} />
      {sum.steps.length > 0 && <h4>{t('decision.sum')}</h4>}
      <Reckoning steps={[...sum.steps, ...(sum.expected?.steps ?? [])]} money={money} />
      {sum.notes.map(tell).map((note) => (
        <p key={note} className={styles.note}>
          {note}
        </p>
      ))}
    </section>
  );
}

function Reckoning({ steps, money }: { steps: readonly Step[]; money(minor: number): string }) {
  const tell = useTell();
  if (steps.length === 0) return null;
  return (
    <table className={styles.steps}>
      <tbody>
        {steps.map((step, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: two parts may have the same words, and the lines keep their order
          <tr key={i}>
            <th scope="row">
              {tell(step.label)}
              <span>{tell(step.reckoning)}</span>
            </th>
            <td>{money(step.minor)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
