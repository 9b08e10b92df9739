import { modalVisit } from '../../seeds/modal-drive/modal-drive.ts';
import { modalPlaces } from '../../seeds/modal-drive/net.ts';
import { crudeVisit, placesOf } from '../../seeds/other-drives/crude-drive.ts';
import { type DriveOptions, partsOf } from '../../seeds/other-drives/drive-visit.ts';
import { plainPlaces, plainVisit } from '../../seeds/other-drives/plain-drive.ts';
import { textbookPlaces, textbookVisit } from '../../seeds/other-drives/textbook-drive.ts';
import { Random } from '../../seeds/road-drive/random.ts';
import { otherPhysics, randomScenario } from '../../seeds/scenarios/index.ts';
import { kindOf, SOURCE_KINDS } from '../../shared/diagnosis/emission.ts';
import { type Driveline, possibleSources, usefulPositions } from '../../shared/diagnosis/graph.ts';
import type { SamplesProvider, VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { type Position, SOURCES, type Source } from '../../shared/driveline/words.ts';
import { closingIn } from '../evaluation/closing-in.ts';
import { rendered } from '../evaluation/visits.ts';

/** Simulators that share no law but kinematics, and two of them under laws drawn anew for every car. */
export const SIMULATORS = [
  'road',
  'roadOtherwise',
  'plain',
  'plainOtherwise',
  'crude',
  'textbook',
  'modal',
] as const;
export type Simulator = (typeof SIMULATORS)[number];

export interface SimulatedTruth {
  readonly visit: VisitToAnalyse;
  readonly truth: Source;
  readonly provider: SamplesProvider;
}

const SAMPLE_RATE_HZ = 24_000;
const ROAD_S = 20;
const OTHER_S = 15;
/** How bad the faults are at least. Where laws are drawn anew some are so slight that no place but their own hears them. */
const LEAST = {
  usual: { severity: 0.4, excess_db: 10 },
  otherwise: { severity: 0, excess_db: 4 },
};

/** Where pickups may sit, and what is heard there. */
const OTHER_DRIVES = {
  plain: { places: plainPlaces, visit: plainVisit },
  plainOtherwise: {
    places: plainPlaces,
    visit: (seed: number, drive: DriveOptions) => plainVisit(seed, { ...drive, otherwise: true }),
  },
  crude: { places: placesOf, visit: crudeVisit },
  textbook: { places: textbookPlaces, visit: textbookVisit },
  modal: { places: modalPlaces, visit: modalVisit },
} as const;

/** A visit to learn from: kinds of source in turn, one to three runs, two to eight pickups. */
export function trainingVisit(simulator: Simulator, seed: number): SimulatedTruth {
  const random = new Random(seed, 'fit');
  const kind = SOURCE_KINDS[seed % SOURCE_KINDS.length]!;
  const least = LEAST[simulator.endsWith('Otherwise') ? 'otherwise' : 'usual'];
  if (simulator === 'road' || simulator === 'roadOtherwise') {
    const physics = simulator === 'road' ? null : otherPhysics(random);
    const source = random.pick(SOURCES.filter((s) => kindOf(s) === kind));
    const { vehicle } = randomScenario(seed, { source });
    const placements = placementsFor(source, vehicle, usefulPositions(vehicle), random);
    const scenario = randomScenario(seed, {
      source,
      placements,
      severity: random.range(least.severity, 1),
      sampleRate_Hz: SAMPLE_RATE_HZ,
      durationS: ROAD_S,
    });
    const { bundle, provider } = rendered(physics ? { ...scenario, physics } : scenario);
    return { visit: bundle, truth: source, provider };
  }
  const layout = random.pick(
    kind === 'propshaft' ? (['rwd', 'awd'] as const) : (['fwd', 'rwd', 'awd'] as const),
  );
  const source = kind === 'none' ? 'none' : random.pick(partsOf(layout).filter((s) => kindOf(s) === kind));
  const simulated = OTHER_DRIVES[simulator];
  const places = simulated.places(layout);
  const placements = placementsFor(source, { layout, electricDrive: false }, places, random);
  const excess_db = random.range(least.excess_db, 28);
  const { visit, provider } = simulated.visit(seed, {
    source,
    layout,
    placements,
    excess_db,
    seconds: OTHER_S,
  });
  return { visit, truth: source, provider };
}

/** How often the last run closes in on the guilty part, and on none at all; else on an innocent one. */
const CLOSES_IN = 0.5;
const AT_RANDOM = 0.25;

/**
 * Where the pickups were must not give the guilty away: the last run closes in on it only half the time, and else on
 * an innocent part or on none.
 */
function placementsFor(
  source: Source,
  driveline: Driveline,
  places: readonly Position[],
  random: Random,
): Position[][] {
  return closingIn(aimOf(source, driveline, random), driveline, places, random);
}

function aimOf(source: Source, driveline: Driveline, random: Random): Source {
  const u = random.range(0, 1);
  if (u < CLOSES_IN && source !== 'none') return source;
  if (u < CLOSES_IN + AT_RANDOM) return 'none';
  return random.pick(possibleSources(driveline).filter((s) => s !== 'none'));
}
