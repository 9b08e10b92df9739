import { parseArgs } from 'node:util';
import { analyseVisit } from '../shared/diagnosis/analyse.ts';
import { bundleOutcomes } from './evaluation/bundles.ts';
import { type Outcome, score, table } from './evaluation/score.ts';
import { evaluationScenario, rendered } from './evaluation/visits.ts';

/**
 * Judges visits of all kinds of source whose truth is known, and prints how often the diagnosis is right:
 * `npm run evaluate [-- --visits 300 --first 0]` simulates them (seeds are fixed, so the same numbers come out again),
 * `npm run evaluate -- --bundles FOLDER` takes bundles from elsewhere; see `evaluation/bundles.ts`.
 * Ends with 1 when a target is missed.
 */
const { values } = parseArgs({
  options: {
    visits: { type: 'string', default: '300' },
    first: { type: 'string', default: '0' },
    bundles: { type: 'string' },
  },
});
const visits = Number(values.visits);
const first = Number(values.first);
if (!(Number.isInteger(visits) && visits > 0 && Number.isInteger(first))) {
  process.stderr.write('--visits and --first take whole numbers\n');
  process.exit(2);
}

async function* simulatedOutcomes(): AsyncGenerator<Outcome> {
  for (let seed = first; seed < first + visits; seed++) {
    const { bundle, truth, provider } = rendered(evaluationScenario(seed));
    yield { truth: truth.source, findings: await analyseVisit(bundle, provider) };
  }
}

const outcomes: Outcome[] = [];
for await (const outcome of values.bundles ? bundleOutcomes(values.bundles) : simulatedOutcomes()) {
  outcomes.push(outcome);
  if (process.stderr.isTTY) process.stderr.write(`\r${outcomes.length} visits judged`);
}
const result = score(outcomes);
process.stdout.write(`${table(result)}\n\n`);

const { all } = result;
const healthy = result.byKind.get('none');
const targets = [
  ['first-ranked source right', all.first / all.visits, '>=', 0.92],
  ['pinpointed and right', all.pinpointed > 0 ? all.pinpointedRight / all.pinpointed : 1, '>=', 0.98],
  ['healthy vehicles accused', healthy ? healthy.accused / healthy.visits : 0, '<=', 0.02],
  ['expected calibration error', result.calibrationError, '<=', 0.05],
] as const;
let missed = false;
for (const [name, value, sense, target] of targets) {
  const met = sense === '>=' ? value >= target : value <= target;
  missed ||= !met;
  process.stdout.write(`${met ? 'met   ' : 'MISSED'} ${name}: ${value.toFixed(3)} (${sense} ${target})\n`);
}
// Few visits make a gap by chance alone.
process.stdout.write(
  `A perfectly calibrated judge would show a calibration error of about ${result.calibrationByChance.toFixed(3)} on ${all.visits} visits.\n`,
);
if (missed) process.exitCode = 1;
