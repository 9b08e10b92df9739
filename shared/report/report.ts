import { reportContent } from './content/report-content.ts';
import { type Density, reportHtml } from './layout/report-html.ts';
import type { ReportData } from './report-data.ts';
import { reportWords } from './words.ts';

/** The report of a visit in the language and units of the settings: a self-contained HTML document. */
export function reportOf(data: ReportData, density: Density = 'normal'): string {
  const words = reportWords(data.settings.language, data.settings.units);
  return reportHtml(reportContent(data, words), words, density);
}
