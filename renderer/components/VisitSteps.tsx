import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import { type LineStep, stepAfter, stepPath } from '../steps.ts';
import { Button } from './Button.tsx';
import { StepLine } from './StepLine.tsx';
import { useStep } from './WorkPage.tsx';

/** The line of steps over a screen that brings its own content, with the way on. */
export function VisitSteps({ visitId, step }: { visitId: number; step: LineStep }) {
  const { t } = useTranslation();
  const [, navigate] = useLocation();
  const work = useStep(visitId, step);
  const next = stepAfter(step);
  if (!work) return null;
  return (
    <>
      <StepLine work={work} step={step} />
      {next && (
        <div>
          <Button onClick={() => navigate(stepPath(visitId, next))}>
            {t('work.goOn', { step: t(`work.step.${next}`) })}
          </Button>
        </div>
      )}
    </>
  );
}
