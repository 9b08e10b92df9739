import type { Source } from '../driveline/words.ts';
import { SOURCES } from '../driveline/words.ts';
import { answerLogLikelihood } from './answer-likelihood.ts';
import { type FamilyBelief, familyBeliefs, kindOf, type SourceKind, type Unknowns } from './emission.ts';
import { type Driveline, possibleSources, type RunningGearNet, runningGearNet } from './graph.ts';
import { type FamilyFit, type FamilyModel, familyModel, fitFamily, logSumExp, shows } from './likelihood.ts';
import type { FamilyFeatures, FamilyId } from './observation.ts';
import { LOSS_PER_HOP_DB, LOSS_PRIOR } from './travel.ts';

/** What is believed before anything is measured; weak on purpose. */
export type PriorKnowledge = Driveline & {
  readonly odometer_km: number | null;
  readonly complaint: string | null;
  readonly unknown: Unknowns;
};

/** A customer came because of a noise; most come from wheels and axles (common practice, no counts behind it). */
const KIND_PRIOR: Record<SourceKind, number> = {
  wheelBearing: 0.28,
  tyre: 0.17,
  differential: 0.2,
  propshaft: 0.08,
  transmission: 0.08,
  engine: 0.07,
  none: 0.12,
};

/** Words of a complaint that make a kind somewhat more likely; no word counts more than this. */
const COMPLAINT_FACTOR = 1.5;
const COMPLAINT_WORDS: Partial<Record<SourceKind, RegExp>> = {
  wheelBearing: /\b(turn|bend|corner|curve|growl|grind)/i,
  tyre: /\b(tyre|tire|rumbl|surface)/i,
  differential: /\b(whin|howl|coast|accelerat|lift)/i,
  engine: /\b(engine|rev|idle|standing)/i,
  transmission: /\b(gear|shift)/i,
};

/** Prior probability of every source of the vocabulary, summing to 1; 0 for parts that the layout lacks. */
export function priorProbabilities(known: PriorKnowledge): Map<Source, number> {
  const possible = possibleSources(known);
  const worn = known.odometer_km !== null && known.odometer_km > 120_000 ? 1.3 : 1;
  const count = (kind: SourceKind) => possible.filter((s) => kindOf(s) === kind).length;
  const weights = new Map<Source, number>(SOURCES.map((s) => [s, 0]));
  for (const source of possible) {
    const kind = kindOf(source);
    let weight = KIND_PRIOR[kind] / count(kind);
    if (kind === 'wheelBearing' || kind === 'differential') weight *= worn;
    if (known.complaint && COMPLAINT_WORDS[kind]?.test(known.complaint)) weight *= COMPLAINT_FACTOR;
    weights.set(source, weight);
  }
  const total = [...weights.values()].reduce((a, b) => a + b, 0);
  for (const [source, weight] of weights) weights.set(source, weight / total);
  return weights;
}

/**
 * Families share pickups, clamps and roads, so their deviations are not independent as the model has it: each
 * counts for less than it would alone.
 */
export const FAMILY_WEIGHT = 1.0;

export type FittedFamily = {
  readonly model: FamilyModel;
  readonly belief: FamilyBelief;
  readonly healthy: FamilyFit;
  /** Fits with each source as the one that also sends the family; only for sources that can. */
  readonly faulty: ReadonlyMap<Source, FamilyFit>;
};

export type Posterior = {
  readonly probabilities: ReadonlyMap<Source, number>;
  /** Weight of each loss per hop after everything was heard, for each source. */
  readonly lossWeights: ReadonlyMap<Source, Float64Array>;
  readonly families: readonly FittedFamily[];
  readonly net: RunningGearNet;
  readonly beliefs: Readonly<Record<FamilyId, FamilyBelief>>;
  /** Natural logs by which each family speaks for a source against `none`. */
  readonly contributions: ReadonlyMap<Source, ReadonlyMap<FamilyId, number>>;
};

/** Probabilities of all sources from all features of a visit together. */
export function posterior(features: readonly FamilyFeatures[], known: PriorKnowledge): Posterior {
  const net = runningGearNet(known);
  const beliefs = familyBeliefs(known.unknown);
  const prior = priorProbabilities(known);
  const possible = [...prior].filter(([, p]) => p > 0).map(([s]) => s);
  const families = features.flatMap((f): FittedFamily[] => {
    const belief = beliefs[f.id];
    const model = familyModel(f, belief);
    if (!model) return [];
    const healthy = fitFamily(model, net, null);
    const faulty = new Map<Source, FamilyFit>();
    for (const source of possible) {
      if (shows(belief, source) > 0 && couldSend(belief, source))
        faulty.set(source, fitFamily(model, net, source));
    }
    return [{ model, belief, healthy, faulty }];
  });

  const logs = new Map<Source, number>();
  const lossWeights = new Map<Source, Float64Array>();
  const contributions = new Map<Source, Map<FamilyId, number>>();
  for (const source of possible) {
    const byLoss = Float64Array.from(LOSS_PRIOR, Math.log);
    const own = new Map<FamilyId, number>();
    for (const family of families) {
      const mixed = mixedFit(family, source);
      for (let l = 0; l < byLoss.length; l++) byLoss[l] = byLoss[l]! + FAMILY_WEIGHT * mixed[l]!;
      own.set(family.model.features.id, logSumExp(mixed) - logSumExp(family.healthy.byLoss));
    }
    let answers = 0;
    for (const family of families) {
      const value = answerLogLikelihood(family.model.features, family.belief, net, source);
      answers += value;
      const id = family.model.features.id;
      own.set(id, own.get(id)! + value);
    }
    const total = logSumExp(byLoss);
    logs.set(source, Math.log(prior.get(source)!) + total + answers);
    lossWeights.set(
      source,
      byLoss.map((v) => Math.exp(v - total)),
    );
    contributions.set(source, own);
  }
  const none = contributions.get('none');
  if (none) {
    for (const own of contributions.values()) {
      if (own === none) continue;
      for (const [id, value] of own) own.set(id, value - (none.get(id) ?? 0));
    }
    for (const id of none.keys()) none.set(id, 0);
  }
  const total = logSumExp(Float64Array.from(logs.values()));
  const probabilities = new Map<Source, number>(
    SOURCES.map((s) => [s, logs.has(s) ? Math.exp(logs.get(s)! - total) : 0]),
  );
  return { probabilities, lossWeights, families, net, beliefs, contributions };
}

/** A mesh belongs to one axle: the other axle's final drive does not make it. */
function couldSend(belief: FamilyBelief, source: Source): boolean {
  const rivals = belief.emitters.filter((e) => kindOf(e) === kindOf(source));
  return rivals.length === 0 || rivals.includes(source);
}

/** Log densities per loss per hop, with and without the fault showing in this family. */
export function mixedFit(family: FittedFamily, source: Source): Float64Array {
  const fit = family.faulty.get(source);
  const healthy = family.healthy.byLoss;
  if (!fit) return healthy;
  const p = shows(family.belief, source);
  const logShows = Math.log(p);
  const logHides = Math.log(1 - p);
  return healthy.map((h, l) => logSumExp([logHides + h, logShows + fit.byLoss[l]!]));
}

export { LOSS_PER_HOP_DB };
