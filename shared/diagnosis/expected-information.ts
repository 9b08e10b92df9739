import type { Position, Source } from '../driveline/words.ts';
import { arrivingFault, healthyField, mixed, NOTHING_ARRIVES, readingSd } from './likelihood.ts';
import type { FittedFamily, Posterior } from './posterior.ts';
import { LOSS_PER_HOP_DB, travelLoss } from './travel.ts';

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

/** The families in which the suspects differ. */
function tellingFamilies(after: Posterior, suspects: readonly Source[]): FittedFamily[] {
  const spread = (family: FittedFamily): number => {
    let sum = 0;
    for (const s of suspects) if (family.faulty.has(s)) sum += after.probabilities.get(s)!;
    return sum * (1 - sum) + (suspects.some((s) => family.faulty.has(s)) ? 0.05 : 0);
  };
  return [...after.families].sort((a, b) => spread(b) - spread(a)).slice(0, MOST_TELLING);
}

/**
 * How many bits about the source the levels at some places are expected to give: the mutual information of source and
 * levels under the posterior predictive (Lindley, Ann. Math. Stat. 27, 1956).
 *
 * What each source would make the pickups read is summed up in a bell curve per family over the places together,
 * with the unknown strength and the unknown loss per hop as what the places share. The information itself is found
 * by drawing readings, with a fixed seed.
 * @returns a function of indices into `places`
 */
export function expectedInformation(
  after: Posterior,
  places: readonly Position[],
): (chosen: readonly number[]) => number {
  const suspects = [...after.probabilities].filter(([, p]) => p >= NEGLIGIBLE);
  const telling = tellingFamilies(
    after,
    suspects.map(([s]) => s),
  );
  if (telling.length === 0 || suspects.length < 2) return () => 0;
  const total = suspects.reduce((sum, [, p]) => sum + p, 0);
  const hypotheses: Hypothesis[] = suspects.map(([source, p]) => ({
    source,
    p: p / total,
    predictions: telling.map((family) => predict(family, after, source, places)),
  }));
  const noise = normals(4096);
  return (chosen) => information(hypotheses, chosen, noise);
}
