import type { ReactNode } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import type { Form, VisitWork } from '../../shared/contract/visit-work.ts';
import type { WorkForm as Methods } from '../forms/use-work-form.ts';
import { useErrorText } from '../i18n/use-error-text.ts';
import { type LineStep, stepAfter, stepPath } from '../steps.ts';
import { useApp } from '../store/context.ts';
import { Button } from './Button.tsx';
import styles from './WorkPage.module.css';

interface Props {
  work: VisitWork;
  step: LineStep & Form;
  // biome-ignore lint/suspicious/noExplicitAny: only what all forms have is used here
  form: Methods<any>;
  children: ReactNode;
}

/** A step's form: saved with Enter, and on to the next step; skipped, it comes back as a reminder. */
export function WorkForm({ work, step, form, children }: Props) {
  const { t } = useTranslation();
  const errorText = useErrorText();
  const [, navigate] = useLocation();
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  const next = stepAfter(step);
  const goOn = () => {
    if (next) navigate(stepPath(work.visitId, next));
  };
  const skip = async () => {
    try {
      await changeWork('work.skip', { visitId: work.visitId, step, skipped: true });
      goOn();
    } catch (error) {
      fail(error);
    }
  };
  const { errors, isSubmitting } = form.formState;
  const faults = Object.keys(errors).length;
  return (
    <form
      className={styles.form}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void form.send().then((accepted) => accepted && goOn());
      }}
    >
      {children}
      <div className={styles.go}>
        <Button type="submit" primary disabled={isSubmitting}>
          {next ? t('work.saveAndOn', { step: t(`work.step.${next}`) }) : t('form.save')}
        </Button>
        <Button onClick={() => void form.send()}>{t('form.save')}</Button>
        {!work.done.includes(step) && <Button onClick={() => void skip()}>{t('work.skip')}</Button>}
        {work.drafts[step] !== undefined && (
          <>
            <Button onClick={() => form.forget()}>{t('work.forget')}</Button>
            <span className={styles.soft}>{t('work.keptAsTyped')}</span>
          </>
        )}
        {faults > 0 && (
          <p className={styles.fault} role="alert">
            ⚠ {typeof errors.root?.message === 'string' ? errorText(errors.root.message) : t('work.refused')}
          </p>
        )}
      </div>
    </form>
  );
}
