import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import { type Intake, IntakeSchema } from '../../../shared/visit-work/intake.ts';
import { WorkForm } from '../../components/WorkForm.tsx';
import { WorkPage } from '../../components/WorkPage.tsx';
import type { Texts } from '../../forms/texts.ts';
import { type WorkForm as Methods, useWorkForm } from '../../forms/use-work-form.ts';
import { useApp } from '../../store/context.ts';
import { ComplaintFields } from './ComplaintFields.tsx';
import { DrivelineFields } from './DrivelineFields.tsx';
import { TyreFields } from './TyreFields.tsx';
import { VehicleFields } from './VehicleFields.tsx';

export type IntakeForm = Methods<Texts<Intake>>;

/** What the owner says and what is known of the vehicle; all of it may stay open, and says what it would add. */
export function IntakeScreen({ visitId }: { visitId: number }) {
  return (
    <WorkPage visitId={visitId} step="intake">
      {(work) => <IntakeFields work={work} />}
    </WorkPage>
  );
}

function IntakeFields({ work }: { work: VisitWork }) {
  const { visitId } = work;
  const changeWork = useApp((s) => s.changeWork);
  const units = useApp((s) => s.settings.units);
  const form: IntakeForm = useWorkForm({
    form: 'intake',
    visitId,
    schema: IntakeSchema,
    saved: work.intake,
    draft: work.drafts.intake,
    units,
    inside: 'intake',
    save: async (intake) => void (await changeWork('work.saveIntake', { visitId, intake })),
  });
  return (
    <WorkForm work={work} step="intake" form={form}>
      <ComplaintFields form={form} />
      <VehicleFields form={form} />
      <TyreFields form={form} />
      <DrivelineFields form={form} />
    </WorkForm>
  );
}
