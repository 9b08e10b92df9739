import type { Garage } from '../../db/open.ts';
import type { KeptFindings } from '../../shared/contract/findings-requests.ts';
import type { Run } from '../../shared/contract/garage.ts';
import type { ReportData, ReportLogo, ReportRun } from '../../shared/report/report-data.ts';
import type { Settings } from '../../shared/visit-work/settings.ts';
import { speedOf } from '../bundles/recorded-speed.ts';
import { compareGarageVisits } from '../returning/compare-visits.ts';
import { AttachmentsFolder } from '../visit-work/attachments-folder.ts';
import { settingsOf } from '../visit-work/shop-settings.ts';
import { VisitDesk } from '../visit-work/visit-desk.ts';
import { reportRun } from './report-run.ts';

/** Gathers what the garage knows of a visit for its report. @throws {GarageError} when there is no such visit */
export async function visitReport(
  garage: Garage,
  dataFolder: string,
  visitId: number,
  kept: KeptFindings | null,
): Promise<ReportData> {
  const visit = garage.visits.get(visitId);
  const vehicle = garage.vehicles.get(visit.vehicleId);
  const { intake, inspection, decision, done } = new VisitDesk(garage).get(visitId);
  return {
    settings: await reportSettings(settingsOf(garage), garage, dataFolder),
    madeAt: new Date().toISOString(),
    visitId,
    startedAt: visit.startedAt,
    odometer_km: visit.odometer_km,
    vehicle: {
      label: vehicle.spec.label,
      plate: vehicle.plate,
      vin: vehicle.vin,
      layout: intake.driveline.layout,
      electricDrive: intake.driveline.electricDrive,
    },
    complaint: intake.ownerWords,
    heard: intake.heard,
    runs: inOrderOf(kept?.runIds ?? [], visit.runs).map((run) => runOf(garage, run)),
    findings: kept?.findings ?? null,
    inspection: done.includes('inspection') ? inspection : null,
    decision: done.includes('decision') ? decision : null,
    comparison: comparisonWithLast(garage, visit.vehicleId, visitId),
  };
}

/** The settings as far as a report needs them, with the logo's picture in them. */
export async function reportSettings(
  settings: Settings,
  garage: Garage,
  dataFolder: string,
): Promise<ReportData['settings']> {
  const { units, language, currency, labourRate_per_h, tax_percent, shop } = settings;
  const logo = shop.logoId === null ? null : await logoOf(garage, dataFolder, shop.logoId);
  return {
    units,
    language,
    currency,
    labourRate_per_h,
    tax_percent,
    shop: { name: shop.name, address: shop.address, logo },
  };
}

/** A logo that is gone or damaged must not keep the owner from the report. */
async function logoOf(garage: Garage, dataFolder: string, logoId: number): Promise<ReportLogo | null> {
  try {
    const { file, sha256, mediaType } = garage.attachments.get(logoId);
    const bytes = await new AttachmentsFolder(dataFolder).read(file, sha256);
    return { mediaType, base64: Buffer.from(bytes).toString('base64') };
  } catch {
    return null;
  }
}

/** Run k of the findings is the k-th; those that were not analysed follow. */
function inOrderOf(runIds: readonly number[], runs: readonly Run[]): Run[] {
  const place = (run: Run): number => {
    const at = runIds.indexOf(run.id);
    return at < 0 ? runIds.length : at;
  };
  return runs.filter((r) => r.state !== 'recording').sort((a, b) => place(a) - place(b));
}

function runOf(garage: Garage, run: Run): ReportRun {
  return reportRun(run, run.frames / run.sampleRate_Hz, speedOf(garage, run.id));
}

function comparisonWithLast(garage: Garage, vehicleId: number, visitId: number): ReportData['comparison'] {
  const { visits } = garage.vehicles.page(vehicleId);
  const before = visits.slice(visits.findIndex((v) => v.id === visitId) + 1);
  const last = before.find((v) => v.runs > 0);
  if (!last) return null;
  const { differences, refused } = compareGarageVisits(garage, last.id, visitId);
  return { earlierAt: last.startedAt, differences, refused };
}
