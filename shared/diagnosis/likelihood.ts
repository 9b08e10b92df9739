import type { Source } from '../driveline/words.ts';
import { median } from '../dsp/levels.ts';
import type { FamilyBelief } from './emission.ts';
import type { RunningGearNet } from './graph.ts';
import type { FamilyFeatures, Observation } from './observation.ts';
import { LOSS_PER_HOP_DB, PLACEMENT_SD_DB, type TravelBand, travelLoss } from './travel.ts';

/**
 * How well one family's levels at all pickups of a visit fit "this part makes it".
 *
 * At a place the family's power is the sum of what the healthy parts send there and of what the faulty part sends.
 * Unknown and summed out: the fault's level at its part, the healthy level (one per group of places that are alike
 * by symmetry), the loss per hop. Each pickup then deviates on its own by its mounting and its path, with tails
 * heavier than a bell curve's, so that one odd pickup cannot decide. A family that does not stand out at a pickup
 * counts too: it is quieter there than its limit.
 */

/** Degrees of freedom of Student's t for deviations: heavy tails. */
const TAIL = 4;
/** Run-to-run change of level that speed and road leave after correction. */
const RUN_SD_DB = 1.5;

/** log of the density of Student's t with 4 degrees of freedom: Γ(2.5) / (√(4π) Γ(2)) = 3/8. */
const LOG_T4 = Math.log(3 / 8);

export function logT(deviation: number, scale: number): number {
  const z = deviation / scale;
  return LOG_T4 - Math.log(scale) - 2.5 * Math.log1p((z * z) / TAIL);
}

/** log of the chance of a level below a limit that lies `margin` above the expected one. */
function logBelow(margin: number, scale: number): number {
  // The logistic curve stands in for the cumulative t; some paths are simply dead, so it never gets quite sure.
  return Math.log(0.97 / (1 + Math.exp((-1.7 * margin) / scale)) + 0.03);
}

const powerSum = (a_db: number, b_db: number): number => {
  const hi = Math.max(a_db, b_db);
  return hi + 4.342944819 * Math.log1p(Math.exp((Math.min(a_db, b_db) - hi) * 0.2302585093));
};

/** `Math.hypot` guards against overflow, which no decibel needs, at ten times the time. */
const rootOfSquares = (a: number, b: number): number => Math.sqrt(a * a + b * b);

export function logSumExp(values: ArrayLike<number>): number {
  let hi = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) if (values[i]! > hi) hi = values[i]!;
  if (hi === Number.NEGATIVE_INFINITY) return hi;
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += Math.exp(values[i]! - hi);
  return hi + Math.log(sum);
}

/** Values and log weights of a bell curve, `points` of them over ±2.5 standard deviations. */
function quadrature(mean: number, sd: number, points: number): { x: Float64Array; logW: Float64Array } {
  const x = new Float64Array(points);
  const logW = new Float64Array(points);
  let total = 0;
  for (let i = 0; i < points; i++) {
    const z = -2.5 + (5 * i) / (points - 1);
    x[i] = mean + z * sd;
    logW[i] = Math.exp(-0.5 * z * z);
    total += logW[i]!;
  }
  for (let i = 0; i < points; i++) logW[i] = Math.log(logW[i]! / total);
  return { x, logW };
}

/** Places that are alike have about the same healthy level: the four hubs, the sides of one casting. */
export function likeGroup(position: string): string {
  if (position.startsWith('hub-')) return 'hubs';
  const casting = /^differential-(front|rear)/.exec(position);
  return casting ? casting[0] : position.replace(/-?(left|right)/, '');
}

/** One place as the model sees it: the observation and how often the same place was measured. */
type Place = { readonly observation: Observation; readonly weight: number };

/** The state of one family that is common to all hypotheses. */
export type FamilyModel = {
  readonly features: FamilyFeatures;
  readonly belief: FamilyBelief;
  /** The level that strengths are counted from. */
  readonly reference_db: number;
  readonly groups: readonly { readonly name: string; readonly places: readonly Place[] }[];
};

/** Prepares a family; null when nothing was measured. */
export function familyModel(features: FamilyFeatures, belief: FamilyBelief): FamilyModel | null {
  const { observations } = features;
  if (observations.length === 0) return null;
  const times = new Map<string, number>();
  for (const o of observations) times.set(o.position, (times.get(o.position) ?? 0) + 1);
  const groups = new Map<string, Place[]>();
  for (const observation of observations) {
    // Measured again at the same place the path's deviation is the same: it tells less than a new place.
    const k = times.get(observation.position)!;
    const place = { observation, weight: (1 + 0.3 * (k - 1)) / k };
    const name =
      belief.follows === 'carrier' || belief.emitters.length === 1
        ? 'together'
        : likeGroup(observation.position);
    groups.set(name, [...(groups.get(name) ?? []), place]);
  }
  return {
    features,
    belief,
    reference_db: median(observations.map((o) => o.against_db)),
    groups: [...groups].map(([name, places]) => ({ name, places })),
  };
}

const HEALTHY_POINTS = 9;
const FAULT_POINTS = 15;

/** How the healthy level at a place differs from the family's, and its own spread. */
export type HealthyField = { readonly loss_db: number; readonly sd_db: number };

/** @param against_db what the family is heard against at the place, less the family's reference */
export function healthyField(
  net: RunningGearNet,
  belief: FamilyBelief,
  band: TravelBand,
  position: string,
  against_db: number,
  perHop_db: number,
): HealthyField {
  if (belief.follows === 'carrier') return { loss_db: -against_db, sd_db: belief.alikeSd_db };
  if (belief.follows === 'places') return { loss_db: 0, sd_db: belief.alikeSd_db };
  let nearest = { loss_db: Number.POSITIVE_INFINITY, sd_db: 0 };
  for (const emitter of belief.emitters) {
    const loss = travelLoss(net.path(emitter, position), perHop_db, band);
    if (loss.loss_db < nearest.loss_db) nearest = loss;
  }
  return { loss_db: nearest.loss_db, sd_db: Math.hypot(nearest.sd_db, belief.alikeSd_db) };
}

export type FamilyFit = {
  /** Natural log of the density of all levels, for each loss per hop of `LOSS_PER_HOP_DB`. */
  readonly byLoss: Float64Array;
  /** For each loss per hop: log density over the fault's levels `faultLevels_db`; null for healthy. */
  readonly byFault: readonly Float64Array[] | null;
  readonly faultLevels_db: Float64Array | null;
};

/**
 * @param source the faulty part that also sends this family, or null when only healthy parts do
 */
export function fitFamily(model: FamilyModel, net: RunningGearNet, source: Source | null): FamilyFit {
  const { belief, features, reference_db } = model;
  const healthy = quadrature(reference_db + belief.healthy.mean_db, belief.healthy.sd_db, HEALTHY_POINTS);
  const fault = source
    ? quadrature(reference_db + belief.faulty.mean_db, belief.faulty.sd_db, FAULT_POINTS)
    : null;
  const reading_db = readingSd(belief);
  const byLoss = new Float64Array(LOSS_PER_HOP_DB.length);
  const byFault: Float64Array[] = [];
  const faultPoints = fault ? FAULT_POINTS : 1;
  for (let l = 0; l < LOSS_PER_HOP_DB.length; l++) {
    const perHop = LOSS_PER_HOP_DB[l]!;
    const overFault = new Float64Array(faultPoints);
    for (const { places } of model.groups) {
      const fields = places.map(({ observation }) =>
        healthyField(
          net,
          belief,
          features.band,
          observation.position,
          observation.against_db - reference_db,
          perHop,
        ),
      );
      const paths = places.map(({ observation }) =>
        source ? travelLoss(net.path(source, observation.position), perHop, features.band) : null,
      );
      for (let a = 0; a < faultPoints; a++) {
        const arriving = places.map(({ observation }, i): Arriving => {
          const path = paths[i];
          return path ? arrivingFault(belief, fault!.x[a]!, path, observation.against_db) : NOTHING_ARRIVES;
        });
        const terms = new Float64Array(HEALTHY_POINTS);
        for (let b = 0; b < HEALTHY_POINTS; b++) {
          let sum = healthy.logW[b]!;
          for (let i = 0; i < places.length; i++) {
            const { observation, weight } = places[i]!;
            const sent = healthy.x[b]! - fields[i]!.loss_db;
            sum += weight * logLevel(reading_db, observation, sent, fields[i]!.sd_db, arriving[i]!);
          }
          terms[b] = sum;
        }
        overFault[a]! += logSumExp(terms);
      }
    }
    if (fault) for (let a = 0; a < faultPoints; a++) overFault[a]! += fault.logW[a]!;
    byLoss[l] = logSumExp(overFault);
    byFault.push(overFault);
  }
  return { byLoss, byFault: fault ? byFault : null, faultLevels_db: fault ? fault.x : null };
}

export type Arriving = { readonly level_db: number; readonly sd_db: number };
export const NOTHING_ARRIVES: Arriving = { level_db: Number.NEGATIVE_INFINITY, sd_db: 0 };

/** How deep a fault modulates its own noise: impacts and load zones nearly switch it on and off. */
const OWN_DEPTH_DB = -2;
const OWN_DEPTH_SD_DB = 3;

/** What a fault of level `fault_db` at its part sends to a place. */
export function arrivingFault(
  belief: FamilyBelief,
  fault_db: number,
  path: { readonly loss_db: number; readonly sd_db: number },
  against_db: number,
): Arriving {
  const level_db = fault_db - path.loss_db;
  // An envelope cannot swing by more than its carrier: where the fault drowns all else, its own depth shows.
  const most_db = against_db + OWN_DEPTH_DB;
  if (belief.follows === 'carrier' && level_db > most_db)
    return { level_db: most_db, sd_db: OWN_DEPTH_SD_DB };
  return { level_db, sd_db: path.sd_db };
}

/** Expected level and spread where healthy noise and the fault's noise meet. */
export function mixed(
  healthy_db: number,
  healthySd_db: number,
  { level_db, sd_db }: Arriving,
): { mean_db: number; sd_db: number } {
  if (level_db === Number.NEGATIVE_INFINITY) return { mean_db: healthy_db, sd_db: healthySd_db };
  const share = 1 / (1 + Math.exp((healthy_db - level_db) * 0.2302585093));
  return {
    mean_db: powerSum(healthy_db, level_db),
    sd_db: rootOfSquares(share * sd_db, (1 - share) * healthySd_db),
  };
}

/** Spread of one reading besides travel and healthy parts: mounting, unless the family is free of it. */
export function readingSd(belief: FamilyBelief): number {
  return belief.follows === 'carrier' ? RUN_SD_DB : Math.hypot(PLACEMENT_SD_DB, RUN_SD_DB);
}

/** @param readingSd_db see `readingSd` */
function logLevel(
  readingSd_db: number,
  o: Observation,
  healthy_db: number,
  healthySd_db: number,
  arriving: Arriving,
): number {
  const expected = mixed(healthy_db, healthySd_db, arriving);
  const scale = rootOfSquares(expected.sd_db, rootOfSquares(readingSd_db, o.sd_db));
  return o.level_db === null
    ? logBelow(o.limit_db - expected.mean_db, scale)
    : logT(o.level_db - expected.mean_db, scale);
}
