import { DENSITIES } from '../../shared/report/layout/report-html.ts';
import { reportOf } from '../../shared/report/report.ts';
import type { ReportData } from '../../shared/report/report-data.ts';
import type { PrintPdf } from './print-pdf.ts';

const MOST_PAGES = 2;

/**
 * Pages of a PDF as Chromium writes it: every page object stands uncompressed in the file (ISO 32000-1, 7.7.3.3).
 */
export const pageCount = (pdf: Uint8Array): number =>
  Buffer.from(pdf)
    .toString('latin1')
    .match(/\/Type\s*\/Page(?![a-zA-Z])/g)?.length ?? 0;

/** The report as a PDF, in the largest type in which it fits its two pages. */
export async function reportPdf(data: ReportData, print: PrintPdf): Promise<Uint8Array> {
  let pdf = new Uint8Array();
  for (const density of DENSITIES) {
    pdf = new Uint8Array(await print(reportOf(data, density)));
    if (pageCount(pdf) <= MOST_PAGES) break;
  }
  return pdf;
}
