import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import type { Progress } from './tasks.ts';
import { wavSamples } from './wav-samples.ts';

export interface AnalyseRunsInput {
  readonly visit: VisitToAnalyse;
  /** The recording of each run of the visit. */
  readonly paths: readonly string[];
}

/** Analyses recordings where they lie. A recording that cannot be read is left out with a notice. */
export function analyseRuns({ visit, paths }: AnalyseRunsInput, progress: Progress): Promise<Findings> {
  return analyseVisit(visit, (run) => wavSamples(paths[run]!), { onProgress: progress });
}
