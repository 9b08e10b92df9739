import type { Position, Source } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import { kindOf } from './emission.ts';
import type { NextPlacement } from './findings.ts';
import { usefulPositions } from './graph.ts';
import { arrivingFault, healthyField, mixed, NOTHING_ARRIVES, readingSd } from './likelihood.ts';
import type { FittedFamily, Posterior, PriorKnowledge } from './posterior.ts';
import { LOSS_PER_HOP_DB, travelLoss } from './travel.ts';
import { axleBetween, SURE, smallestSet } from './verdict.ts';

/**
 * Where to clamp next: for each candidate place, how many bits about the source the levels there are expected to
 * give (mutual information of source and levels under the posterior predictive; Lindley, Ann. Math. Stat. 27, 1956).
 *
 * What each source would make the pickups read is summed up in a bell curve per family over the places together,
 * with the unknown strength and the unknown loss per hop as what the places share. The information itself is found
 * by drawing readings, with a fixed seed.
 */

/** Predicted levels of one family at several places: mean, own variance per place, and shared directions. */
type Prediction = {
  readonly mean: Float64Array;
  readonly ownVariance: Float64Array;
  /** Deviation of each place's mean for each point of the unknown strength and loss, with the point's weight. */
  readonly shared: readonly { readonly weight: number; readonly deviation: Float64Array }[];
};

const DRAWS_PER_SOURCE = 24;
/** Sources less probable than this neither gain nor lose by a placement. */
const NEGLIGIBLE = 0.003;
/** Families that the expected gain is computed from. */
const MOST_TELLING = 5;
/** A place heard once more keeps its path's own deviation: little of what it says is new. */
const HEARD_BEFORE = 0.3;

function predict(
  family: FittedFamily,
  { net, lossWeights }: Posterior,
  source: Source,
  places: readonly Position[],
): Prediction {
  const { model, belief } = family;
  const fit = family.faulty.get(source);
  const band = model.features.band;
  const healthyLevel = model.reference_db + belief.healthy.mean_db;
  const points: { weight: number; mean: Float64Array; variance: Float64Array }[] = [];
  const byLoss = lossWeights.get(source)!;
  LOSS_PER_HOP_DB.forEach((perHop, l) => {
    const levels = fit?.faultLevels_db ?? [Number.NEGATIVE_INFINITY];
    const logs = fit?.byFault?.[l] ?? [0];
    const top = Math.max(...logs);
    const weights = Array.from(logs, (v) => Math.exp(v - top));
    const total = weights.reduce((a, b) => a + b, 0);
    for (let a = 0; a < levels.length; a++) {
      const weight = (byLoss[l]! * weights[a]!) / total;
      if (weight < 1e-4) continue;
      const mean = new Float64Array(places.length);
      const variance = new Float64Array(places.length);
      places.forEach((place, i) => {
        const field = healthyField(net, belief, band, place, 0, perHop);
        const path = travelLoss(net.path(source, place), perHop, band);
        const arriving = fit
          ? arrivingFault(belief, levels[a]!, path, Math.max(model.reference_db, levels[a]! - path.loss_db))
          : NOTHING_ARRIVES;
        const healthySd = Math.hypot(field.sd_db, belief.healthy.sd_db * 0.7);
        const expected = mixed(healthyLevel - field.loss_db, healthySd, arriving);
        mean[i] = expected.mean_db;
        variance[i] = expected.sd_db ** 2 + readingSd(belief) ** 2 + 1;
      });
      points.push({ weight, mean, variance });
    }
  });
  const total = points.reduce((sum, p) => sum + p.weight, 0);
  const mean = new Float64Array(places.length);
  const ownVariance = new Float64Array(places.length);
  for (const p of points) {
    for (let i = 0; i < mean.length; i++) {
      mean[i] = mean[i]! + (p.weight / total) * p.mean[i]!;
      ownVariance[i] = ownVariance[i]! + (p.weight / total) * p.variance[i]!;
    }
  }
  const shared = points.map((p) => ({
    weight: p.weight / total,
    deviation: p.mean.map((m, i) => m - mean[i]!),
  }));
  return { mean, ownVariance, shared };
}

/** A bell curve over some of the places, ready to draw from and to weigh with. */
type Bell = {
  readonly mean: Float64Array;
  readonly factor: Float64Array;
  readonly logNorm: number;
  readonly n: number;
};

function bell(prediction: Prediction, chosen: readonly number[]): Bell {
  const n = chosen.length;
  const covariance = new Float64Array(n * n);
  for (const { weight, deviation } of prediction.shared) {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        covariance[i * n + j] =
          covariance[i * n + j]! + weight * deviation[chosen[i]!]! * deviation[chosen[j]!]!;
      }
    }
  }
  for (let i = 0; i < n; i++)
    covariance[i * n + i] = covariance[i * n + i]! + prediction.ownVariance[chosen[i]!]!;
  // Cholesky in place, lower triangle.
  let logNorm = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= covariance[i * n + k]! * covariance[j * n + k]!;
      covariance[i * n + j] = i === j ? Math.sqrt(sum) : sum / covariance[j * n + j]!;
    }
    logNorm -= Math.log(covariance[i * n + i]!);
  }
  return { mean: Float64Array.from(chosen, (c) => prediction.mean[c]!), factor: covariance, logNorm, n };
}

function logDensity({ mean, factor, logNorm, n }: Bell, x: Float64Array, scratch: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let v = x[i]! - mean[i]!;
    for (let k = 0; k < i; k++) v -= factor[i * n + k]! * scratch[k]!;
    v /= factor[i * n + i]!;
    scratch[i] = v;
    sum += v * v;
  }
  return logNorm - 0.5 * sum;
}

/** Evenly spread standard normal numbers (Box & Muller over a Weyl sequence): the same in every analysis. */
function normals(count: number): Float64Array {
  const out = new Float64Array(count + 1);
  for (let i = 0; i < count; i += 2) {
    const u = ((i + 1) * 0.754877666) % 1;
    const v = ((i + 1) * 0.569840291) % 1;
    const r = Math.sqrt(-2 * Math.log(1 - u * 0.999999));
    out[i] = r * Math.cos(2 * Math.PI * v);
    out[i + 1] = r * Math.sin(2 * Math.PI * v);
  }
  return out;
}

type Hypothesis = {
  readonly source: Source;
  readonly p: number;
  readonly predictions: readonly Prediction[];
};

/** Mutual information in bits of the source and the readings at some of the places. */
function information(
  hypotheses: readonly Hypothesis[],
  chosen: readonly number[],
  noise: Float64Array,
): number {
  const bells = hypotheses.map((h) => h.predictions.map((p) => bell(p, chosen)));
  const families = bells[0]!.length;
  const n = chosen.length;
  const x = new Float64Array(n);
  const scratch = new Float64Array(n);
  const logs = new Float64Array(hypotheses.length);
  let bits = 0;
  hypotheses.forEach((truth, t) => {
    let gain = 0;
    let at = t * 17;
    for (let draw = 0; draw < DRAWS_PER_SOURCE; draw++) {
      logs.fill(0);
      for (let f = 0; f < families; f++) {
        const { mean, factor } = bells[t]![f]!;
        for (let i = 0; i < n; i++) {
          let v = mean[i]!;
          for (let k = 0; k <= i; k++) v += factor[i * n + k]! * noise[(at + k) % (noise.length - 1)]!;
          x[i] = v;
        }
        at += n;
        for (let h = 0; h < bells.length; h++) logs[h] = logs[h]! + logDensity(bells[h]![f]!, x, scratch);
      }
      const top = Math.max(...logs);
      let evidence = 0;
      for (let h = 0; h < bells.length; h++) evidence += hypotheses[h]!.p * Math.exp(logs[h]! - top);
      gain += logs[t]! - top - Math.log(evidence);
    }
    bits += (truth.p * gain) / DRAWS_PER_SOURCE;
  });
  return Math.max(0, bits / Math.LN2);
}

/**
 * The best places for the pickups at hand, each with what it adds to those before it.
 * @param pickups how many there are, at least one
 * @param visited places where a sound pickup has already been
 * @param louder places that were clearly louder than the first suspect's own, the reason why it is not settled
 */
export function nextPlacements(
  after: Posterior,
  known: PriorKnowledge,
  pickups: number,
  visited: readonly Position[],
  louder: readonly Position[],
): NextPlacement[] {
  const { net, probabilities } = after;
  const places = usefulPositions(known);
  const suspects = [...probabilities].filter(([, p]) => p >= NEGLIGIBLE);
  const ranked = [...suspects].sort((a, b) => b[1] - a[1]);
  const telling = tellingFamilies(
    after,
    suspects.map(([s]) => s),
  );
  const total = suspects.reduce((sum, [, p]) => sum + p, 0);
  const hypotheses: Hypothesis[] = suspects.map(([source, p]) => ({
    source,
    p: p / total,
    predictions: telling.map((family) => predict(family, after, source, places)),
  }));
  const noise = normals(4096);
  const gainOf = (chosen: readonly number[]): number =>
    telling.length === 0 || hypotheses.length < 2 ? 0 : information(hypotheses, chosen, noise);

  const chosen: number[] = [];
  const result: NextPlacement[] = [];
  const take = (index: number, gain_bits: number, why: Message): void => {
    chosen.push(index);
    result.push({ position: places[index]!, gain_bits: Math.max(0, gain_bits), why });
  };

  // A part that another place outdoes: more places would only tell again what is all but certain, but a poor mounting
  // shows when it is made anew.
  const outdoing = louder.find((place) => places.includes(place));
  if (outdoing) {
    const [part] = ranked[0]!;
    const why = message('next.clampAgain', { part, place: outdoing });
    const onPart = places.flatMap((place, i) =>
      visited.includes(place) && net.isOn(part, place) ? [i] : [],
    );
    for (const candidates of [onPart, [places.indexOf(outdoing)]]) {
      const best = bestOf(candidates, chosen, gainOf);
      if (best && result.length < pickups) take(best.index, best.gain, why);
    }
  }
  // Where both hubs of a driven axle were heard and the noise may come from that axle, the axle comes first.
  for (const between of axlesHeardFromHubs(probabilities, visited, net)) {
    const on = places.flatMap((place, i) => (net.isOn(between, place) ? [i] : []));
    const best = bestOf(on, chosen, gainOf);
    if (best && result.length < pickups) {
      const why = message('next.axleBetween', { place: places[best.index]! });
      take(best.index, best.gain, why);
    }
  }
  // A part that is all but certain must still be heard on itself, and so must the axle that could fool us.
  for (const [source, p] of ranked) {
    if (result.length >= pickups || p < 0.3 || source === 'none') continue;
    const possible = [...probabilities].flatMap(([s, q]) => (q > 0 ? [s] : []));
    const between = axleBetween(source, possible);
    const needed: { part: Source; why: Message }[] = [];
    if (between) {
      needed.push({
        part: between,
        why: message('next.soundAlike', { part: source, axle: between }),
      });
    }
    needed.push({ part: source, why: message('next.suspectedMost', { part: source }) });
    for (const { part, why } of needed) {
      const heard = [...visited, ...result.map((r) => r.position)];
      if (result.length >= pickups || heard.some((v) => net.isOn(part, v))) continue;
      const on = places
        .map((place, i) => ({ place, i }))
        .filter(({ place, i }) => net.isOn(part, place) && !chosen.includes(i));
      const best = bestOf(
        on.map(({ i }) => i),
        chosen,
        gainOf,
      );
      if (best) take(best.index, best.gain, why);
    }
  }
  while (result.length < Math.min(pickups, places.length)) {
    const best = bestOf(
      places.map((_, i) => i).filter((i) => !chosen.includes(i)),
      chosen,
      gainOf,
      (i) => (visited.includes(places[i]!) ? HEARD_BEFORE : 1),
    );
    if (!best) break;
    take(best.index, best.gain, reasonFor(places[best.index]!, after, visited));
  }
  return result;
}

/** A source elsewhere that was heard first hand and is this probable is followed first. */
const FOLLOWED_FIRST = 0.5;

/**
 * Differentials that no pickup has been on though both hubs of their axle were heard, the more suspected axle first.
 * Hubs alone cannot tell a bearing from the axle between them, so the axle is heard next unless the noise is traced to
 * another part that a pickup was on.
 */
function axlesHeardFromHubs(
  probabilities: ReadonlyMap<Source, number>,
  visited: readonly Position[],
  net: Posterior['net'],
): Source[] {
  const p = (source: Source): number => probabilities.get(source) ?? 0;
  const axles = (['front', 'rear'] as const).map((axle) => {
    const bearings = (['left', 'right'] as const).map((side) => `wheel-bearing-${axle}-${side}` as const);
    const own: Source[] = [`differential-${axle}`, ...bearings];
    return { axle, own, suspected: own.reduce((sum, s) => sum + p(s), 0) };
  });
  return axles
    .filter(({ axle, own }) => {
      const differential = own[0]!;
      const hubs = (['left', 'right'] as const).map((side) => `hub-${axle}-${side}`);
      if (p(differential) === 0 || !hubs.every((hub) => visited.includes(hub))) return false;
      if (visited.some((v) => net.isOn(differential, v))) return false;
      const traced = [...probabilities].find(([s, q]) => s !== 'none' && q >= FOLLOWED_FIRST)?.[0];
      return !traced || own.includes(traced) || !visited.some((v) => net.isOn(traced, v));
    })
    .sort((a, b) => b.suspected - a.suspected)
    .map(({ own }) => own[0]!);
}

function bestOf(
  candidates: readonly number[],
  chosen: readonly number[],
  gainOf: (chosen: readonly number[]) => number,
  newness: (index: number) => number = () => 1,
): { index: number; gain: number } | null {
  const before = chosen.length > 0 ? gainOf(chosen) : 0;
  let best: { index: number; gain: number } | null = null;
  for (const index of candidates) {
    const gain = (gainOf([...chosen, index]) - before) * newness(index);
    if (!best || gain > best.gain) best = { index, gain };
  }
  return best;
}

/** The families in which the suspects differ. */
function tellingFamilies(after: Posterior, suspects: readonly Source[]): FittedFamily[] {
  const spread = (family: FittedFamily): number => {
    let sum = 0;
    for (const s of suspects) if (family.faulty.has(s)) sum += after.probabilities.get(s)!;
    return sum * (1 - sum) + (suspects.some((s) => family.faulty.has(s)) ? 0.05 : 0);
  };
  return [...after.families].sort((a, b) => spread(b) - spread(a)).slice(0, MOST_TELLING);
}

function reasonFor(position: Position, after: Posterior, visited: readonly Position[]): Message {
  const { net, probabilities } = after;
  const set = smallestSet(probabilities, SURE).filter((s) => s !== 'none');
  const here = set.filter((s) => net.isOn(s, position));
  const others = set.filter((s) => !here.includes(s)).slice(0, 2);
  if (here.length === 0) {
    const near = [...set].sort((a, b) => net.path(a, position).hops - net.path(b, position).hops);
    return near.length >= 2
      ? message('next.parts', { place: position, nearest: near[0]!, farthest: near.at(-1)! })
      : message('next.onTheWay', { place: position });
  }
  const hubs = visited.filter((v) => v.startsWith('hub-'));
  if (here.some((s) => kindOf(s) === 'differential') && hubs.length >= 2) {
    return message('next.axleBetween', { place: position });
  }
  const against = others.length > 0 ? message('next.against', { parts: others }) : null;
  return message(visited.includes(position) ? 'next.again' : 'next.firstHand', { parts: here, against });
}
