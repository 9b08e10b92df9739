import { createHash } from 'node:crypto';
import type { Garage } from '../../db/open.ts';
import { DIAGNOSIS_METHOD } from '../../shared/diagnosis/findings.ts';
import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { type Inspection, InspectionSchema } from '../../shared/visit-work/inspection.ts';
import { bundleOf } from '../bundles/export-bundle.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/** Everything that the analysis of a visit is given. */
export interface AnalysisInput {
  readonly visit: VisitToAnalyse;
  readonly inspection: Inspection | null;
  readonly runIds: readonly number[];
  /** The recording of each run. */
  readonly paths: readonly string[];
  /** See `madeFrom`. */
  readonly madeFrom: string;
}

/** The method, and a checksum over visit and inspection: findings that were made from others are out of date. */
function madeFrom(visit: VisitToAnalyse, inspection: Inspection | null): string {
  const checksum = createHash('sha256')
    .update(JSON.stringify([visit, inspection]))
    .digest('hex');
  return `${DIAGNOSIS_METHOD}: ${checksum}`;
}

const checksumOf = (text: string): string => text.slice(text.lastIndexOf(' ') + 1);

/** What has changed between two `madeFrom`; null when nothing has. */
export function changeBetween(before: string, now: string): 'facts' | 'method' | null {
  if (before === now) return null;
  return checksumOf(before) === checksumOf(now) ? 'method' : 'facts';
}

/** The visit as its bundle would hold it, with the owner's words; complete runs only. */
export function visitToAnalyse(garage: Garage, recordings: RecordingsFolder, visitId: number): AnalysisInput {
  const kept = garage.visits.get(visitId);
  const runs = kept.runs.filter((run) => run.state !== 'recording' && run.frames > 0);
  const visit = {
    ...bundleOf(garage, { ...kept, runs }),
    complaint: kept.complaint,
  };
  const inspection = garage.visitWork.form(visitId, 'inspection', InspectionSchema);
  return {
    visit,
    inspection,
    runIds: runs.map((run) => run.id),
    paths: runs.map((run) => recordings.file(run.file)),
    madeFrom: madeFrom(visit, inspection),
  };
}
