import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import { VISIT_WORK_REQUESTS } from '../../../shared/contract/visit-work-requests.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextField } from '../../components/Field.tsx';
import { FieldGroup } from '../../components/FieldGroup.tsx';
import page from '../../components/WorkPage.module.css';
import { WorkPage } from '../../components/WorkPage.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useWorkForm } from '../../forms/use-work-form.ts';
import { useErrorText } from '../../i18n/use-error-text.ts';
import { stepPath } from '../../steps.ts';
import { useApp } from '../../store/context.ts';
import { Manoeuvres } from './Manoeuvres.tsx';

const WishesSchema = VISIT_WORK_REQUESTS['roadCard.propose'].input.pick({
  neutralAllowed: true,
  limit_km_h: true,
});
/** Until the technician says otherwise: what most country roads allow. */
const USUAL = { neutralAllowed: false, limit_km_h: 100 };

/** What to drive, so that the candidates come apart; and how much of it has been driven. */
export function RoadCardScreen({ visitId }: { visitId: number }) {
  return (
    <WorkPage visitId={visitId} step="roadCard">
      {(work) => <RoadCardFields work={work} />}
    </WorkPage>
  );
}

function RoadCardFields({ work }: { work: VisitWork }) {
  const { visitId } = work;
  const { t } = useTranslation();
  const errorText = useErrorText();
  const [, navigate] = useLocation();
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  const units = useApp((s) => s.settings.units);
  const findings = useApp((s) => (s.findings?.visitId === visitId ? s.findings.findings : null));
  const lookUpFindings = useApp((s) => s.lookUpFindings);
  useEffect(() => void lookUpFindings(visitId), [lookUpFindings, visitId]);
  const form = useWorkForm({
    form: 'roadCard',
    visitId,
    schema: WishesSchema,
    saved: USUAL,
    draft: work.drafts.roadCard,
    units,
    inside: '',
    save: async (wishes) => {
      const open = findings?.sources.map(({ source, probability }) => ({ source, probability })) ?? null;
      await changeWork('roadCard.propose', { visitId, open, ...wishes });
    },
  });
  const skip = () =>
    changeWork('work.skip', { visitId, step: 'roadCard', skipped: true }).then(
      () => navigate(stepPath(visitId, 'findings')),
      fail,
    );
  const { errors } = form.formState;
  return (
    <div className={page.form}>
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void form.send();
        }}
      >
        <FieldGroup title={t('road.wishes')}>
          <TextField
            label={t('road.limit', { unit: unitOf('speed', units) })}
            {...NUMERIC}
            {...form.bind('limit_km_h')}
          />
          <SelectField
            label={t('road.neutral')}
            hint={t('road.neutralHint')}
            {...form.bind('neutralAllowed')}
          >
            <option value="no">{t('road.neutralNo')}</option>
            <option value="yes">{t('road.neutralYes')}</option>
          </SelectField>
          <div>
            <Button type="submit" primary={!work.roadCard}>
              {t(work.roadCard ? 'road.proposeAnew' : 'road.propose')}
            </Button>
            {errors.root && (
              <p className={page.fault} role="alert">
                ⚠ {errorText(String(errors.root.message))}
              </p>
            )}
          </div>
        </FieldGroup>
      </form>
      {work.roadCard && <Manoeuvres work={work} card={work.roadCard} />}
      <div className={page.go}>
        <DriveButton work={work} />
        <Button onClick={() => navigate(stepPath(visitId, 'findings'))}>
          {t('work.goOn', { step: t('work.step.findings') })}
        </Button>
        {!work.done.includes('roadCard') && <Button onClick={() => void skip()}>{t('work.skip')}</Button>}
      </div>
    </div>
  );
}

/** Into the live view, led by the card where there is one; first to the set-up where nothing is connected. */
function DriveButton({ work }: { work: VisitWork }) {
  const { visitId, roadCard } = work;
  const { t } = useTranslation();
  const [, navigate] = useLocation();
  const connected = useApp((s) => s.live?.source != null && s.live.phase !== 'playing');
  const followCard = useApp((s) => s.followCard);
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  if (!connected)
    return (
      <Button primary={roadCard !== null} onClick={() => navigate(stepPath(visitId, 'rigging'))}>
        {t('road.connectFirst')}
      </Button>
    );
  const drive = async () => {
    if (roadCard) await followCard(visitId);
    await changeWork('work.goTo', { visitId, step: 'drive' }).catch(fail);
    navigate('/live');
  };
  return (
    <Button primary={roadCard !== null} onClick={() => void drive()}>
      {t(roadCard ? 'road.drive' : 'road.driveWithout')}
    </Button>
  );
}
