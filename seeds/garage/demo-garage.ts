import type { Garage } from '../../db/open.ts';
import { partOrders } from '../../shared/driveline/orders.ts';
import { Random } from '../road-drive/random.ts';
import { RoadDrive } from '../road-drive/road-drive.ts';
import type { VisitScenario } from '../road-drive/scenario.ts';
import { visitBundle } from '../road-drive/simulate.ts';
import { demoScenario, demoToday, shortened } from '../scenarios/demo.ts';
import { randomScenario } from '../scenarios/random-scenario.ts';
import { inventedComplaint, inventedLabel, inventedNote, inventedPlate } from './invented.ts';
import { orderLinesOf, plausibleSeconds } from './plausible-seconds.ts';
import { seedWatchedCar } from './watched-car.ts';

/** Other cars of the garage, by seed; what is wrong with them is drawn by the scenario. */
const DRIVEN = [3, 8, 21, 34];
const WAITING = [55, 89, 144];

const otherScenario = (seed: number): VisitScenario =>
  randomScenario(seed, { durationS: 40, runs: 1, badChannelChance: 0 });

const firstVisit = (): VisitScenario => shortened(demoScenario());
const yearLater = (): VisitScenario => shortened(demoToday());

/** The drives of the demo garage's runs, by the name of their recording. */
const RECORDED: Readonly<Record<string, () => VisitScenario>> = {
  'demo-first-visit.wav': firstVisit,
  'demo-a-year-later.wav': yearLater,
  ...Object.fromEntries(DRIVEN.map((seed) => [`demo-other-${seed}.wav`, () => otherScenario(seed)])),
};

/**
 * The drive that belongs into a recording of the demo garage, so that its sound can be made when it is first
 * wanted; null for any other recording.
 */
export function demoRecording(file: string): RoadDrive | null {
  const scenario = Object.hasOwn(RECORDED, file) ? RECORDED[file] : undefined;
  return scenario ? new RoadDrive(scenario(), 0) : null;
}

/**
 * Fills a garage with invented vehicles, visits and runs, without the sound: `demoRecording` gives it. Takes a
 * fraction of a second; all of it stands, or none.
 * @returns the car that came back after a year, its noise grown
 */
export function seedDemoGarage(garage: Garage): { returningVehicleId: number } {
  return garage.transaction(() => {
    const first = firstVisit();
    const returning = garage.vehicles.add(
      {
        plate: 'RP-E 00417',
        vin: null,
        ownerNote: 'long motorway trips; tell him what we found last year before anything is taken apart',
        spec: visitBundle(first, []).vehicle,
      },
      first.startedAt,
    );
    addVisit(garage, returning.id, {
      scenario: first,
      complaint: 'Whine from the rear between 60 and 100 km/h, gone when lifting off.',
      file: 'demo-first-visit.wav',
    });
    addVisit(garage, returning.id, {
      scenario: yearLater(),
      complaint: 'The whine from the rear is clearly louder than a year ago, now heard with the radio on.',
      file: 'demo-a-year-later.wav',
    });
    for (const seed of DRIVEN) addOther(garage, seed, `demo-other-${seed}.wav`);
    for (const seed of WAITING) addOther(garage, seed, null);
    seedWatchedCar(garage);
    return { returningVehicleId: returning.id };
  });
}

function addOther(garage: Garage, seed: number, file: string | null): void {
  const random = new Random(seed, 'demo garage');
  const scenario = otherScenario(seed);
  const spec = { ...visitBundle(scenario, []).vehicle, label: inventedLabel(random) };
  const papers = { plate: inventedPlate(random, seed), vin: null, ownerNote: inventedNote(random) };
  const { id } = garage.vehicles.add({ ...papers, spec }, scenario.startedAt);
  addVisit(garage, id, { scenario, complaint: inventedComplaint(random), file });
}

interface DemoVisit {
  readonly scenario: VisitScenario;
  readonly complaint: string;
  /** Null while the car waits for its drive. */
  readonly file: string | null;
}

function addVisit(garage: Garage, vehicleId: number, { scenario, complaint, file }: DemoVisit): void {
  const { startedAt, vehicle, fault, sampleRate_Hz, visitSeed } = scenario;
  const visit = garage.visits.start({ vehicleId, startedAt, odometer_km: vehicle.odometer_km, complaint });
  if (file === null) return;
  const { run, frames } = new RoadDrive(scenario, 0);
  const orders = partOrders(visitBundle(scenario, []).vehicle);
  const { id } = garage.runs.start({
    visitId: visit.id,
    startedAt: run.startedAt,
    file,
    sampleRate_Hz,
    channels: run.channels,
    orderLines: orderLinesOf(orders),
  });
  const seconds = Math.floor(frames / sampleRate_Hz);
  garage.runs.appendSeconds(id, plausibleSeconds(run, seconds, orders, fault, visitSeed));
  for (const segment of run.segments) garage.runs.addSegment(id, segment);
  if (run.speed) garage.runs.addSpeed(id, run.speed);
  garage.runs.finish(id, frames);
}
