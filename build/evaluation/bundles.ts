import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { loadBundle } from '../../electron/analysis/load-bundle.ts';
import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import { SOURCES } from '../../shared/driveline/words.ts';
import type { Outcome } from './score.ts';

const TruthSchema = z.array(z.object({ dir: z.string(), source: z.enum(SOURCES) }));

/**
 * Judges the visit bundles of a folder, whoever recorded or simulated them.
 * @param folder holds `truth.json`: a list of `{ "dir": bundle folder, "source": the faulty part }`
 */
export async function* bundleOutcomes(folder: string): AsyncGenerator<Outcome> {
  const truths = TruthSchema.parse(JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')));
  for (const { dir, source } of truths) {
    const { visit, provider } = await loadBundle(join(folder, dir));
    yield { truth: source, findings: await analyseVisit(visit, provider) };
  }
}
