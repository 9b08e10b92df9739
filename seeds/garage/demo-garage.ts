import type { Garage } from '../../db/open.ts';
import type { VehicleInput } from '../../shared/contract/garage.ts';
import { partOrders } from '../../shared/driveline/orders.ts';
import { Random } from '../road-drive/random.ts';
import { RoadDrive } from '../road-drive/road-drive.ts';
import type { VisitScenario } from '../road-drive/scenario.ts';
import { visitBundle } from '../road-drive/simulate.ts';
import { demoReturningScenario, demoScenario } from '../scenarios/demo.ts';
import { randomScenario } from '../scenarios/random-scenario.ts';
import { inventedComplaint, inventedLabel, inventedNote, inventedPlate } from './invented.ts';
import { orderLinesOf, plausibleSeconds } from './plausible-seconds.ts';

/** A run of the demo garage whose sound is still to be made: drive run `runIndex` of the scenario into `file`. */
export interface DemoRecording {
  readonly runId: number;
  readonly file: string;
  readonly scenario: VisitScenario;
  readonly runIndex: number;
}

export interface DemoGarage {
  /** The car that came back after a year, its noise grown. */
  readonly returningVehicleId: number;
  readonly recordings: readonly DemoRecording[];
}

interface DemoVisit {
  readonly scenario: VisitScenario;
  readonly complaint: string;
}

/** Other cars of the garage, by seed; what is wrong with them is drawn by the scenario. */
const OTHERS_DRIVEN = [3, 8, 21, 34];
const OTHERS_WAITING = [55, 89, 144];
const OTHERS_DURATION_S = 40;

/**
 * Fills a garage with invented vehicles, visits and runs, without their sound: that is made when a run is first
 * played. Takes a fraction of a second; all of it stands, or none.
 */
export function seedDemoGarage(garage: Garage): DemoGarage {
  const recordings: DemoRecording[] = [];
  return garage.transaction(() => {
    const first = demoScenario();
    const returningVehicleId = addVehicle(garage, first, {
      plate: 'RP-E 00417',
      vin: null,
      ownerNote: 'long motorway trips; tell him what we found last year before anything is taken apart',
    });
    const visits: DemoVisit[] = [
      { scenario: first, complaint: 'Whine from the rear between 60 and 100 km/h, gone when lifting off.' },
      {
        scenario: demoReturningScenario(1),
        complaint: 'The whine from the rear is clearly louder than a year ago, now heard with the radio on.',
      },
    ];
    for (const visit of visits) recordings.push(...addVisit(garage, returningVehicleId, visit));

    for (const seed of OTHERS_DRIVEN) {
      const random = new Random(seed, 'demo garage');
      const scenario = randomScenario(seed, { durationS: OTHERS_DURATION_S, runs: 1, badChannelChance: 0 });
      const vehicleId = addVehicle(garage, scenario, paperwork(random, seed), inventedLabel(random));
      recordings.push(...addVisit(garage, vehicleId, { scenario, complaint: inventedComplaint(random) }));
    }
    for (const seed of OTHERS_WAITING) {
      const random = new Random(seed, 'demo garage');
      const scenario = randomScenario(seed, { durationS: OTHERS_DURATION_S, runs: 1 });
      const vehicleId = addVehicle(garage, scenario, paperwork(random, seed), inventedLabel(random));
      garage.visits.start({
        vehicleId,
        startedAt: scenario.startedAt,
        odometer_km: scenario.vehicle.odometer_km,
        complaint: inventedComplaint(random),
      });
    }
    return { returningVehicleId, recordings };
  });
}

type Paperwork = Omit<VehicleInput, 'spec'>;

const paperwork = (random: Random, n: number): Paperwork => ({
  plate: inventedPlate(random, n),
  vin: null,
  ownerNote: inventedNote(random),
});

function addVehicle(garage: Garage, scenario: VisitScenario, papers: Paperwork, label?: string): number {
  const { vehicle } = visitBundle(scenario, []);
  const spec = label === undefined ? vehicle : { ...vehicle, label };
  return garage.vehicles.add({ ...papers, spec }, scenario.startedAt).id;
}

function addVisit(garage: Garage, vehicleId: number, { scenario, complaint }: DemoVisit): DemoRecording[] {
  const { startedAt, vehicle, fault, sampleRate_Hz, visitSeed } = scenario;
  const visit = garage.visits.start({ vehicleId, startedAt, odometer_km: vehicle.odometer_km, complaint });
  return scenario.runs.map((_, runIndex) => {
    const drive = new RoadDrive(scenario, runIndex);
    const orders = partOrders(visitBundle(scenario, []).vehicle);
    const seconds = Math.floor(drive.frames / sampleRate_Hz);
    const file = `demo-${vehicleId}-${visit.id}-${runIndex + 1}.wav`;
    const { id } = garage.runs.start({
      visitId: visit.id,
      startedAt: drive.run.startedAt,
      file,
      sampleRate_Hz,
      channels: drive.run.channels,
      orderLines: orderLinesOf(orders),
    });
    garage.runs.appendSeconds(id, plausibleSeconds(drive.run, seconds, orders, fault, visitSeed));
    for (const segment of drive.run.segments) garage.runs.addSegment(id, segment);
    if (drive.run.speed) garage.runs.addSpeed(id, drive.run.speed);
    garage.runs.finish(id, drive.frames);
    return { runId: id, file, scenario, runIndex };
  });
}
