import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import { Button } from '../../components/Button.tsx';
import page from '../../components/WorkPage.module.css';
import { WorkPage } from '../../components/WorkPage.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import { ReportPreview } from './ReportPreview.tsx';

/** The report as the owner gets it, to be looked at, saved, and the visit finished. */
export function ReportScreen({ visitId }: { visitId: number }) {
  return (
    <WorkPage visitId={visitId} step="report">
      {(work) => <Report work={work} />}
    </WorkPage>
  );
}

function Report({ work }: { work: VisitWork }) {
  const { visitId, finishedAt } = work;
  const { t } = useTranslation();
  const tell = useTell();
  const report = useApp((s) => (s.report?.visitId === visitId ? s.report : null));
  const makeReport = useApp((s) => s.makeReport);
  const saveReport = useApp((s) => s.saveReport);
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  useEffect(() => void makeReport(visitId), [makeReport, visitId]);
  const finish = () => changeWork('work.finish', { visitId, finished: finishedAt === null }).catch(fail);
  const busy = report?.making === true || report?.saving === true;
  return (
    <div className={page.form}>
      {report?.problem && <p role="alert">⚠ {tell(report.problem)}</p>}
      {report?.html ? (
        <ReportPreview html={report.html} />
      ) : (
        <p aria-busy={report?.making}>{t(report?.making === false ? 'report.none' : 'report.making')}</p>
      )}
      <div className={page.go}>
        <Button primary disabled={busy} onClick={() => void saveReport(visitId, 'pdf')}>
          {t('report.savePdf')}
        </Button>
        <Button disabled={busy} onClick={() => void saveReport(visitId, 'html')}>
          {t('report.saveHtml')}
        </Button>
        <Button disabled={busy} onClick={() => void makeReport(visitId)}>
          {t('report.again')}
        </Button>
        <Button onClick={() => void finish()}>
          {t(finishedAt === null ? 'work.finish' : 'work.reopen')}
        </Button>
        <p role="status">
          {report?.saving
            ? t('report.saving')
            : report?.savedAs
              ? t('report.saved', { path: report.savedAs })
              : finishedAt !== null && t('work.finished')}
        </p>
      </div>
    </div>
  );
}
