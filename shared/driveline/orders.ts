import {
  type BearingRates,
  bearingRates,
  type OrderRange,
  type PlausibleRates,
  plausibleWheelBearingRates,
  usableWheelBearing,
} from './bearing.ts';
import { firingOrder } from './engine.ts';
import { gearOrders } from './gear.ts';
import { JOINT_ORDERS } from './joints.ts';
import { requirePositive } from './require.ts';
import type { FinalDriveTeeth, RunningGear } from './runningGear.ts';
import type { Source } from './words.ts';

/** The shaft that an order counts the turns of. All wheels turn alike on a straight road. */
export type ReferenceShaft = 'wheel' | 'propshaft' | 'engine';

/** A rotating part as far as its orders tell it apart: four wheels that turn alike share their lines. */
export type OrderPart =
  | 'wheel'
  | 'wheel-bearing'
  | 'differential-front'
  | 'differential-rear'
  | 'propshaft'
  | 'engine';

/** What on the part makes the line. */
export type OrderKind =
  | 'turning'
  | 'joint'
  | 'mesh'
  | 'firing'
  | 'bearingOuter'
  | 'bearingInner'
  | 'bearingElement'
  | 'bearingCage';

/** One line of an order spectrum that belongs to a part. */
export type OrderLine = {
  readonly part: OrderPart;
  readonly kind: OrderKind;
  /** Names the part and the multiple, such as `ring gear mesh 1×`. Unique within a vehicle. */
  readonly label: string;
  readonly multiple: number;
  readonly shaft: ReferenceShaft;
  /** In turns of `shaft`. */
  readonly order: number;
  /** In turns of a wheel; null when the ratio from `shaft` to the wheel is not known. */
  readonly orderAtWheel: number | null;
  /** The sources that this line speaks for. */
  readonly sources: readonly Source[];
};

/** A line that the part has, whose place is not known. */
export type UnknownLine = {
  readonly part: OrderPart;
  readonly kind: OrderKind;
  readonly label: string;
  /** What has to be found out, for the user to read. */
  readonly missing: string;
  /** Where it may lie, in turns of a wheel; empty when it may lie anywhere. */
  readonly plausibleAtWheel: readonly OrderRange[];
};

export type PartOrders = {
  readonly lines: readonly OrderLine[];
  readonly unknown: readonly UnknownLine[];
  /** Turns of each shaft for one turn of a wheel; null when unknown or when the vehicle has no such shaft. */
  readonly turnsPerWheelTurn: Readonly<Record<ReferenceShaft | 'gearboxOutput', number | null>>;
};

const CORNERS = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;
const TYRES: readonly Source[] = CORNERS.map((c) => `tyre-${c}` as const);
const WHEEL_BEARINGS: readonly Source[] = CORNERS.map((c) => `wheel-bearing-${c}` as const);

const BEARING_LINES: readonly {
  kind: OrderKind;
  name: string;
  rate: keyof PlausibleRates & keyof BearingRates;
}[] = [
  { kind: 'bearingOuter', name: 'wheel bearing outer ring', rate: 'outer' },
  { kind: 'bearingInner', name: 'wheel bearing inner ring', rate: 'inner' },
  { kind: 'bearingElement', name: 'wheel bearing element', rate: 'elementStrike' },
  { kind: 'bearingCage', name: 'wheel bearing cage', rate: 'cage' },
];

function drivenAxles(layout: RunningGear['layout']): ('front' | 'rear')[] {
  return layout === 'awd' ? ['front', 'rear'] : layout === 'fwd' ? ['front'] : ['rear'];
}

/** Turns of the gearbox output for one turn of a wheel, or null. */
function gearboxOutputTurns(
  vehicle: RunningGear,
  ratios: Record<'front' | 'rear', number | null>,
): number | null {
  if (vehicle.layout === 'fwd') return ratios.front;
  if (vehicle.layout === 'rwd') return ratios.rear;
  // Lengthwise gearboxes drive both axles through equal ratios; crosswise ones drive the front final drive, and the
  // rear may be geared otherwise. Either way the front one is right; the rear alone would be a guess.
  return ratios.front;
}

/**
 * Every order line of a vehicle's rotating parts, for the live view and the diagnosis: wheel 1-3×, propshaft 1× and
 * 2×, ring gear mesh 1-2×, engine firing, wheel bearing outer ring, inner ring, element and cage. Without slip.
 *
 * What cannot be placed for want of geometry is listed in `unknown` with what is missing, never guessed; a line
 * that is known against its own shaft but not against the wheel keeps `orderAtWheel: null`.
 * @param vehicle running gear; unknown values null or absent
 * @param gearRatio engine turns per turn of the gearbox output in the gear that is driven, null when not known
 * @throws {RangeError} when a given value is impossible (tooth counts, bearing dimensions, ratio)
 */
export function partOrders(vehicle: RunningGear, gearRatio: number | null = null): PartOrders {
  const lines: OrderLine[] = [];
  const unknown: UnknownLine[] = [];

  const axles = drivenAxles(vehicle.layout);
  const teeth: Record<'front' | 'rear', FinalDriveTeeth | null> = {
    front: vehicle.finalDrive?.front ?? null,
    rear: vehicle.finalDrive?.rear ?? null,
  };
  const ratios = {
    front: teeth.front && gearOrders(teeth.front).ratio,
    rear: teeth.rear && gearOrders(teeth.rear).ratio,
  };
  const outputTurns = gearboxOutputTurns(vehicle, ratios);
  const combustion = vehicle.electricDrive !== true;
  // An electric axle drives its wheels through its own reduction: there is no shaft along the vehicle.
  const hasPropshaft = combustion && vehicle.layout !== 'fwd';
  const turnsPerWheelTurn = {
    wheel: 1,
    propshaft: hasPropshaft ? ratios.rear : null,
    gearboxOutput: outputTurns,
    engine:
      combustion && gearRatio !== null && outputTurns !== null
        ? requirePositive('gear ratio', gearRatio) * outputTurns
        : null,
  };

  const add = (
    part: OrderPart,
    kind: OrderKind,
    name: string,
    multiple: number,
    shaft: ReferenceShaft,
    order: number,
    sources: readonly Source[],
  ): void => {
    const turns = turnsPerWheelTurn[shaft];
    lines.push({
      part,
      kind,
      label: `${name} ${multiple}×`,
      multiple,
      shaft,
      order,
      orderAtWheel: turns === null ? null : order * turns,
      sources,
    });
  };

  for (const k of [1, 2, 3]) add('wheel', 'turning', 'wheel', k, 'wheel', k, TYRES);

  if (hasPropshaft) {
    const sources: readonly Source[] = ['propshaft-centre-bearing'];
    add('propshaft', 'turning', 'propshaft', 1, 'propshaft', 1, sources);
    add('propshaft', 'joint', 'propshaft', 2, 'propshaft', JOINT_ORDERS.universal, sources);
  }

  for (const axle of axles) {
    const part = `differential-${axle}` as const;
    const name = axles.length > 1 ? `${axle} ring gear mesh` : 'ring gear mesh';
    const pair = teeth[axle];
    if (pair) {
      const { meshAtRing } = gearOrders(pair);
      for (const k of [1, 2]) add(part, 'mesh', name, k, 'wheel', k * meshAtRing, [part]);
    } else {
      const missing = `tooth counts of the ${axle} final drive`;
      unknown.push({ part, kind: 'mesh', label: name, missing, plausibleAtWheel: [] });
    }
    if (!combustion) {
      const label = axles.length > 1 ? `${axle} reduction gear mesh` : 'reduction gear mesh';
      const missing = `tooth counts of the ${axle} reduction between motor and final drive`;
      unknown.push({ part, kind: 'mesh', label, missing, plausibleAtWheel: [] });
    }
  }

  if (combustion) {
    const cylinders = vehicle.engine?.cylinders ?? null;
    if (cylinders === null) {
      const missing = 'number of cylinders';
      unknown.push({ part: 'engine', kind: 'firing', label: 'engine firing', missing, plausibleAtWheel: [] });
    } else {
      add('engine', 'firing', 'engine firing', 1, 'engine', firingOrder(cylinders), ['engine']);
    }
  }

  const bearing = usableWheelBearing(vehicle);
  if (bearing) {
    const rates = bearingRates(bearing);
    for (const { kind, name, rate } of BEARING_LINES) {
      add('wheel-bearing', kind, name, 1, 'wheel', rates[rate], WHEEL_BEARINGS);
    }
  } else {
    const family = plausibleWheelBearingRates();
    for (const { kind, name, rate } of BEARING_LINES) {
      unknown.push({
        part: 'wheel-bearing',
        kind,
        label: name,
        missing: 'wheel bearing geometry',
        plausibleAtWheel: family.map((member) => member[rate]),
      });
    }
  }

  return { lines, unknown, turnsPerWheelTurn };
}
