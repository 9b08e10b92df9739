import { Random } from '../../seeds/road-drive/random.ts';
import { randomScenario, type VisitScenario } from '../../seeds/scenarios/index.ts';
import { kindOf, SOURCE_KINDS, type SourceKind } from '../../shared/diagnosis/emission.ts';
import { runningGearNet, usefulPositions } from '../../shared/diagnosis/graph.ts';
import { type Position, SOURCES, type Source } from '../../shared/driveline/words.ts';

export interface VisitOptions {
  readonly sampleRate_Hz?: number;
  readonly durationS?: number;
}

/**
 * A visit of the evaluation: kinds of source in turn, one to three runs, two to eight pickups. The technician starts
 * where he likes and closes in: in the last run one pickup sits on the faulty part and, if there are more, one on
 * what stands beside it. A healthy car is looked over at random.
 */
export function evaluationScenario(seed: number, options: VisitOptions = {}): VisitScenario {
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
  return randomScenario(seed, { ...options, source, placements });
}
