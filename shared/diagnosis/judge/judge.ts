import type { Source } from '../../driveline/words.ts';
import { kindOf } from '../emission.ts';
import type { FamilyId } from '../observation.ts';
import type { Heard, SuspectFeatures } from './heard.ts';
import { suspectFeatures } from './suspect-features.ts';
import { sumOfTrees, TREES } from './trees.ts';

export type Judgement = {
  /** Sums to 1 over the sources that were asked for. */
  readonly probabilities: ReadonlyMap<Source, number>;
  /**
   * Natural logs by which each family of noise speaks for a source, against the mean of all sources; what is not
   * of one family (who hears it together, how far the nearest pickup is) is left out.
   */
  readonly contributions: ReadonlyMap<Source, ReadonlyMap<FamilyId, number>>;
};

/**
 * Probability of each source from what was heard: a conditional logit (McFadden, in Frontiers in Econometrics, 1974)
 * over the sources of the vehicle, whose utility is a sum of trees over the suspects' features. The trees were grown
 * on visits of simulators that share no code and few assumptions; see `README.md`. Their sum is scaled so that the
 * probabilities mean what they say (temperature scaling; Guo et al., ICML 2017).
 * @param priors what is believed before, relative to sources being alike; 0 for parts that the vehicle lacks
 */
export function judge(heard: Heard, priors: ReadonlyMap<Source, number>): Judgement {
  const sources = [...priors].flatMap(([source, p]) => (p > 0 ? [source] : []));
  const features = sources.map((source) => suspectFeatures(source, heard));
  const spoken = sources.map((source, i) => words(source, features[i]!));
  const logs = sources.map((source, i) => Math.log(priors.get(source)!) + spoken[i]!.total);
  const top = Math.max(...logs);
  const sum = logs.reduce((total, log) => total + Math.exp(log - top), 0);
  const contributions = new Map<Source, Map<FamilyId, number>>(sources.map((s) => [s, new Map()]));
  for (const family of new Set(spoken.flatMap((s) => [...s.byFamily.keys()]))) {
    const values = spoken.map((s) => s.byFamily.get(family) ?? 0);
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    for (const [i, source] of sources.entries()) contributions.get(source)!.set(family, values[i]! - mean);
  }
  return {
    probabilities: new Map(
      [...priors.keys()].map((source) => {
        const i = sources.indexOf(source);
        return [source, i < 0 ? 0 : Math.exp(logs[i]! - top) / sum];
      }),
    ),
    contributions,
  };
}

function words(source: Source, known: SuspectFeatures): { total: number; byFamily: Map<FamilyId, number> } {
  const { sharpness } = TREES;
  const { total, moved } = sumOfTrees(TREES, kindOf(source), known);
  const byFamily = new Map<FamilyId, number>();
  for (const [feature, word] of moved) {
    const family = familyOf(feature, source);
    if (family) byFamily.set(family, (byFamily.get(family) ?? 0) + sharpness * word);
  }
  return { total: sharpness * total, byFamily };
}

const BAND_OF_OCTAVE = [
  'bandLow',
  'bandLow',
  'bandMid',
  'bandMid',
  'bandMid',
  'bandHigh',
  'bandHigh',
  'bandTop',
] as const;
const BAND_OF_ANSWER = { lo: 'bandLow', mid: 'bandMid', hi: 'bandHigh' } as const;

const OF_NO_FAMILY = /^(coh\d|any|shape|model|own)$/;

/** The family of noise that a feature is about; null when it is about none. */
function familyOf(feature: string, source: Source): FamilyId | null {
  const [name, part] = feature.split('.') as [string, string | undefined];
  if (part === undefined || OF_NO_FAMILY.test(name)) return null;
  if (name.startsWith('oct')) return BAND_OF_OCTAVE[Number(name.slice(3))]!;
  if (name in BAND_OF_ANSWER) return BAND_OF_ANSWER[name as keyof typeof BAND_OF_ANSWER];
  if (name === 'share' || /tone$/i.test(name)) return 'otherLines';
  const front = source === 'differential-front';
  if (name === 'ownMesh') return front ? 'meshFront' : 'meshRear';
  if (name === 'otherMesh') return front ? 'meshRear' : 'meshFront';
  return name as FamilyId;
}
