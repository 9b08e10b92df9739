import type { Source } from '../driveline/words.ts';
import type { VisitFeatures } from './features.ts';
import type { HeardTogether } from './heard-together.ts';
import type { Heard } from './judge/heard.ts';
import { judge } from './judge/judge.ts';
import { levelProfiles } from './judge/level-profile.ts';
import type { ChannelMeasure } from './measure-run.ts';
import { type Posterior, type PriorKnowledge, posterior, priorProbabilities } from './posterior.ts';
import type { Tone } from './tones.ts';

/** What was measured, as far as it tells for a source. */
export type WeighedMeasures = {
  readonly channels: readonly ChannelMeasure[];
  readonly together: readonly HeardTogether[];
  readonly tones: readonly Tone[];
  readonly features: VisitFeatures;
};

/**
 * Probabilities of all sources. The model of how noise travels (`posterior.ts`) says how well each family of noise
 * fits each source, and foretells what other places would hear; the judge puts that together with everything else.
 */
export function weigh(measures: WeighedMeasures, known: PriorKnowledge): Posterior {
  const model = posterior(measures.features.families, known);
  if (measures.channels.length === 0) return model;
  const { probabilities, contributions } = judge(heardOf(measures, model), priorTilt(known));
  return { ...model, probabilities, contributions: bothWords(model.contributions, contributions) };
}

/**
 * What a family says for a source: how well its levels alone fit, and what they moved in the judge. The first is what
 * can be followed, the second what counted.
 */
function bothWords(a: Posterior['contributions'], b: Posterior['contributions']): Posterior['contributions'] {
  return new Map(
    [...a].map(([source, words]) => [
      source,
      new Map([...words].map(([family, word]) => [family, word + (b.get(source)?.get(family) ?? 0)])),
    ]),
  );
}

/** All that was heard, with what the model makes of it. */
export function heardOf(measures: WeighedMeasures, { net, contributions, likelihoods }: Posterior): Heard {
  const { channels, together, tones, features } = measures;
  return {
    channels,
    profiles: levelProfiles(channels),
    families: features.families,
    together,
    tones,
    net,
    contributions,
    likelihoods,
  };
}

/** How much more probable mileage and complaint make each source; 0 for parts that the vehicle lacks. */
function priorTilt(known: PriorKnowledge): Map<Source, number> {
  const usual = priorProbabilities({ ...known, odometer_km: null, complaint: null });
  return new Map(
    [...priorProbabilities(known)].map(([source, p]) => [source, p > 0 ? p / usual.get(source)! : 0]),
  );
}
