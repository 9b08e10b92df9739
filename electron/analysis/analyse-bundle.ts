import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import { loadBundle } from './load-bundle.ts';
import type { Progress } from './tasks.ts';

/** Analyses a visit bundle; see `loadBundle` for what it throws. Plain data in and out, for a worker thread. */
export async function analyseBundle(
  input: { readonly folder: string },
  progress: Progress,
): Promise<Findings> {
  const { visit, provider } = await loadBundle(input.folder);
  return analyseVisit(visit, provider, { onProgress: progress });
}
