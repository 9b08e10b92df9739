import { useMemo } from 'react';
import { useTranslation } from 'react-i18next';
import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import { hardStops, inspectionDoubts, inspectionWeights } from '../../../shared/diagnosis/inspection.ts';
import { type Inspection, InspectionSchema } from '../../../shared/visit-work/inspection.ts';
import { TextArea } from '../../components/Field.tsx';
import { FieldGroup, Wide } from '../../components/FieldGroup.tsx';
import { HardStops } from '../../components/HardStops.tsx';
import { WorkForm } from '../../components/WorkForm.tsx';
import { WorkPage } from '../../components/WorkPage.tsx';
import type { Texts } from '../../forms/texts.ts';
import { useLiveValue } from '../../forms/use-live-value.ts';
import { type WorkForm as Methods, useWorkForm } from '../../forms/use-work-form.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import styles from './Inspection.module.css';
import { UnitFields } from './UnitFields.tsx';
import { WheelFields } from './WheelFields.tsx';
import { wholeInspection } from './whole-inspection.ts';

export type InspectionForm = Methods<Texts<Inspection>>;

/** What eyes, hands and the drain plug say, with the weight of each finding beside it. */
export function InspectionScreen({ visitId }: { visitId: number }) {
  return (
    <WorkPage visitId={visitId} step="inspection">
      {(work) => <InspectionFields work={work} />}
    </WorkPage>
  );
}

function InspectionFields({ work }: { work: VisitWork }) {
  const { visitId } = work;
  const { t } = useTranslation();
  const tell = useTell();
  const changeWork = useApp((s) => s.changeWork);
  const units = useApp((s) => s.settings.units);
  const { layout } = work.intake.driveline;
  const saved = useMemo(() => wholeInspection(work.inspection, layout), [work.inspection, layout]);
  const form: InspectionForm = useWorkForm({
    form: 'inspection',
    visitId,
    schema: InspectionSchema,
    saved,
    draft: work.drafts.inspection,
    units,
    inside: 'inspection',
    save: async (inspection) => void (await changeWork('work.saveInspection', { visitId, inspection })),
  });
  const now = useLiveValue(InspectionSchema, form, saved, units);
  const weights = inspectionWeights(now);
  const doubts = inspectionDoubts(now);
  return (
    <WorkForm work={work} step="inspection" form={form}>
      <HardStops stops={hardStops(now)} />
      <p className={styles.caution}>⚠ {t('inspection.lift')}</p>
      <WheelFields form={form} wheels={saved.wheels.map((w) => w.wheel)} />
      <UnitFields form={form} visitId={visitId} units={saved.units.map((u) => u.unit)} doubts={doubts} />
      <FieldGroup title={t('inspection.note')}>
        <Wide>
          <TextArea label={t('inspection.note')} {...form.bind('note')} />
        </Wide>
      </FieldGroup>
      <section className={styles.weights} aria-labelledby="weights-title">
        <h2 id="weights-title">{t('inspection.weights')}</h2>
        <p className={styles.soft}>
          {t(weights.length > 0 ? 'inspection.weightsHint' : 'inspection.noWeights')}
        </p>
        <ul>
          {weights.map(({ source, kind, position, text }) => (
            <li key={`${kind} ${position}`}>
              <b>{t(`part.${source}`)}</b> {tell(text)}
            </li>
          ))}
        </ul>
      </section>
    </WorkForm>
  );
}
