import type { Position, Source, Verdict } from '../driveline/words.ts';
import { kindOf } from './emission.ts';
import type { SourceFinding } from './findings.ts';
import type { RunningGearNet } from './graph.ts';

/**
 * Probability that a verdict must reach: sure means right in 95 of 100 cars, also in cars of other laws than the usual
 * ones, of which the probabilities promise a little too much (`judge/README.md`).
 */
export const SURE = 0.97;
/** More suspects than this are not a narrowed-down set. */
const NARROWED_TO = 4;

/** The fewest most probable sources that together hold `share`. */
export function smallestSet(probabilities: ReadonlyMap<Source, number>, share: number): Source[] {
  const ranked = [...probabilities].sort((a, b) => b[1] - a[1]);
  const set: Source[] = [];
  let sum = 0;
  for (const [source, p] of ranked) {
    if (sum >= share) break;
    set.push(source);
    sum += p;
  }
  return set;
}

/** The findings of the fewest sources that together are sure, in their order. */
export function sureSet(sources: readonly SourceFinding[]): SourceFinding[] {
  const set = smallestSet(new Map(sources.map((s) => [s.source, s.probability])), SURE);
  return sources.filter((s) => set.includes(s.source));
}

export type VerdictReason = {
  readonly verdict: Verdict;
  /** The sources that hold `SURE`. */
  readonly set: readonly Source[];
  /** Why a probable source is not pinpointed yet; null otherwise. */
  readonly withheld:
    | 'noPickupOnPart'
    | 'axleBetweenNotHeard'
    | 'louderElsewhere'
    | 'doubtfulRecording'
    | null;
};

/** The final drive whose noise reaches a wheel bearing over its drive shaft, if that wheel is driven. */
export function axleBetween(bearing: Source, sources: Iterable<Source>): Source | null {
  if (kindOf(bearing) !== 'wheelBearing') return null;
  const differential: Source = bearing.includes('-front-') ? 'differential-front' : 'differential-rear';
  for (const s of sources) if (s === differential) return differential;
  return null;
}

/**
 * @param probabilities of all sources; those that the vehicle lacks are 0
 * @param positions where sound pickups have been, over all runs
 * @param loudestOnPart whether the noise is loudest on the first source's own part
 * @param doubtful the recording itself is in doubt (swapped leads, wrong units): nothing is pinpointed
 */
export function verdictOf(
  probabilities: ReadonlyMap<Source, number>,
  net: RunningGearNet,
  positions: readonly Position[],
  loudestOnPart: boolean,
  doubtful: boolean,
): VerdictReason {
  const set = smallestSet(probabilities, SURE);
  const first = set[0]!;
  const p = probabilities.get(first)!;
  if (first === 'none') {
    return { verdict: p >= SURE && !doubtful ? 'nothingAbnormal' : 'notYet', set, withheld: null };
  }
  let withheld: VerdictReason['withheld'] = null;
  if (p >= SURE) {
    const possible = [...probabilities].flatMap(([s, q]) => (q > 0 ? [s] : []));
    const between = axleBetween(first, possible);
    if (!positions.some((at) => net.isOn(first, at))) withheld = 'noPickupOnPart';
    else if (between && !positions.some((at) => net.isOn(between, at))) withheld = 'axleBetweenNotHeard';
    else if (!loudestOnPart) withheld = 'louderElsewhere';
    else if (doubtful) withheld = 'doubtfulRecording';
    else return { verdict: 'pinpointed', set, withheld: null };
  }
  const narrowed = set.length <= NARROWED_TO && !set.includes('none');
  return { verdict: narrowed ? 'narrowed' : 'notYet', set, withheld };
}
