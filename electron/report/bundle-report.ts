import type { ReportData } from '../../shared/report/report-data.ts';
import { runInWorker, type WorkerOptions } from '../analysis/run-in-worker.ts';
import { checkRecording, readVisit } from '../bundles/read-bundle.ts';
import { reportRun } from './report-run.ts';

/** Analyses a visit bundle for its report. @throws {BundleError} naming the file and the field */
export async function bundleReport(
  folder: string,
  settings: ReportData['settings'],
  options: WorkerOptions = {},
): Promise<ReportData> {
  const visit = await readVisit(folder);
  const findings = await runInWorker('analyseBundle', { folder }, options);
  const durations = await Promise.all(
    visit.runs.map((run, i) =>
      checkRecording(folder, run, `runs[${i}]`).then(
        ({ frames, sampleRate_Hz }) => frames / sampleRate_Hz,
        // The findings say why this recording was left out.
        () => null,
      ),
    ),
  );
  const { vehicle } = visit;
  return {
    settings,
    madeAt: new Date().toISOString(),
    visitId: null,
    startedAt: visit.runs[0]?.startedAt ?? null,
    odometer_km: vehicle.odometer_km ?? null,
    vehicle: {
      label: vehicle.label,
      plate: '',
      vin: null,
      layout: vehicle.layout,
      electricDrive: vehicle.electricDrive ?? null,
    },
    complaint: '',
    heard: null,
    runs: visit.runs.map((run, i) => reportRun(run, durations[i]!, run.speed ?? null)),
    findings,
    inspection: null,
    decision: null,
    comparison: null,
  };
}
