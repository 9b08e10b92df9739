import type { Random } from '../../seeds/road-drive/random.ts';
import type { TrainingVisit } from './grow-trees.ts';

/** Standard deviations: of the shift in dB, and of the stretch in natural logs. */
const SHIFT_DB = 2;
const STRETCH = 0.15;

/** Shares and counts are what they are in every world. */
const KEPT = /^(coh\d\.|nearest$|\w*[tT]one\.count$)/;
/** Natural logs of a ratio of chances: nought means "says nothing", and stays. */
const STRETCHED_ONLY = /(^model\.|\.llr$)/;

/**
 * The visit as a world with other laws might have shown it: what is loud, usual or far is shifted and stretched a bit,
 * number by number but alike for all suspects. What the trees learn from both must hold in more worlds than were simulated.
 */
export function seenOtherwise(visit: TrainingVisit, random: Random): TrainingVisit {
  const laws = new Map<string, { readonly shift: number; readonly stretch: number }>();
  const lawOf = (feature: string) => {
    const known = laws.get(feature);
    if (known) return known;
    const shift = STRETCHED_ONLY.test(feature) ? 0 : SHIFT_DB * random.normal();
    const law = { shift, stretch: Math.exp(STRETCH * random.normal()) };
    laws.set(feature, law);
    return law;
  };
  return {
    ...visit,
    suspects: visit.suspects.map(({ kind, features }) => ({
      kind,
      features: Object.fromEntries(
        Object.entries(features).map(([feature, x]) => {
          if (KEPT.test(feature)) return [feature, x];
          const { shift, stretch } = lawOf(feature);
          return [feature, x * stretch + shift];
        }),
      ),
    })),
  };
}
