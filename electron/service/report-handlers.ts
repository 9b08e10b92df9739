import type { REPORT_REQUESTS } from '../../shared/contract/report-requests.ts';
import type { ReportDesk } from '../report/report-desk.ts';
import type { Handlers } from './dispatch.ts';

/** The report for the owner behind its requests. */
export const reportHandlers = (desk: ReportDesk): Pick<Handlers, keyof typeof REPORT_REQUESTS> => ({
  'report.preview': async ({ visitId }) => ({ html: await desk.html(visitId) }),
  'report.save': async ({ visitId, format }) => ({ path: await desk.save(visitId, format), format }),
});
