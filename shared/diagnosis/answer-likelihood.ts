import type { Source } from '../driveline/words.ts';
import { kindOf, type SourceKind } from './emission.ts';
import type { RunningGearNet } from './graph.ts';
import { logT } from './likelihood.ts';
import type { FamilyFeatures } from './observation.ts';
import { travelLoss } from './travel.ts';

/**
 * How well the answers to torque and sway fit a source. Wheel bearings answer to the load on their side, gears to
 * the sign of the torque, the engine to its own load, tyres to speed alone. The change of level within one run and
 * pickup is free of mounting and sensitivity. Which side a sway loads depends on who marked it, so only the size of
 * the change counts.
 */

const ANSWERS_TO_TORQUE: Record<SourceKind, boolean> = {
  wheelBearing: false,
  tyre: false,
  differential: true,
  propshaft: true,
  transmission: true,
  engine: true,
  none: false,
};
const ANSWERS_TO_SWAY: Record<SourceKind, boolean> = {
  wheelBearing: true,
  tyre: false,
  differential: false,
  propshaft: false,
  transmission: false,
  engine: false,
  none: false,
};

/** Typical size of a change that is nothing but road and chance, and of an answer, dB. */
const CHANCE_DB = 1.5;
const ANSWER_DB = 6;
/** Some parts keep quiet about load: a worn gear may whine alike in drive and coast. */
const ANSWERS_AT_ALL = 0.7;
/** Answers of many pickups are one answer heard many times. */
const ANSWER_WEIGHT = 0.7;

const halfT = (size: number, scale: number): number => Math.log(2) + logT(size, scale);

function density(size: number, answers: boolean): number {
  const still = halfT(size, CHANCE_DB);
  if (!answers) return still;
  return Math.log((1 - ANSWERS_AT_ALL) * Math.exp(still) + ANSWERS_AT_ALL * Math.exp(halfT(size, ANSWER_DB)));
}

/** Whatever is healthy answers in its own way: a broad mixture that favours neither. */
function indifferent(size: number): number {
  return Math.log(0.6 * Math.exp(halfT(size, CHANCE_DB)) + 0.4 * Math.exp(halfT(size, ANSWER_DB)));
}

/** @param p chance that the fault shows in this family */
export function answerLogLikelihood(
  features: FamilyFeatures,
  net: RunningGearNet,
  source: Source,
  p: number,
): number {
  if (p === 0) return 0;
  const kind = kindOf(source);
  let sum = 0;
  for (const [name, table] of [
    ['torque_db', ANSWERS_TO_TORQUE],
    ['sway_db', ANSWERS_TO_SWAY],
  ] as const) {
    const size = nearestAnswer(features, net, source, name);
    if (size === null) continue;
    const neutral = indifferent(size);
    const own = density(size, table[kind]);
    sum += Math.log(p * Math.exp(own) + (1 - p) * Math.exp(neutral)) - neutral;
  }
  return ANSWER_WEIGHT * sum;
}

/** The answer where the source would be heard best: the mean over pickups, the nearer the heavier. */
function nearestAnswer(
  features: FamilyFeatures,
  net: RunningGearNet,
  source: Source,
  name: 'torque_db' | 'sway_db',
): number | null {
  let sum = 0;
  let weights = 0;
  for (const answer of features.answers) {
    const size = answer[name];
    if (size === null) continue;
    const { loss_db } = travelLoss(net.path(source, answer.position), 7, features.band);
    const weight = 10 ** (-loss_db / 10);
    sum += weight * size;
    weights += weight;
  }
  return weights > 0 ? sum / weights : null;
}
