import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import { adviceOn } from '../../../shared/decision/advice.ts';
import { optionSums } from '../../../shared/decision/arithmetic.ts';
import { type Decision, DecisionSchema, OPTIONS } from '../../../shared/decision/decision.ts';
import { SOURCES } from '../../../shared/driveline/words.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { Choice } from '../../components/Choice.tsx';
import { SelectField, TextArea, TextField } from '../../components/Field.tsx';
import { FieldGroup, Wide } from '../../components/FieldGroup.tsx';
import { HardStops } from '../../components/HardStops.tsx';
import { WorkForm } from '../../components/WorkForm.tsx';
import { WorkPage } from '../../components/WorkPage.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import type { Texts } from '../../forms/texts.ts';
import { useLiveValue } from '../../forms/use-live-value.ts';
import { type WorkForm as Methods, useWorkForm } from '../../forms/use-work-form.ts';
import { useApp } from '../../store/context.ts';
import styles from './Decision.module.css';
import { OptionColumn } from './OptionColumn.tsx';

export type DecisionForm = Methods<Texts<Decision>>;

/** The options side by side, each with its price, its reckoning and its risk in words. */
export function DecisionScreen({ visitId }: { visitId: number }) {
  return (
    <WorkPage visitId={visitId} step="decision">
      {(work) => <DecisionFields work={work} />}
    </WorkPage>
  );
}

function DecisionFields({ work }: { work: VisitWork }) {
  const { visitId } = work;
  const { t } = useTranslation();
  const changeWork = useApp((s) => s.changeWork);
  const settings = useApp((s) => s.settings);
  const { units, currency } = settings;
  const findings = useApp((s) => (s.findings?.visitId === visitId ? s.findings.findings : null));
  const lookUpFindings = useApp((s) => s.lookUpFindings);
  useEffect(() => void lookUpFindings(visitId), [lookUpFindings, visitId]);
  const form: DecisionForm = useWorkForm({
    form: 'decision',
    visitId,
    schema: DecisionSchema,
    saved: work.decision,
    draft: work.drafts.decision,
    units,
    inside: 'decision',
    save: async (decision) => void (await changeWork('work.saveDecision', { visitId, decision })),
  });
  const now = useLiveValue(DecisionSchema, form, work.decision, units);
  const verdict = findings?.verdict ?? null;
  const { source, levelHasRisen } = now;
  const advice = adviceOn({ inspection: work.inspection, verdict, source, levelHasRisen });
  const sums = optionSums(now, settings);
  const { bind } = form;
  const yesNo = (yes: string, no: string) => [['yes', yes] as const, ['no', no] as const];
  return (
    <WorkForm work={work} step="decision" form={form}>
      <HardStops stops={advice.stops} />
      <FieldGroup title={t('decision.about')}>
        <Choice
          label={t('decision.source')}
          none={t('decision.noSource')}
          options={SOURCES.map((source) => [source, t(`part.${source}`)])}
          {...bind('source')}
        />
        <TextField
          label={t('decision.horizon', { unit: unitOf('distance', units) })}
          hint={t('decision.horizonHint')}
          {...NUMERIC}
          {...bind('horizon_km')}
        />
        <TextField
          label={t('decision.failureExtra', { currency })}
          hint={t('decision.failureExtraHint')}
          {...NUMERIC}
          {...bind('failureExtra')}
        />
        <Choice
          label={t('decision.risen')}
          options={yesNo(t('decision.risenYes'), t('decision.risenNo'))}
          {...bind('levelHasRisen')}
        />
      </FieldGroup>
      <section aria-labelledby="options-title">
        <h2 id="options-title">{t('decision.options')}</h2>
        <p>
          <Link href="/settings">{t('decision.setRates')}</Link>
        </p>
        <div className={styles.options}>
          {OPTIONS.map((option) => (
            <OptionColumn
              key={option}
              option={option}
              form={form}
              sum={sums.find((s) => s.option === option)!}
              advice={advice.options.find((o) => o.option === option)!}
              now={now}
            />
          ))}
        </div>
      </section>
      <FieldGroup title={t('decision.chosen')}>
        <Choice
          label={t('decision.choice')}
          none={t('decision.notChosen')}
          options={OPTIONS.map((option) => [option, t(`decision.option.${option}`)])}
          {...bind('chosen')}
        />
        <SelectField label={t('decision.carriedOut')} {...bind('carriedOut')}>
          <option value="no">{t('decision.carriedOutNo')}</option>
          <option value="yes">{t('decision.carriedOutYes')}</option>
        </SelectField>
        <TextField label={t('decision.nextDate')} type="date" {...bind('nextCheck.date')} />
        <TextField
          label={t('decision.nextOdometer', { unit: unitOf('distance', units) })}
          {...NUMERIC}
          {...bind('nextCheck.odometer_km')}
        />
        <Wide>
          <TextArea label={t('decision.reason')} {...bind('reason')} />
        </Wide>
      </FieldGroup>
    </WorkForm>
  );
}
