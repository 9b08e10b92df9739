import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { Random } from '../seeds/road-drive/random.ts';
import { measureVisit, priorKnowledge } from '../shared/diagnosis/analyse.ts';
import { kindOf } from '../shared/diagnosis/emission.ts';
import { suspectFeatures } from '../shared/diagnosis/judge/suspect-features.ts';
import { type FittedJudge, type JudgeTrees, sumOfTrees } from '../shared/diagnosis/judge/trees.ts';
import { posterior } from '../shared/diagnosis/posterior.ts';
import { heardOf } from '../shared/diagnosis/weigh.ts';
import { growTrees, type TrainingVisit } from './judge/grow-trees.ts';
import { seenOtherwise } from './judge/seen-otherwise.ts';
import { type HeldOut, sharpnessOf } from './judge/sharpness.ts';
import { SIMULATORS, type Simulator, trainingVisit } from './judge/training-visits.ts';

/**
 * Grows the judge's trees anew and writes shared/diagnosis/judge/trees.json:
 * `npm run fit-judge [-- --visits 10000 --first 20000 --keep FOLDER]` takes that many visits of all simulators
 * together. Seeds are apart from those of `npm run evaluate`. Measured visits are kept in FOLDER, so that an interrupted
 * fit goes on.
 */
const { values } = parseArgs({
  options: {
    visits: { type: 'string', default: '10000' },
    first: { type: 'string', default: '20000' },
    keep: { type: 'string', default: join(import.meta.dirname, 'out/judge-visits') },
  },
});
/** The road simulator's usual laws, our best guess of a real car, make half of what is learned from. */
const SHARES: Readonly<Record<Simulator, number>> = {
  road: 0.51,
  roadOtherwise: 0.16,
  plain: 0.04,
  plainOtherwise: 0.16,
  crude: 0.01,
  textbook: 0.07,
  modal: 0.05,
};
/** Where laws are not drawn anew: what probabilities must mean. */
const USUAL: readonly Simulator[] = ['road', 'plain'];
const FOLDS = 5;
/** How often a visit is seen otherwise, beside as it was. */
const timesOtherwise = (simulator: Simulator): number => (simulator === 'road' ? 2 : 3);
const first = Number(values.first);
mkdirSync(values.keep, { recursive: true });

/** What of a simulated visit the fit needs; null when not one channel was sound. */
async function measured(simulator: Simulator, seed: number): Promise<TrainingVisit | null> {
  const kept = join(values.keep, `${simulator}-${seed}.json`);
  // What was not measured is NaN, which JSON has no word for: it is left out.
  if (existsSync(kept)) return JSON.parse(readFileSync(kept, 'utf8')) as TrainingVisit | null;
  const { visit, truth, provider } = trainingVisit(simulator, seed);
  const measures = await measureVisit(visit, provider);
  const model = posterior(measures.features.families, priorKnowledge(visit, measures.channels));
  const heard = heardOf(measures, model);
  const sources = [...model.contributions.keys()];
  const found =
    measures.channels.length === 0
      ? null
      : {
          guilty: sources.indexOf(truth),
          suspects: sources.map((source) => ({
            kind: kindOf(source),
            features: Object.fromEntries(
              Object.entries(suspectFeatures(source, heard)).filter(([, x]) => Number.isFinite(x)),
            ),
          })),
        };
  writeFileSync(kept, JSON.stringify(found));
  return found;
}

type Measured = { readonly simulator: Simulator; readonly seed: number; readonly visit: TrainingVisit };
const visits: Measured[] = [];
for (const simulator of SIMULATORS) {
  const count = Math.round(SHARES[simulator] * Number(values.visits));
  for (let seed = first; seed < first + count; seed++) {
    const visit = await measured(simulator, seed);
    if (process.stderr.isTTY) process.stderr.write(`\r${simulator} ${seed - first + 1} of ${count} `);
    if (visit) visits.push({ simulator, seed, visit });
  }
}

/** Trees of these visits, each seen as it was and otherwise. */
function grownOn(own: readonly Measured[]): JudgeTrees {
  const random = new Random('other worlds');
  return growTrees(
    own.flatMap(({ simulator, visit }) => [
      visit,
      ...Array.from({ length: timesOtherwise(simulator) }, () => seenOtherwise(visit, random)),
    ]),
  );
}

/** What trees of all other visits give each suspect of the visits of one fold, of the usual laws only. */
function heldOut(fold: number): HeldOut[] {
  const trees = grownOn(visits.filter(({ seed }) => seed % FOLDS !== fold));
  return visits
    .filter(({ simulator, seed }) => seed % FOLDS === fold && USUAL.includes(simulator))
    .map(({ visit: { suspects, guilty } }) => ({
      guilty,
      sums: suspects.map(({ kind, features }) => sumOfTrees(trees, kind, features).total),
    }));
}

const sharpness = sharpnessOf(Array.from({ length: FOLDS }, (_, fold) => heldOut(fold)).flat());
const fitted: FittedJudge = { sharpness: Number(sharpness.toPrecision(3)), ...grownOn(visits) };
const file = join(import.meta.dirname, '../shared/diagnosis/judge/trees.json');
// A line for each tree, for those who compare.
writeFileSync(file, `${JSON.stringify(fitted).replaceAll(']],[[', ']],\n[[')}\n`);
process.stdout.write(`Trees grown on ${visits.length} visits, sharpness ${fitted.sharpness}: ${file}\n`);
