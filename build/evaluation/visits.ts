import { samplesOf } from '../../seeds/other-drives/drive-visit.ts';
import { Random } from '../../seeds/road-drive/random.ts';
import { randomScenario, simulateVisit, type VisitScenario } from '../../seeds/scenarios/index.ts';
import { kindOf, SOURCE_KINDS, type SourceKind } from '../../shared/diagnosis/emission.ts';
import { usefulPositions } from '../../shared/diagnosis/graph.ts';
import type { SamplesProvider } from '../../shared/diagnosis/visit-input.ts';
import { SOURCES, type Source } from '../../shared/driveline/words.ts';
import { closingIn } from './closing-in.ts';

/** Half of what a real interface gives, and shorter drives: what counts lies below 10 kHz, and time is dear. */
const SAMPLE_RATE_HZ = 24_000;
const DURATION_S = 20;
/** Below this a part is hardly worse than a healthy one, and nobody would have come with it. */
const LEAST_SEVERITY = 0.5;

/**
 * A visit of the evaluation: kinds of source in turn. The technician starts where he likes and closes in on the faulty
 * part; a healthy car is looked over at random.
 */
export function evaluationScenario(seed: number): VisitScenario {
  const random = new Random(seed, 'evaluation');
  const kind: SourceKind = SOURCE_KINDS[seed % SOURCE_KINDS.length]!;
  const source: Source = random.pick(SOURCES.filter((s) => kindOf(s) === kind));
  const { vehicle } = randomScenario(seed, { source });
  const placements = closingIn(source, vehicle, usefulPositions(vehicle), random);
  return randomScenario(seed, {
    source,
    placements,
    severity: random.range(LEAST_SEVERITY, 1),
    sampleRate_Hz: SAMPLE_RATE_HZ,
    durationS: DURATION_S,
  });
}

/** A scenario as a bundle whose recordings lie in memory. */
export function rendered(scenario: VisitScenario) {
  const { bundle, truth, runs } = simulateVisit(scenario);
  const provider: SamplesProvider = (run) =>
    Promise.resolve(samplesOf(runs[run]!.channels, runs[run]!.sampleRate_Hz));
  return { bundle, truth, provider };
}
