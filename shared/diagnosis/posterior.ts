import type { Source } from '../driveline/words.ts';
import { SOURCES } from '../driveline/words.ts';
import { answerLogLikelihood } from './answer-likelihood.ts';
import { type FamilyBelief, familyBeliefs, kindOf, type SourceKind, type Unknowns } from './emission.ts';
import { type Driveline, possibleSources, type RunningGearNet, runningGearNet } from './graph.ts';
import { type FamilyFit, type FamilyModel, familyModel, fitFamily, logSumExp } from './likelihood.ts';
import { type Mechanism, mechanisms } from './mechanisms.ts';
import type { FamilyFeatures, FamilyId } from './observation.ts';
import { LOSS_PRIOR } from './travel.ts';

/** What is believed before anything is measured; weak on purpose. */
export type PriorKnowledge = Driveline & {
  readonly odometer_km: number | null;
  readonly complaint: string | null;
  readonly unknown: Unknowns;
};

/** A customer came because of a noise; most come from wheels and axles (common practice, no counts behind it). */
const KIND_PRIOR: Record<SourceKind, number> = {
  wheelBearing: 0.22,
  tyre: 0.2,
  differential: 0.18,
  propshaft: 0.09,
  transmission: 0.09,
  engine: 0.09,
  none: 0.13,
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
 * The model's tails are heavy and its spreads wide, so that no single pickup decides; together the families then
 * say less than they know. This power on their densities was found on two unlike generators of visits: with 1 both
 * showed sources to be right more often than their probability.
 */
const FAMILY_WEIGHT = 1.3;

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
  readonly lossWeights: ReadonlyMap<Source, readonly number[]>;
  readonly families: readonly FittedFamily[];
  readonly net: RunningGearNet;
  readonly beliefs: Readonly<Record<FamilyId, FamilyBelief>>;
  /** Natural logs by which each family speaks for a source against `none`. */
  readonly contributions: ReadonlyMap<Source, ReadonlyMap<FamilyId, number>>;
  /** Natural logs by which all families together speak for a source against `none`, priors left out. */
  readonly likelihoods: ReadonlyMap<Source, number>;
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
      const shown = mechanisms(kindOf(source), known.unknown).some((m) => m.shows[f.id]);
      if (shown && couldSend(belief, source)) faulty.set(source, fitFamily(model, net, source));
    }
    return [{ model, belief, healthy, faulty }];
  });

  const logs = new Map<Source, number>();
  const lossWeights = new Map<Source, readonly number[]>();
  const contributions = new Map<Source, Map<FamilyId, number>>();
  for (const source of possible) {
    const ways = mechanisms(kindOf(source), known.unknown).map((mechanism) =>
      weigh(source, mechanism, families, net),
    );
    const total = logSumExp(ways.map((w) => w.log));
    const share = ways.map((w) => Math.exp(w.log - total));
    logs.set(source, Math.log(prior.get(source)!) + total);
    lossWeights.set(
      source,
      LOSS_PRIOR.map((_, l) => ways.reduce((sum, w, i) => sum + share[i]! * w.lossWeights[l]!, 0)),
    );
    contributions.set(
      source,
      new Map(
        families.map(({ model: { features: f } }) => [
          f.id,
          ways.reduce((sum, w, i) => sum + share[i]! * w.contributions.get(f.id)!, 0),
        ]),
      ),
    );
  }
  const total = logSumExp(Float64Array.from(logs.values()));
  const probabilities = new Map<Source, number>(
    SOURCES.map((s) => [s, logs.has(s) ? Math.exp(logs.get(s)! - total) : 0]),
  );
  const likelihood = (source: Source): number => logs.get(source)! - Math.log(prior.get(source)!);
  const likelihoods = new Map(possible.map((s) => [s, likelihood(s) - likelihood('none')]));
  return { probabilities, lossWeights, families, net, beliefs, contributions, likelihoods };
}

/** A mesh belongs to one axle: the other axle's final drive does not make it. */
function couldSend(belief: FamilyBelief, source: Source): boolean {
  const rivals = belief.emitters.filter((e) => kindOf(e) === kindOf(source));
  return rivals.length === 0 || rivals.includes(source);
}

type Way = {
  readonly log: number;
  readonly lossWeights: readonly number[];
  readonly contributions: ReadonlyMap<FamilyId, number>;
};

/** How well everything fits one way of one part going bad. */
function weigh(
  source: Source,
  mechanism: Mechanism,
  families: readonly FittedFamily[],
  net: RunningGearNet,
): Way {
  const byLoss = Float64Array.from(LOSS_PRIOR, Math.log);
  const contributions = new Map<FamilyId, number>();
  let answers = 0;
  for (const family of families) {
    const { id } = family.model.features;
    const p = family.faulty.has(source) ? (mechanism.shows[id] ?? 0) : 0;
    const mixed = mixedFit(family, source, p);
    for (let l = 0; l < byLoss.length; l++) byLoss[l] = byLoss[l]! + FAMILY_WEIGHT * mixed[l]!;
    const answer = answerLogLikelihood(family.model.features, net, source, p);
    answers += answer;
    contributions.set(id, logSumExp(mixed) - logSumExp(family.healthy.byLoss) + answer);
  }
  const total = logSumExp(byLoss);
  return {
    log: Math.log(mechanism.share) + total + answers,
    lossWeights: Array.from(byLoss, (v) => Math.exp(v - total)),
    contributions,
  };
}

/**
 * Log densities per loss per hop.
 * @param p chance that the fault shows in the family
 */
function mixedFit(family: FittedFamily, source: Source, p: number): Float64Array {
  const healthy = family.healthy.byLoss;
  const fit = family.faulty.get(source);
  if (!fit || p === 0) return healthy;
  const logShows = Math.log(p);
  const logHides = Math.log(1 - p);
  return healthy.map((h, l) => logSumExp([logHides + h, logShows + fit.byLoss[l]!]));
}
