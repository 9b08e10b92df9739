import type { Source, Wheel } from '../driveline/words.ts';
import { SOURCES } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import type { Evidence } from './findings.ts';

/**
 * What eyes, hands and the drain plug say, and how much each finding weighs.
 *
 * The weights are natural logs of likelihood ratios against a healthy part: how much more often the finding is
 * made on a vehicle whose noise comes from that part than on one whose noise does not. No counts are published
 * that they could rest on; they are the trade's judgement, kept so small that no single finding settles a source
 * by itself, and stated beside every finding that uses them.
 */

/** Units with a fluid of their own. */
export const FLUID_UNITS = [
  'differential-front',
  'differential-rear',
  'transfer-case',
  'transmission',
] as const;
export type FluidUnit = (typeof FLUID_UNITS)[number];

/** Play felt at the lifted wheel, held at top and bottom. */
export const PLAY = ['none', 'slight', 'clear'] as const;
/** The bearing turned by hand. */
export const DRAG = ['smooth', 'rough', 'binding'] as const;
/** What clings to the drain plug's magnet. */
export const DEBRIS = ['clean', 'finePaste', 'flakes', 'chips'] as const;
export const TYRE_WEAR = [
  'even',
  'centre',
  'bothShoulders',
  'innerShoulder',
  'outerShoulder',
  'feathered',
  'cupped',
  'flatSpot',
] as const;

/** Null: not looked at. */
export type WheelFinding = {
  readonly wheel: Wheel;
  readonly play: (typeof PLAY)[number] | null;
  readonly drag: (typeof DRAG)[number] | null;
  readonly tyreWear: (typeof TYRE_WEAR)[number] | null;
};

export type PlugWork = {
  /** From the maker's service information; null: not looked up. */
  readonly wanted_Nm: number | null;
  readonly done_Nm: number | null;
};

export type UnitFinding = {
  readonly unit: FluidUnit;
  readonly debris: (typeof DEBRIS)[number] | null;
  readonly drained_l: number | null;
  readonly refilled_l: number | null;
  readonly fillPlugOpenedFirst: boolean | null;
  readonly fillPlug: PlugWork;
  readonly drainPlug: PlugWork;
};

/** What the weights need of an inspection; the form's content is assignable to it. */
export type InspectionFindings = {
  readonly wheels: readonly WheelFinding[];
  readonly units: readonly UnitFinding[];
};

/** A finding's weight for one source, with the sentence that states it. */
export type InspectionWeight = {
  readonly source: Source;
  /** Natural log of the likelihood ratio against the source being healthy. */
  readonly logOdds: number;
  readonly kind: 'play' | 'drag' | 'debris' | 'tyreWear';
  readonly position: string;
  readonly text: Message;
};

/** Play has other causes as well: ball joints, tie rods, a loose nut. */
const PLAY_WEIGHT: Record<(typeof PLAY)[number], number> = { none: -0.4, slight: 0.7, clear: 2 };
/** A bearing that runs rough by hand is worn; one that runs smooth can still make a noise under load. */
const DRAG_WEIGHT: Record<(typeof DRAG)[number], number> = { smooth: -0.5, rough: 2, binding: 1.4 };
/** Fine paste is normal wear and says next to nothing. */
const DEBRIS_WEIGHT: Record<(typeof DEBRIS)[number], number> = {
  clean: -0.5,
  finePaste: 0,
  flakes: 1.6,
  chips: 2.3,
};
/** Patterns that hit the road unevenly are heard; worn centres and shoulders hardly. */
const TYRE_WEIGHT: Record<(typeof TYRE_WEAR)[number], number> = {
  even: -0.5,
  centre: 0,
  bothShoulders: 0.2,
  innerShoulder: 0.4,
  outerShoulder: 0.4,
  feathered: 1.2,
  cupped: 1.8,
  flatSpot: 1.4,
};

const UNIT_SOURCE: Record<FluidUnit, Source> = {
  'differential-front': 'differential-front',
  'differential-rear': 'differential-rear',
  'transfer-case': 'transmission',
  transmission: 'transmission',
};

/** In words, how much a weight says. */
function speaks(logOdds: number): string {
  if (logOdds === 0) return 'nothing';
  const size = Math.abs(logOdds);
  const word = size < 0.6 ? 'slightly' : size < 1.5 ? 'clearly' : 'strongly';
  return `${word}${logOdds > 0 ? 'For' : 'Against'}`;
}

/** Every finding that was made, with its weight; what was not looked at weighs nothing. */
export function inspectionWeights(inspection: InspectionFindings): InspectionWeight[] {
  const weights: InspectionWeight[] = [];
  const add = (
    source: Source,
    kind: InspectionWeight['kind'],
    place: string,
    found: string,
    weight: number,
  ) =>
    weights.push({
      source,
      kind,
      position: place,
      logOdds: weight,
      text: message(`inspection.${kind}`, { place, found, speaks: speaks(weight), weight }),
    });
  for (const { wheel, play, drag, tyreWear } of inspection.wheels) {
    const hub = `hub-${wheel}`;
    if (play) add(`wheel-bearing-${wheel}`, 'play', hub, play, PLAY_WEIGHT[play]);
    if (drag) add(`wheel-bearing-${wheel}`, 'drag', hub, drag, DRAG_WEIGHT[drag]);
    if (tyreWear) add(`tyre-${wheel}`, 'tyreWear', hub, tyreWear, TYRE_WEIGHT[tyreWear]);
  }
  for (const { unit, debris } of inspection.units) {
    if (debris) add(UNIT_SOURCE[unit], 'debris', unit, debris, DEBRIS_WEIGHT[debris]);
  }
  return weights;
}

/** The weights as evidence of a source, in the form in which the analysis gives its own. */
export const inspectionEvidence = (inspection: InspectionFindings, source: Source): Evidence[] =>
  inspectionWeights(inspection)
    .filter((w) => w.source === source)
    .map(({ position, logOdds, text }) => ({
      kind: 'inspection',
      position,
      value: logOdds,
      unit: 'ln odds',
      text,
    }));

/**
 * Probabilities after the inspection: each is multiplied by the exponential of its weights, and all are brought back
 * to a sum of 1. A source that was ruled out stays so.
 * @param probabilities of all sources, summing to 1
 */
export function withInspection(
  probabilities: ReadonlyMap<Source, number>,
  inspection: InspectionFindings,
): Map<Source, number> {
  const logOdds = new Map<Source, number>();
  for (const { source, logOdds: w } of inspectionWeights(inspection)) {
    logOdds.set(source, (logOdds.get(source) ?? 0) + w);
  }
  if (logOdds.size === 0) return new Map(probabilities);
  const weighted = SOURCES.map(
    (s) => [s, (probabilities.get(s) ?? 0) * Math.exp(logOdds.get(s) ?? 0)] as const,
  );
  const total = weighted.reduce((sum, [, p]) => sum + p, 0);
  return new Map(weighted.map(([s, p]) => [s, total > 0 ? p / total : 0]));
}

/** A finding with which nobody drives on. */
export type HardStop = { readonly position: string; readonly text: Message };

/** Play in a bearing, or chips on the magnet: do not drive. */
export function hardStops(inspection: InspectionFindings): HardStop[] {
  return [
    ...inspection.wheels
      .filter((w) => w.play === 'clear')
      .map((w) => ({
        position: `hub-${w.wheel}`,
        text: message('stop.play', { wheel: w.wheel }),
      })),
    ...inspection.units
      .filter((u) => u.debris === 'chips')
      .map((u) => ({
        position: u.unit,
        text: message('stop.chips', { unit: u.unit }),
      })),
  ];
}

/** Drops cling to a casing and a measuring jug is read to about this (common practice). */
const FLUID_TOLERANCE_L = 0.05;
const FLUID_TOLERANCE = 0.05;
/** A click wrench keeps 4 % (ISO 6789 asks for it; from memory); one more per cent for the reading. */
const TORQUE_TOLERANCE = 0.05;

/** Work that does not agree with itself or with the maker's data. */
export function inspectionDoubts(inspection: InspectionFindings): { unit: FluidUnit; text: Message }[] {
  return inspection.units.flatMap((u) => {
    const { unit, drained_l, refilled_l } = u;
    const texts: Message[] = [];
    if (drained_l !== null && refilled_l !== null) {
      const difference_l = Math.abs(refilled_l - drained_l);
      if (difference_l > Math.max(FLUID_TOLERANCE_L, FLUID_TOLERANCE * drained_l)) {
        const id = refilled_l < drained_l ? 'plugs.lessRefilled' : 'plugs.moreRefilled';
        texts.push(message(id, { unit, difference_l }));
      }
    } else if (drained_l !== null && drained_l > 0) {
      texts.push(message('plugs.notRefilled', { unit }));
    }
    if (drained_l !== null && u.fillPlugOpenedFirst === false) {
      texts.push(message('plugs.fillFirst', { unit }));
    }
    for (const [plug, { wanted_Nm, done_Nm }] of [
      ['fill', u.fillPlug],
      ['drain', u.drainPlug],
    ] as const) {
      if (done_Nm === null) continue;
      if (wanted_Nm === null) texts.push(message('plugs.notLookedUp', { unit, plug }));
      else if (Math.abs(done_Nm / wanted_Nm - 1) > TORQUE_TOLERANCE) {
        texts.push(message('plugs.wrongTorque', { unit, plug, done_Nm, wanted_Nm }));
      }
    }
    return texts.map((text) => ({ unit, text }));
  });
}
