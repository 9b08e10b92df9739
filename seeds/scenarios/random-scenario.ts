import { type DriveLayout, type Position, SOURCES, type Source } from '../../shared/driveline/words.ts';
import { positionsOf } from '../road-drive/hops.ts';
import { Random } from '../road-drive/random.ts';
import {
  BEARING_DEFECTS,
  type ChannelFault,
  ENGINE_FAULTS,
  type Fault,
  FINAL_DRIVE_WEAR,
  GEARBOX_WEAR,
  type Mechanism,
  PROPSHAFT_WEAR,
  type RunScenario,
  type TachoModel,
  TYRE_WEAR,
  type VehicleModel,
  type VisitScenario,
} from '../road-drive/scenario.ts';
import { randomDrive } from './drive-profile.ts';
import { randomVehicle } from './vehicle.ts';

export interface RandomScenarioOptions {
  source?: Source;
  mechanism?: Mechanism;
  /** 0 barely worse than healthy, 1 about to fail. */
  severity?: number;
  layout?: DriveLayout;
  electricDrive?: boolean;
  /** Pickups per run, 2 to 8; ignored with `placements`. */
  pickups?: number;
  runs?: number;
  /** Positions run by run. */
  placements?: readonly (readonly Position[])[];
  durationS?: number;
  sampleRate_Hz?: number;
  /** True for a tacho channel beside (and instead of) the speed readings. */
  tacho?: boolean;
  knownGeometry?: boolean;
  /** Chance that one channel of a run is bad. */
  badChannelChance?: number;
}

/** A visit drawn at random over all sources, layouts, placements and drives; what `options` names is kept. */
export function randomScenario(seed: number, options: RandomScenarioOptions = {}): VisitScenario {
  const random = new Random(seed, 'scenario');
  // Each quantity has its stream, so that fixing one of them leaves the others as they are.
  const draw = (what: string) => new Random(seed, 'scenario', what);
  const source = options.source ?? draw('source').pick(SOURCES);
  const { layout, electricDrive } = drivelineFor(source, options, draw('driveline'));
  const vehicle = randomVehicle(seed, layout, electricDrive);
  if (source !== 'none' && !hasPart(vehicle, source)) {
    throw new Error(`A ${layout}${electricDrive ? ' electric' : ''} vehicle has no ${source}.`);
  }
  const fault: Fault = {
    source,
    mechanism: options.mechanism ?? mechanismFor(source, draw('mechanism')),
    severity: source === 'none' ? 0 : (options.severity ?? draw('severity').range(0.3, 1)),
  };
  const runs = options.placements?.length ?? options.runs ?? draw('runs').integer(1, 3);
  const pickups = options.pickups ?? draw('pickups').pick([2, 2, 2, 3, 4, 4, 6, 8]);
  const placements =
    options.placements ?? technicianPlacements(vehicle, fault, pickups, runs, draw('placements'));
  const geometry = draw('geometry');
  const tacho = options.tacho ?? draw('tacho').chance(0.15);
  const speedKind = draw('speed');
  const readings = {
    kind: speedKind.pick(['satellite', 'bus'] as const),
    rate_Hz: speedKind.pick([1, 2, 5, 10]),
    lateness_s: speedKind.range(0.3, 1.2),
    resolution_km_h: 0.1,
    scale: 1,
  };
  if (readings.kind === 'bus') {
    readings.resolution_km_h = 1;
    readings.scale = speedKind.range(1, 1.015);
  }
  return {
    seed,
    visitSeed: random.word(),
    startedAt: new Date(Date.UTC(2025, 0, 6, 9) + draw('date').integer(0, 500) * 86_400_000).toISOString(),
    sampleRate_Hz: options.sampleRate_Hz ?? 48_000,
    vehicle,
    known: {
      circumference: options.knownGeometry ?? geometry.chance(0.9),
      wheelBearing: options.knownGeometry ?? geometry.chance(0.4),
      finalDrive: options.knownGeometry ?? geometry.chance(0.7),
      engine: options.knownGeometry ?? geometry.chance(0.8),
      gearRatio: options.knownGeometry ?? geometry.chance(0.6),
    },
    fault,
    runs: placements.map(
      (placement, i): RunScenario => ({
        placement,
        drive: randomDrive(draw(`drive ${i}`), vehicle, options.durationS ?? 30),
        readings: tacho ? null : readings,
        tacho: tacho ? randomTacho(vehicle, draw('tacho wheel')) : null,
        badChannels: badChannels(placement.length, options.badChannelChance ?? 0.08, draw(`channels ${i}`)),
      }),
    ),
  };
}

/**
 * The same vehicle, fault and visit with other placements, one run for each: a run that keeps its place in the list and
 * its positions gives the same samples again; clamping anew gives new mounting gains.
 */
export function scenarioWithPlacements(
  scenario: VisitScenario,
  placements: readonly (readonly Position[])[],
): VisitScenario {
  const runs = placements.map((placement, i): RunScenario => {
    const run = scenario.runs[i % scenario.runs.length]!;
    const same = run.placement.join() === placement.join();
    return { ...run, placement, badChannels: same ? run.badChannels : {} };
  });
  return { ...scenario, runs };
}

/** True if this vehicle has the part at all. */
export function hasPart(vehicle: Pick<VehicleModel, 'layout' | 'electricDrive'>, source: Source): boolean {
  if (source === 'differential-front') return vehicle.layout !== 'rwd';
  if (source === 'differential-rear' || source === 'propshaft-centre-bearing') {
    return vehicle.layout !== 'fwd' && !(vehicle.electricDrive && source === 'propshaft-centre-bearing');
  }
  return source !== 'engine' || !vehicle.electricDrive;
}

function drivelineFor(source: Source, options: RandomScenarioOptions, random: Random) {
  const layouts = options.layout ? [options.layout] : (['fwd', 'rwd', 'awd'] as const);
  const drives = options.electricDrive === undefined ? [false, false, false, true] : [options.electricDrive];
  const all = layouts.flatMap((layout) => drives.map((electricDrive) => ({ layout, electricDrive })));
  const possible = all.filter((driveline) => hasPart(driveline, source));
  return random.pick(possible.length > 0 ? possible : all);
}

function mechanismFor(source: Source, random: Random): Mechanism {
  if (source === 'none') return 'none';
  if (source.startsWith('wheel-bearing')) return random.pick(BEARING_DEFECTS);
  if (source.startsWith('tyre')) return random.pick(TYRE_WEAR);
  if (source.startsWith('differential')) return random.pick(FINAL_DRIVE_WEAR);
  if (source === 'propshaft-centre-bearing') return random.pick(PROPSHAFT_WEAR);
  return random.pick(source === 'transmission' ? GEARBOX_WEAR : ENGINE_FAULTS);
}

/**
 * Where technicians clamp: first the hubs of the end from which the noise seems to come (the ear is right four times
 * in five), then further in, run by run.
 */
function technicianPlacements(
  vehicle: VehicleModel,
  fault: Fault,
  pickups: number,
  runs: number,
  random: Random,
): Position[][] {
  const all = positionsOf(vehicle);
  const rear = fault.source.includes('rear') || fault.source.includes('propshaft');
  const front = fault.source.includes('front') || ['transmission', 'engine'].includes(fault.source);
  const heard = rear ? 'rear' : front ? 'front' : random.pick(['front', 'rear'] as const);
  const other = heard === 'rear' ? 'front' : 'rear';
  const end = random.chance(0.8) ? heard : other;
  const rest = all.filter((position) => !position.startsWith('hub-'));
  const inner = (where: string) => rest.filter((position) => position.includes(where));
  const middle = rest.filter((position) => !position.includes('front') && !position.includes('rear'));
  const order = [
    `hub-${end}-left`,
    `hub-${end}-right`,
    ...random.shuffle(inner(end)),
    ...random.shuffle(middle),
    `hub-${end === 'rear' ? 'front' : 'rear'}-left`,
    `hub-${end === 'rear' ? 'front' : 'rear'}-right`,
    ...random.shuffle(inner(end === 'rear' ? 'front' : 'rear')),
  ];
  return Array.from({ length: runs }, (_, run) =>
    Array.from(
      { length: Math.min(pickups, order.length) },
      (_, i) => order[(run * pickups + i) % order.length]!,
    ),
  );
}

function randomTacho(vehicle: VehicleModel, random: Random): TachoModel {
  const shaft = random.pick(
    vehicle.layout === 'fwd'
      ? (['wheel-front-left'] as const)
      : vehicle.electricDrive
        ? (['wheel-rear-left'] as const)
        : (['wheel-rear-left', 'propshaft'] as const),
  );
  return {
    shaft,
    pulsesPerRev: random.pick(shaft === 'propshaft' ? [1, 2] : [1, 4, 20]),
    jitter: random.range(0.0005, 0.004),
    missing: random.chance(0.3) ? 0.01 : 0,
    doubled: random.chance(0.3) ? 0.01 : 0,
  };
}

function badChannels(channels: number, chance: number, random: Random): Record<number, ChannelFault> {
  if (!random.chance(chance)) return {};
  const kinds = ['dead', 'clipped', 'loose', 'hum'] as const;
  return { [random.integer(0, channels - 1)]: random.pick(kinds) };
}
