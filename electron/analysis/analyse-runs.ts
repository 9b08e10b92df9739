import { findingsOf, measureVisit } from '../../shared/diagnosis/analyse.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import type { InspectionFindings } from '../../shared/diagnosis/inspection.ts';
import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import type { Progress } from './tasks.ts';
import { wavSamples } from './wav-samples.ts';

export interface AnalyseRunsInput {
  readonly visit: VisitToAnalyse;
  /** The recording of each run of the visit. */
  readonly paths: readonly string[];
  /** What was found by hand and eye; null when nobody has looked. */
  readonly inspection: InspectionFindings | null;
}

/** Analyses recordings where they lie. A recording that cannot be read is left out with a notice. */
export async function analyseRuns(
  { visit, paths, inspection }: AnalyseRunsInput,
  progress: Progress,
): Promise<Findings> {
  const measures = await measureVisit(visit, (run) => wavSamples(paths[run]!), { onProgress: progress });
  return findingsOf(visit, measures, inspection);
}
