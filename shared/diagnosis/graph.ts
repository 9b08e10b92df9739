import type { DriveLayout, Position, Source } from '../driveline/words.ts';

/**
 * The running gear as a net of places that vibration travels over. A hop is one joint, shaft or flange between two
 * castings; places on the same casting lie a fraction of a hop apart. Lengths are rough on purpose: what a hop
 * costs in dB, and how far a real car strays from it, is `travel.ts`.
 */

/** Where a source sits: on a place that can hold a pickup, or inside a casting between several such places. */
type Node = string;
type Edge = readonly [Node, Node, number];

const CASTING = { front: 'inside differential-front', rear: 'inside differential-rear' } as const;
const FRONT_BODY = 'front body';

/** The driveline as far as the net depends on it. */
export type Driveline = { readonly layout: DriveLayout; readonly electricDrive: boolean };

const EVERY_CAR: readonly Edge[] = [
  ['hub-front-left', FRONT_BODY, 1.3],
  ['hub-front-right', FRONT_BODY, 1.3],
  ['hub-rear-left', 'subframe-rear', 1],
  ['hub-rear-right', 'subframe-rear', 1],
  [FRONT_BODY, 'subframe-rear', 1.5],
  ['transmission', 'engine-mount', 0.8],
];

const COMBUSTION: readonly Edge[] = [
  ['inside engine', 'engine-mount', 0.2],
  ['inside engine', 'transmission', 0.7],
  ['engine-mount', FRONT_BODY, 0.7],
];

const FRONT_AXLE: readonly Edge[] = [
  [CASTING.front, 'differential-front-left', 0.2],
  [CASTING.front, 'differential-front-right', 0.2],
  ['differential-front-left', 'hub-front-left', 1],
  ['differential-front-right', 'hub-front-right', 1],
];

const REAR_AXLE: readonly Edge[] = [
  [CASTING.rear, 'differential-rear-left', 0.2],
  [CASTING.rear, 'differential-rear-right', 0.2],
  [CASTING.rear, 'differential-rear-pinion', 0.2],
  ['differential-rear-left', 'hub-rear-left', 1],
  ['differential-rear-right', 'hub-rear-right', 1],
  [CASTING.rear, 'subframe-rear', 0.7],
];

const PROPSHAFT: readonly Edge[] = [['differential-rear-pinion', 'propshaft-centre-bearing', 1]];

/**
 * The final drive of a crosswise gearbox shares its casting; a lengthwise four-wheel drive flanges it on. Electric
 * drive units stand at their axle and need no propshaft.
 */
function netEdges({ layout, electricDrive }: Driveline): readonly Edge[] {
  if (electricDrive) {
    const axles =
      layout === 'fwd' ? FRONT_AXLE : layout === 'rwd' ? REAR_AXLE : [...FRONT_AXLE, ...REAR_AXLE];
    const unit: Edge[] =
      layout === 'rwd'
        ? [
            [CASTING.rear, 'transmission', 0.4],
            ['engine-mount', 'subframe-rear', 0.7],
          ]
        : [
            [CASTING.front, 'transmission', 0.4],
            ['engine-mount', FRONT_BODY, 0.7],
          ];
    return [...EVERY_CAR, ...axles, ...unit];
  }
  const combustion = [...EVERY_CAR, ...COMBUSTION];
  switch (layout) {
    case 'fwd':
      return [...combustion, ...FRONT_AXLE, [CASTING.front, 'transmission', 0.4]];
    case 'rwd':
      return [...combustion, ...REAR_AXLE, ...PROPSHAFT, ['propshaft-centre-bearing', 'transmission', 1]];
    case 'awd':
      return [
        ...combustion,
        ...FRONT_AXLE,
        ...REAR_AXLE,
        ...PROPSHAFT,
        [CASTING.front, 'transmission', 0.6],
        ['transmission', 'transfer-case', 0.4],
        ['transfer-case', 'propshaft-centre-bearing', 1],
      ];
  }
}

/** Where a source's noise enters the net, and how far inside its part it arises. */
function entrance(source: Source): { node: Node; hops: number } | null {
  if (source === 'none') return null;
  if (source.startsWith('wheel-bearing-')) return { node: source.replace('wheel-bearing', 'hub'), hops: 0.1 };
  if (source.startsWith('tyre-')) return { node: source.replace('tyre', 'hub'), hops: 0.3 };
  if (source === 'differential-front') return { node: CASTING.front, hops: 0 };
  if (source === 'differential-rear') return { node: CASTING.rear, hops: 0 };
  if (source === 'engine') return { node: 'inside engine', hops: 0 };
  return { node: source, hops: 0.1 };
}

/** Sources that a vehicle of this driveline can have; `none` is always among them. */
export function possibleSources({ layout, electricDrive }: Driveline): Source[] {
  const corners = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;
  return [
    ...corners.map((c) => `wheel-bearing-${c}` as const),
    ...corners.map((c) => `tyre-${c}` as const),
    ...(layout === 'rwd' ? [] : (['differential-front'] as const)),
    ...(layout === 'fwd' ? [] : (['differential-rear'] as const)),
    ...(layout === 'fwd' || electricDrive ? [] : (['propshaft-centre-bearing'] as const)),
    'transmission',
    ...(electricDrive ? [] : (['engine'] as const)),
    'none',
  ];
}

/** Known positions that exist on a vehicle of this driveline and can hold a pickup. */
export function usefulPositions(driveline: Driveline): Position[] {
  const nodes = new Set<Node>(netEdges(driveline).flatMap((edge) => edge.slice(0, 2) as [Node, Node]));
  return [...nodes].filter((n) => !n.startsWith('inside ') && n !== FRONT_BODY);
}

function shortestHops(edges: readonly Edge[], from: Node): Map<Node, number> {
  const hops = new Map<Node, number>([[from, 0]]);
  // The net has about twenty nodes: relaxing every edge until nothing changes is quick and plain.
  for (let changed = true; changed; ) {
    changed = false;
    for (const [a, b, length] of edges) {
      for (const [u, v] of [
        [a, b],
        [b, a],
      ] as const) {
        const through = (hops.get(u) ?? Number.POSITIVE_INFINITY) + length;
        if (through < (hops.get(v) ?? Number.POSITIVE_INFINITY) - 1e-9) {
          hops.set(v, through);
          changed = true;
        }
      }
    }
  }
  return hops;
}

/** How far a source is from a position, and how sure that is. */
export type Path = {
  readonly hops: number;
  /** Standard deviation of `hops` for a place that the net does not know. */
  readonly hopsSd: number;
};

/** What a place of the user's own naming may be near, told from the words in its name. */
function nearestKnown(position: string): { node: Node; hops: number; sd: number } | null {
  const words = position.toLowerCase();
  const axle = /front/.test(words) ? 'front' : /rear/.test(words) ? 'rear' : null;
  const side = /left/.test(words) ? 'left' : /right/.test(words) ? 'right' : null;
  if (/prop|centre|center/.test(words)) return { node: 'propshaft-centre-bearing', hops: 0.5, sd: 0.5 };
  if (/gearbox|transmission/.test(words)) return { node: 'transmission', hops: 0.4, sd: 0.4 };
  if (/engine/.test(words)) return { node: 'engine-mount', hops: 0.5, sd: 0.5 };
  if (/diff|axle housing/.test(words) && axle) return { node: CASTING[axle], hops: 0.4, sd: 0.4 };
  if (axle && side) return { node: `hub-${axle}-${side}`, hops: 0.7, sd: 0.6 };
  if (axle) return { node: axle === 'front' ? FRONT_BODY : 'subframe-rear', hops: 0.5, sd: 0.7 };
  return null;
}

export type RunningGearNet = {
  /** Path from a source's own place to a position; never throws: an unknown place is far and unsure. */
  path(source: Source, position: Position): Path;
  /** Whether a pickup at `position` sits on the part itself. */
  isOn(source: Source, position: Position): boolean;
};

/** An unknown place says little: somewhere on the car, give or take. */
const UNKNOWN_PLACE: Path = { hops: 2.5, hopsSd: 1.5 };
/** Up to this many hops a pickup sits on the source's own casting. */
export const ON_THE_PART = 0.35;

/** The net of a vehicle's running gear, from every source to every place. */
export function runningGearNet(driveline: Driveline): RunningGearNet {
  const edges = netEdges(driveline);
  const fromSource = new Map<Source, Map<Node, number>>();
  const path = (source: Source, position: Position): Path => {
    const door = entrance(source);
    if (!door) return UNKNOWN_PLACE;
    let hops = fromSource.get(source);
    if (!hops) fromSource.set(source, (hops = shortestHops(edges, door.node)));
    const known = hops.get(position);
    if (known !== undefined) return { hops: known + door.hops, hopsSd: 0 };
    const near = nearestKnown(position);
    const toNear = near && hops.get(near.node);
    if (!near || toNear === undefined || toNear === null) return UNKNOWN_PLACE;
    return { hops: toNear + near.hops + door.hops, hopsSd: near.sd };
  };
  return {
    path,
    isOn(source, position) {
      const { hops, hopsSd } = path(source, position);
      return hops <= ON_THE_PART && hopsSd === 0;
    },
  };
}
