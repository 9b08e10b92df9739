import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Garage } from '../../db/open.ts';
import type { KeptFindings } from '../../shared/contract/findings-requests.ts';
import type { ReportFormat } from '../../shared/contract/report-requests.ts';
import { reportOf } from '../../shared/report/report.ts';
import type { ReportData } from '../../shared/report/report-data.ts';
import type { AnalysisDesk } from '../findings/analysis-desk.ts';
import { LiveError } from '../live/live-session.ts';
import type { PrintPdf } from './print-pdf.ts';
import { reportPdf } from './report-pdf.ts';
import { visitReport } from './visit-report.ts';
import { writeWhole } from './write-whole.ts';

export interface ReportDeskOptions {
  readonly garage: Garage;
  readonly dataFolder: string;
  readonly analysis: AnalysisDesk;
  /** While a recording runs the processor is not taken from it: what was found earlier is shown. */
  readonly mayAnalyse: () => boolean;
  readonly printPdf: PrintPdf;
}

/** Makes the reports of the garage's visits. */
export class ReportDesk {
  readonly #options: ReportDeskOptions;

  constructor(options: ReportDeskOptions) {
    this.#options = options;
  }

  async html(visitId: number): Promise<string> {
    return reportOf(await this.data(visitId));
  }

  async pdf(visitId: number): Promise<Uint8Array> {
    return reportPdf(await this.data(visitId), this.#options.printPdf);
  }

  /** Writes a report into `reports` and returns its path; one of the same visit and day is replaced. */
  async save(visitId: number, format: ReportFormat): Promise<string> {
    const { dataFolder, printPdf } = this.#options;
    const data = await this.data(visitId);
    const content = format === 'html' ? reportOf(data) : await reportPdf(data, printPdf);
    const folder = join(dataFolder, 'reports');
    await mkdir(folder, { recursive: true });
    const path = join(folder, `${reportName(data)}.${format}`);
    await writeWhole(path, content);
    return path;
  }

  async data(visitId: number): Promise<ReportData> {
    const { garage, dataFolder } = this.#options;
    return visitReport(garage, dataFolder, visitId, await this.#findings(visitId));
  }

  /** What the visit shows as it stands now, analysed when need be; else what was found earlier, or null. */
  async #findings(visitId: number): Promise<KeptFindings | null> {
    const { analysis, mayAnalyse } = this.#options;
    const kept = analysis.kept(visitId);
    if ((kept && kept.outOfDate === null) || !mayAnalyse()) return kept;
    try {
      return (await analysis.analyse(visitId)) ?? kept;
    } catch (cause) {
      // Nothing recorded, or the recordings are gone by now: the report says what is known all the same.
      if (cause instanceof LiveError) return kept;
      throw cause;
    }
  }
}

const LONGEST_NAME = 40;

/** `report-17-estate-car-2026-05-12`: letters, digits and hyphens only, whatever the vehicle is called. */
export function reportName({ visitId, vehicle, madeAt }: ReportData): string {
  const label = vehicle.label
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, LONGEST_NAME)
    .replace(/^-|-$/g, '');
  return ['report', visitId, label, madeAt.slice(0, 10)].filter((part) => part).join('-');
}
