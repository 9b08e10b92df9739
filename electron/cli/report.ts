import { existsSync } from 'node:fs';
import { dirname, extname, join } from 'node:path';
import type { Command } from 'commander';
import { GarageError } from '../../db/error.ts';
import type { ReportFormat } from '../../shared/contract/report-requests.ts';
import { reportOf } from '../../shared/report/report.ts';
import type { ReportData } from '../../shared/report/report-data.ts';
import { defaultSettings } from '../../shared/visit-work/settings.ts';
import { AnalysisDesk } from '../findings/analysis-desk.ts';
import { dataFolder } from '../host/data-folder.ts';
import { bundleReport } from '../report/bundle-report.ts';
import { printWithBrowser, requireBrowser } from '../report/print-pdf.ts';
import { ReportDesk } from '../report/report-desk.ts';
import { reportPdf } from '../report/report-pdf.ts';
import { reportSettings } from '../report/visit-report.ts';
import { writeWhole } from '../report/write-whole.ts';
import { DemoRecordings } from '../service/demo-recordings.ts';
import { settingsOf } from '../visit-work/shop-settings.ts';
import { withGarage } from './garage-commands.ts';
import { CliInputError } from './input-error.ts';
import { print } from './print.ts';

const FORMATS: Readonly<Record<string, ReportFormat>> = { '.html': 'html', '.pdf': 'pdf' };

export function registerReport(program: Command): void {
  program
    .command('report')
    .description('write the report for the owner, of a visit bundle or of a visit of the garage')
    .argument('<bundle|visit>', 'folder with visit.json, or the number of a visit')
    .requiredOption('--out <file>', 'FILE.html or FILE.pdf')
    .action(async (what: string, { out }: { out: string }) => {
      const format = FORMATS[extname(out).toLowerCase()];
      if (!format) throw new CliInputError(`--out: ${out} must end in .html or .pdf`);
      if (!existsSync(dirname(out))) throw new CliInputError(`--out: there is no folder ${dirname(out)}`);
      if (format === 'pdf') requireBrowser();
      const data = /^\d+$/.test(what) ? await ofVisit(Number(what)) : await ofBundle(what);
      await writeWhole(out, format === 'html' ? reportOf(data) : await reportPdf(data, printWithBrowser()));
      print.log(`The report is in ${out}.`);
    });
}

const ofVisit = (visitId: number): Promise<ReportData> =>
  withGarage(async (garage, recordings) => {
    const demo = new DemoRecordings(garage, recordings, () => {});
    let doing = '';
    const analysis = new AnalysisDesk({
      garage,
      recordings,
      ensureSound: (runId) => demo.ensure(runId),
      onProgress: (progress) => {
        if (progress.doing !== doing) print.log(DOING[(doing = progress.doing) as keyof typeof DOING]);
      },
    });
    const desk = new ReportDesk({
      garage,
      dataFolder: dataFolder(),
      analysis,
      mayAnalyse: () => true,
      printPdf: printWithBrowser(),
    });
    try {
      return await desk.data(visitId);
    } finally {
      await analysis.close();
      demo.close();
    }
  });

const DOING = { makingSound: 'Driving the demo car …', analysing: 'Analysing the visit …' };

async function ofBundle(folder: string): Promise<ReportData> {
  const settings = await shopSettings();
  print.log('Analysing the bundle …');
  return bundleReport(folder, settings);
}

/** The shop's own, when this computer has a garage that can be opened; a bundle needs none. */
async function shopSettings(): Promise<ReportData['settings']> {
  const folder = dataFolder();
  const { shop, ...plain } = defaultSettings();
  const unset = { ...plain, shop: { name: shop.name, address: shop.address, logo: null } };
  if (!existsSync(join(folder, 'garage.db'))) return unset;
  try {
    return await withGarage((garage) => reportSettings(settingsOf(garage), garage, folder));
  } catch (cause) {
    if (!(cause instanceof GarageError)) throw cause;
    print.log(`${cause.message} The report goes without the shop’s settings.`);
    return unset;
  }
}
