import type { DrivingState } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import {
  CALIBRATION_SD_DB,
  CLAMPING_SD_DB,
  type ComparableMeasure,
  isPlaced,
  levelOf,
  type MeasureKind,
  overlap,
  repeatSd_db,
  type SpeedBand,
} from './comparable.ts';

/** Where a pickup of a visit sat, whether or not anything could be measured there. */
export type Placement = {
  readonly runId: number;
  readonly channel: number;
  readonly position: string;
  readonly pickup: string | null;
  readonly fullScale_m_s2: number | null;
};

export type VisitToCompare = {
  /** ISO 8601. */
  readonly startedAt: string;
  readonly placements: readonly Placement[];
  readonly measures: readonly ComparableMeasure[];
};

export type NotComparable = 'placement' | 'sensitivity' | 'state' | 'speedBand' | 'method' | 'notMeasured';

export type Refusal = {
  readonly positions: readonly string[];
  readonly reason: NotComparable;
  readonly sentence: Message;
};

export type Difference = {
  readonly kind: MeasureKind;
  readonly part: string;
  readonly label: string;
  readonly position: string;
  readonly state: DrivingState;
  readonly speedBand: SpeedBand;
  /** dB re 1 µm/s², or dB for a prominence. */
  readonly earlier_db: number;
  readonly later_db: number;
  /** Later less earlier. */
  readonly difference_db: number;
  /** Half width of the interval that holds the true difference with 95 % (coverage factor 2, as in the GUM). */
  readonly uncertainty_db: number;
  readonly change: 'louder' | 'quieter' | 'withinUncertainty';
  readonly sentence: Message;
};

/** A place, state and speed band in which both visits were measured: there they can be overlaid and heard in turn. */
export type CommonGround = {
  readonly position: string;
  readonly state: DrivingState;
  readonly speedBand: SpeedBand;
  readonly earlier: { readonly runId: number; readonly channel: number };
  readonly later: { readonly runId: number; readonly channel: number };
};

export type VisitComparison = {
  readonly summary: Message;
  /** Those that differ most, measured by their uncertainty, first. */
  readonly differences: readonly Difference[];
  readonly refused: readonly Refusal[];
  readonly ground: readonly CommonGround[];
};

/** Coverage factor of an interval of about 95 % (JCGM 100, the GUM). */
const COVERAGE = 2;
/** Share of its narrower band that two bands must have in common (common practice). */
const LEAST_OVERLAP = 0.5;

/**
 * Compares two visits of a vehicle, like with like only: the same position, the same state, an overlapping speed band
 * and a known sensitivity on both sides. Everything else is refused with its reason.
 *
 * The uncertainty of a difference is that of both visits' repeats, of clamping the pickups anew, and of the pickups'
 * calibration where it is another one.
 */
export function compareVisits(earlier: VisitToCompare, later: VisitToCompare): VisitComparison {
  const differences: Difference[] = [];
  const refused: Refusal[] = [];
  const ground: CommonGround[] = [];
  const positions = [...new Set([...later.placements, ...earlier.placements].map((p) => p.position))];
  for (const position of positions) {
    const sides = { earlier: sideOf(earlier, position), later: sideOf(later, position) };
    const refusal = placeRefusal(position, sides, { earlier, later });
    if (refusal) {
      refused.push(refusal);
      continue;
    }
    for (const state of statesOf(sides)) {
      const found = compareState(position, state, sides, earlier.startedAt);
      differences.push(...found.differences);
      ground.push(...found.ground);
      refused.push(...found.refused);
    }
  }
  const clearest = (d: Difference): number => Math.abs(d.difference_db) / d.uncertainty_db;
  differences.sort((a, b) => clearest(b) - clearest(a));
  return { summary: summaryOf(differences, refused), differences, refused: merged(refused), ground };
}

type Side = { readonly placements: readonly Placement[]; readonly measures: readonly ComparableMeasure[] };
type Sides = { readonly earlier: Side; readonly later: Side };

const sideOf = (visit: VisitToCompare, position: string): Side => ({
  placements: visit.placements.filter((p) => p.position === position),
  measures: visit.measures.filter((m) => m.position === position),
});

type Which = 'earlier' | 'later';
const BOTH: readonly Which[] = ['earlier', 'later'];
const other = (which: Which): Which => (which === 'earlier' ? 'later' : 'earlier');

/** Why nothing at a position can be compared; null when something can. */
function placeRefusal(
  position: string,
  sides: Sides,
  visits: { readonly earlier: VisitToCompare; readonly later: VisitToCompare },
): Refusal | null {
  const refuse = (reason: NotComparable, sentence: Message): Refusal => ({
    positions: [position],
    reason,
    sentence,
  });
  if (!isPlaced(position)) return refuse('placement', message('compare.nobodySaidWhere'));
  for (const which of BOTH) {
    if (sides[which].placements.length > 0) continue;
    const moved = sides[other(which)].placements
      .map(({ channel }) => visits[which].placements.find((p) => p.channel === channel))
      .find((p) => p !== undefined);
    const here = { place: position, which };
    return refuse(
      'placement',
      moved
        ? message('compare.noPickupButMoved', { ...here, channel: moved.channel, moved: moved.position })
        : message('compare.noPickup', here),
    );
  }
  for (const which of BOTH) {
    const { placements } = sides[which];
    if (placements.some((p) => p.fullScale_m_s2 !== null)) continue;
    const { pickup } = placements[0]!;
    const before = sides[other(which)].placements[0]!.pickup;
    const here = { place: position, which };
    return refuse(
      'sensitivity',
      pickup === null
        ? message('compare.sensitivity', here)
        : before === null || pickup === before
          ? message('compare.sensitivityOf', { ...here, pickup })
          : message('compare.sensitivityOfOther', { ...here, pickup, before }),
    );
  }
  for (const which of BOTH) {
    if (sides[which].measures.some((m) => m.fullScale_m_s2 !== null)) continue;
    return refuse('notMeasured', message('compare.nothingMeasured', { place: position, which }));
  }
  return null;
}

const statesOf = ({ earlier, later }: Sides): DrivingState[] => [
  ...new Set([...later.measures, ...earlier.measures].map((m) => m.state)),
];

const bandKey = ({ low_km_h, high_km_h }: SpeedBand): string => `${low_km_h}-${high_km_h}`;

/** Measures of known sensitivity by speed band. */
function byBand(side: Side, state: DrivingState): Map<string, ComparableMeasure[]> {
  const bands = new Map<string, ComparableMeasure[]>();
  for (const measure of side.measures) {
    if (measure.state !== state || measure.fullScale_m_s2 === null) continue;
    const key = bandKey(measure.speedBand);
    bands.set(key, [...(bands.get(key) ?? []), measure]);
  }
  return bands;
}

function compareState(
  position: string,
  state: DrivingState,
  sides: Sides,
  earlierAt: string,
): Pick<VisitComparison, 'differences' | 'ground' | 'refused'> {
  const bands = { earlier: byBand(sides.earlier, state), later: byBand(sides.later, state) };
  const refuse = (reason: NotComparable, sentence: Message): Refusal => ({
    positions: [position],
    reason,
    sentence,
  });
  for (const which of BOTH) {
    if (bands[which].size === 0) {
      const sentence = message('compare.stateNotDriven', { state, which });
      return { differences: [], ground: [], refused: [refuse('state', sentence)] };
    }
  }
  const differences: Difference[] = [];
  const ground: CommonGround[] = [];
  const refused: Refusal[] = [];
  const met = new Set<string>();
  for (const now of bands.later.values()) {
    const then = nearest(bands.earlier, now[0]!.speedBand);
    if (!then) {
      refused.push(refuse('speedBand', alone(state, now[0]!.speedBand, 'later')));
      continue;
    }
    met.add(bandKey(then[0]!.speedBand));
    const found = compareBand(then, now, earlierAt);
    differences.push(...found.differences);
    for (const [reason, sentence] of found.refused) refused.push(refuse(reason, sentence));
    const common = { earlier: mostRepeated(then), later: mostRepeated(now) };
    ground.push({
      position,
      state,
      speedBand: now[0]!.speedBand,
      earlier: { runId: common.earlier.runId, channel: common.earlier.channel },
      later: { runId: common.later.runId, channel: common.later.channel },
    });
  }
  for (const [key, then] of bands.earlier) {
    if (!met.has(key)) refused.push(refuse('speedBand', alone(state, then[0]!.speedBand, 'earlier')));
  }
  return { differences, ground, refused };
}

const alone = (state: DrivingState, { low_km_h, high_km_h }: SpeedBand, which: Which): Message =>
  message('compare.drivenOnlyAt', { state, low_km_h, high_km_h, which });

function nearest(bands: Map<string, ComparableMeasure[]>, band: SpeedBand): ComparableMeasure[] | null {
  let best: ComparableMeasure[] | null = null;
  let most = LEAST_OVERLAP;
  for (const measures of bands.values()) {
    const common = overlap(measures[0]!.speedBand, band);
    if (common < most || (best && common === most)) continue;
    most = common;
    best = measures;
  }
  return best;
}

const mostRepeated = (measures: readonly ComparableMeasure[]): ComparableMeasure =>
  measures.reduce((a, b) => (b.repeats > a.repeats ? b : a));

/** Of several runs of a visit, the figure of the one with most repeats counts. */
function byFigure(measures: readonly ComparableMeasure[]): Map<string, ComparableMeasure> {
  const figures = new Map<string, ComparableMeasure>();
  for (const m of measures) {
    const key = `${m.kind} ${m.part} ${m.label}`;
    const known = figures.get(key);
    if (!known || m.repeats > known.repeats) figures.set(key, m);
  }
  return figures;
}

function compareBand(
  then: readonly ComparableMeasure[],
  now: readonly ComparableMeasure[],
  earlierAt: string,
): { differences: Difference[]; refused: [NotComparable, Message][] } {
  const differences: Difference[] = [];
  const refused = new Map<string, [NotComparable, Message]>();
  const before = byFigure(then);
  const after = byFigure(now);
  for (const [key, later] of after) {
    const earlier = before.get(key);
    if (!earlier) {
      refused.set(`earlier ${later.label}`, [
        'notMeasured',
        message('compare.figureNotMeasured', { label: later.label, which: 'earlier' }),
      ]);
    } else if (earlier.method !== later.method || earlier.unit !== later.unit) {
      refused.set('method', ['method', message('compare.otherMethod')]);
    } else differences.push(differenceOf(earlier, later, earlierAt));
  }
  for (const [key, { label }] of before) {
    if (after.has(key)) continue;
    refused.set(`later ${label}`, [
      'notMeasured',
      message('compare.figureNotMeasured', { label, which: 'later' }),
    ]);
  }
  return { differences, refused: [...refused.values()] };
}

function differenceOf(earlier: ComparableMeasure, later: ComparableMeasure, earlierAt: string): Difference {
  const earlier_db = levelOf(earlier);
  const later_db = levelOf(later);
  const difference_db = later_db - earlier_db;
  const samePickup = earlier.pickup === later.pickup;
  const uncertainty_db =
    COVERAGE *
    Math.hypot(
      repeatSd_db(earlier),
      repeatSd_db(later),
      CLAMPING_SD_DB * Math.SQRT2,
      samePickup ? 0 : CALIBRATION_SD_DB * Math.SQRT2,
    );
  const change =
    Math.abs(difference_db) <= uncertainty_db
      ? 'withinUncertainty'
      : difference_db > 0
        ? 'louder'
        : 'quieter';
  const { kind, part, label, position, state, speedBand } = later;
  const figures = { kind, part, label, position, state, speedBand, earlier_db, later_db };
  return {
    ...figures,
    difference_db,
    uncertainty_db,
    change,
    sentence: differenceSentence(later, difference_db, uncertainty_db, change, earlierAt),
  };
}

function differenceSentence(
  { kind, label, position, state, speedBand }: ComparableMeasure,
  difference_db: number,
  uncertainty_db: number,
  change: Difference['change'],
  earlierAt: string,
): Message {
  const values = {
    figure:
      kind === 'bandLevel'
        ? message('compare.noiseOf', { band: label })
        : message('compare.figure', { label }),
    place: position,
    state,
    ...speedBand,
    since: earlierAt,
    difference_db: change === 'withinUncertainty' ? difference_db : Math.abs(difference_db),
    uncertainty_db,
  };
  if (change === 'withinUncertainty') return message('compare.unchanged', values);
  if (kind !== 'envelopeProminence') return message(`compare.${change}`, values);
  return message(change === 'louder' ? 'compare.standsOutMore' : 'compare.standsOutLess', values);
}

/** One line for places that share a reason, so that the list can be read. */
function merged(refused: readonly Refusal[]): Refusal[] {
  const bySentence = new Map<string, Refusal>();
  for (const { positions, reason, sentence } of refused) {
    const key = `${reason} ${JSON.stringify(sentence)}`;
    const known = bySentence.get(key);
    const all = [...new Set([...(known?.positions ?? []), ...positions])];
    bySentence.set(key, { positions: all, reason, sentence });
  }
  return [...bySentence.values()];
}

function summaryOf(differences: readonly Difference[], refused: readonly Refusal[]): Message {
  if (differences.length === 0) {
    const reasons = [...new Set(refused.map((r) => r.reason))];
    return reasons.length > 0
      ? message('compare.nothingComparableWhy', { reasons })
      : message('compare.nothingComparable');
  }
  const changed = differences.filter((d) => d.change !== 'withinUncertainty');
  const counted = message('compare.counted', {
    changed: changed.length,
    all: differences.length,
    byChance: Math.round(0.05 * differences.length),
  });
  const loudest = changed.find((d) => d.change === 'louder' && d.kind !== 'bandLevel') ?? changed[0];
  return loudest
    ? message('compare.changed', { first: loudest.sentence, counted })
    : message('compare.noChange', { counted });
}
