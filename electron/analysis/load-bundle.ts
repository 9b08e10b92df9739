import type { VisitBundle } from '../../shared/bundle/visit.ts';
import { BundleError } from '../../shared/bundle/visit.ts';
import type { SamplesProvider } from '../../shared/diagnosis/visit-input.ts';
import { message } from '../../shared/messages/message.ts';
import { checkRecording, readVisit } from '../bundles/read-bundle.ts';
import { wavSamples } from './wav-samples.ts';

export interface LoadedBundle {
  readonly visit: VisitBundle;
  /** Opens the recording of a run; rejects for those in `missing`. */
  readonly provider: SamplesProvider;
  /** What is wrong with recordings that cannot be used, one sentence each. */
  readonly missing: readonly string[];
}

/**
 * A bundle made ready for the analysis. Unlike an import, it goes on with the recordings that can be read, as long
 * as there is one.
 * @throws {BundleError} naming the file and the field when visit.json is malformed or no recording can be read
 */
export async function loadBundle(folder: string): Promise<LoadedBundle> {
  const visit = await readVisit(folder);
  if (visit.runs.length === 0) throw new BundleError(`${folder}/visit.json`, 'runs', message('bundle.noRun'));
  const checked: (Awaited<ReturnType<typeof checkRecording>> | BundleError)[] = [];
  for (const [i, run] of visit.runs.entries()) {
    checked.push(
      await checkRecording(folder, run, `runs[${i}]`).catch((problem: unknown) => {
        if (problem instanceof BundleError) return problem;
        throw problem;
      }),
    );
  }
  const problems = checked.filter((c) => c instanceof BundleError);
  if (problems.length === checked.length) throw problems[0]!;
  return {
    visit,
    missing: problems.map((p) => p.message),
    provider: async (run) => {
      const file = checked[run]!;
      if (file instanceof BundleError) throw file;
      return wavSamples(file.path);
    },
  };
}
