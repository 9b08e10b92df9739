import { TOGETHER_BANDS_HZ } from '../heard-together.ts';
import { finite, type Heard, highest, mean, type Suspect, type SuspectFeatures } from './heard.ts';

/** Delays beyond this are echoes and bending waves, ms. */
const MOST_MS = 4;
/** Pickups that hear less than this in common tell no order. */
const LEAST_COHERENCE = 0.02;

/**
 * Whether the suspect's noise is heard elsewhere: coherence of its pickups with the others (`mine`), against that of
 * the others among themselves (`rel`), the highest of all (`all`), octave by octave; and by how many milliseconds the
 * others follow it (`delay`).
 */
export function togetherEvidence({ together, channels }: Heard, who: Suspect): SuspectFeatures {
  const out: SuspectFeatures = {};
  const position = new Map(channels.map((c) => [`${c.run} ${c.channel}`, c.position]));
  const pairs = together.map((pair) => ({
    pair,
    a: who.hears(position.get(`${pair.run} ${pair.a}`)!),
    b: who.hears(position.get(`${pair.run} ${pair.b}`)!),
  }));
  const mine = pairs.filter((p) => p.a !== p.b);
  const others = pairs.filter((p) => !p.a && !p.b);
  TOGETHER_BANDS_HZ.forEach((_, b) => {
    const own = mean(finite(mine.map((p) => p.pair.coherence[b]!)));
    out[`coh${b}.mine`] = own;
    out[`coh${b}.rel`] = own - mean(finite(others.map((p) => p.pair.coherence[b]!)));
    out[`coh${b}.all`] = highest(finite(pairs.map((p) => p.pair.coherence[b]!)));
  });
  let sum = 0;
  let weights = 0;
  for (const { pair, a } of mine) {
    const weight = highest(finite(pair.coherence));
    if (pair.delay_s === null || !(weight > 0)) continue;
    const late_ms = 1000 * pair.delay_s * (a ? 1 : -1);
    sum += weight * Math.max(-MOST_MS, Math.min(MOST_MS, late_ms));
    weights += weight;
  }
  out.delay = weights > LEAST_COHERENCE ? sum / weights : Number.NaN;
  return out;
}
