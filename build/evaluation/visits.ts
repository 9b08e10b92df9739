import { samplesOf } from '../../seeds/other-drives/crude-drive.ts';
import { Random } from '../../seeds/road-drive/random.ts';
import { randomScenario, simulateVisit, type VisitScenario } from '../../seeds/scenarios/index.ts';
import { kindOf, SOURCE_KINDS, type SourceKind } from '../../shared/diagnosis/emission.ts';
import { runningGearNet, usefulPositions } from '../../shared/diagnosis/graph.ts';
import type { SamplesProvider } from '../../shared/diagnosis/visit-input.ts';
import { type Position, SOURCES, type Source } from '../../shared/driveline/words.ts';

/** Half of what a real interface gives, and shorter drives: what counts lies below 10 kHz, and time is dear. */
const SAMPLE_RATE_HZ = 24_000;
const DURATION_S = 20;
/** Below this a part is hardly worse than a healthy one, and nobody would have come with it. */
const LEAST_SEVERITY = 0.5;

/**
 * A visit of the evaluation: kinds of source in turn, one to three runs, two to eight pickups. The technician starts
 * where he likes and closes in: in the last run one pickup sits on the faulty part and, if there are more, one on
 * what stands beside it. A healthy car is looked over at random.
 */
export function evaluationScenario(seed: number): VisitScenario {
  const random = new Random(seed, 'evaluation');
  const kind: SourceKind = SOURCE_KINDS[seed % SOURCE_KINDS.length]!;
  const source: Source = random.pick(SOURCES.filter((s) => kindOf(s) === kind));
  const drawn = randomScenario(seed, { source });
  const places = usefulPositions(drawn.vehicle);
  const net = runningGearNet(drawn.vehicle);
  const pickups = random.integer(2, 8);
  const runs = random.integer(1, 3);
  const placements = Array.from({ length: runs }, (_, run): Position[] => {
    const chosen = new Set<Position>();
    if (run === runs - 1 && source !== 'none') {
      const nearest = random
        .shuffle([...places])
        .sort((a, b) => net.path(source, a).hops - net.path(source, b).hops);
      chosen.add(nearest[0]!);
      const rival = nearest.find((p) => !net.isOn(source, p));
      if (rival) chosen.add(rival);
    }
    for (const place of random.shuffle([...places])) if (chosen.size < pickups) chosen.add(place);
    return [...chosen];
  });
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
