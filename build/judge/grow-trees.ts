import { Random } from '../../seeds/road-drive/random.ts';
import { SOURCE_KINDS, type SourceKind } from '../../shared/diagnosis/emission.ts';
import type { SuspectFeatures } from '../../shared/diagnosis/judge/heard.ts';
import type { JudgeTrees, TreeNode } from '../../shared/diagnosis/judge/trees.ts';
import { quantile } from '../../shared/dsp/levels.ts';
import { mayUse, type Sense, senseOf } from './rules.ts';

/** One visit: what is known of each of its suspects, and which of them it was. */
export type TrainingVisit = {
  readonly suspects: readonly { readonly kind: SourceKind; readonly features: SuspectFeatures }[];
  readonly guilty: number;
};

export type Growth = {
  readonly rounds: number;
  readonly rate: number;
  readonly leaves: number;
  /** Prior precision of a leaf's value (ridge). */
  readonly ridge: number;
  /** A leaf holds at least this sum of p (1 - p). */
  readonly leastWeight: number;
  /** Share of the visits and of the features that a tree sees. */
  readonly visits: number;
  readonly features: number;
};
export const USUAL_GROWTH: Growth = {
  rounds: 320,
  rate: 0.06,
  leaves: 8,
  ridge: 3,
  leastWeight: 2,
  visits: 0.7,
  features: 0.5,
};

const BINS = 32;
/** Bin of what was not measured. */
const MISSING = BINS;

type Table = {
  readonly names: readonly string[];
  /** Upper edges of the bins of each feature, rising. */
  readonly edges: readonly Float64Array[];
  /** Feature-major. */
  readonly bins: readonly Uint8Array[];
  readonly kinds: Uint8Array;
  readonly visit: Uint32Array;
  readonly guilty: Uint8Array;
};

/**
 * Gradient-boosted trees, one ensemble for each kind of source, grown together for the likelihood of the guilty of
 * each visit among its suspects (softmax; Friedman, Ann. Stat. 29, 2001; second order and binned features as in Chen &
 * Guestrin, KDD 2016). The senses of `rules.ts` are kept: no leaf goes against them.
 */
export function growTrees(visits: readonly TrainingVisit[], growth: Growth = USUAL_GROWTH): JudgeTrees {
  const table = tabulate(visits);
  const size = table.kinds.length;
  const scores = new Float64Array(size);
  const gradient = new Float64Array(size);
  const weight = new Float64Array(size);
  const trees = SOURCE_KINDS.map((): TreeNode[][] => []);
  const rowsOf = SOURCE_KINDS.map((_, k) =>
    Array.from({ length: size }, (_, i) => i).filter((i) => table.kinds[i] === k),
  );
  const allowed = SOURCE_KINDS.map((kind) =>
    table.names.flatMap((name, f) => (mayUse(name, kind) ? [f] : [])),
  );
  const random = new Random('growing trees');
  for (let round = 0; round < growth.rounds; round++) {
    softmaxGradient(table, scores, visits.length, gradient, weight);
    const seen = Uint8Array.from({ length: visits.length }, () => Number(random.chance(growth.visits)));
    SOURCE_KINDS.forEach((kind, k) => {
      const features = allowed[k]!.filter(() => random.chance(growth.features));
      const rows = rowsOf[k]!.filter((i) => seen[table.visit[i]!]);
      const tree = growTree(table, rows, features, kind, gradient, weight, growth);
      trees[k]!.push(tree);
      for (const i of rowsOf[k]!) scores[i] = scores[i]! + leafValue(tree, table, i);
    });
  }
  return {
    visits: visits.length,
    features: table.names,
    trees: Object.fromEntries(
      SOURCE_KINDS.map((kind, k) => [kind, trees[k]!.map((t) => named(t, table))]),
    ) as Record<SourceKind, TreeNode[][]>,
  };
}

function tabulate(visits: readonly TrainingVisit[]): Table {
  const suspects = visits.flatMap((v) => v.suspects);
  const names = [...new Set(suspects.flatMap((s) => Object.keys(s.features)))].sort();
  const edges: Float64Array[] = [];
  const bins = names.map((name, f) => {
    const values = suspects.map((s) => s.features[name] ?? Number.NaN);
    const known = values.filter((x) => Number.isFinite(x));
    const all = Array.from({ length: BINS - 1 }, (_, b) => quantile(known, (b + 1) / BINS));
    edges[f] = Float64Array.from(
      [...new Set(all.map((x) => Number(x.toPrecision(4))))].sort((a, b) => a - b),
    );
    return Uint8Array.from(values, (x) => binOf(edges[f]!, x));
  });
  return {
    names,
    edges,
    bins,
    kinds: Uint8Array.from(suspects, (s) => SOURCE_KINDS.indexOf(s.kind)),
    visit: Uint32Array.from(visits.flatMap((v, i) => v.suspects.map(() => i))),
    guilty: Uint8Array.from(visits.flatMap((v) => v.suspects.map((_, i) => (i === v.guilty ? 1 : 0)))),
  };
}

function binOf(edges: Float64Array, x: number): number {
  if (!Number.isFinite(x)) return MISSING;
  let b = 0;
  while (b < edges.length && x > edges[b]!) b++;
  return b;
}

function softmaxGradient(
  { visit, guilty }: Table,
  scores: Float64Array,
  visits: number,
  gradient: Float64Array,
  weight: Float64Array,
): void {
  const sums = new Float64Array(visits);
  const tops = new Float64Array(visits).fill(Number.NEGATIVE_INFINITY);
  for (let i = 0; i < scores.length; i++) tops[visit[i]!] = Math.max(tops[visit[i]!]!, scores[i]!);
  for (let i = 0; i < scores.length; i++) {
    sums[visit[i]!] = sums[visit[i]!]! + Math.exp(scores[i]! - tops[visit[i]!]!);
  }
  for (let i = 0; i < scores.length; i++) {
    const p = Math.exp(scores[i]! - tops[visit[i]!]!) / sums[visit[i]!]!;
    gradient[i] = p - guilty[i]!;
    weight[i] = p * (1 - p);
  }
}

type Leaf = {
  readonly at: number;
  readonly rows: readonly number[];
  readonly low: number;
  readonly high: number;
  readonly split: Split | null;
};
type Split = {
  readonly gain: number;
  readonly feature: number;
  /** Bins up to this one go left. */
  readonly bin: number;
  readonly missingLeft: boolean;
  readonly leftValue: number;
  readonly rightValue: number;
  readonly sense: Sense;
};

/** Best-first growth; node values are scaled by the rate. Thresholds are bins until `named`. */
function growTree(
  table: Table,
  rows: readonly number[],
  features: readonly number[],
  kind: SourceKind,
  gradient: Float64Array,
  weight: Float64Array,
  growth: Growth,
): TreeNode[] {
  const nodes: TreeNode[] = [];
  const leaf = (own: readonly number[], low: number, high: number, value: number): Leaf => {
    nodes.push([growth.rate * value]);
    return {
      at: nodes.length - 1,
      rows: own,
      low,
      high,
      split: bestSplit(table, own, features, kind, gradient, weight, growth, low, high),
    };
  };
  let g = 0;
  let h = 0;
  for (const i of rows) {
    g += gradient[i]!;
    h += weight[i]!;
  }
  const open = [leaf(rows, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, -g / (h + growth.ridge))];
  for (let leaves = 1; leaves < growth.leaves; leaves++) {
    const best = open.reduce((a, b) => ((b.split?.gain ?? 0) > (a.split?.gain ?? 0) ? b : a));
    const { split } = best;
    if (!split) break;
    open.splice(open.indexOf(best), 1);
    const bins = table.bins[split.feature]!;
    const goesLeft = (i: number): boolean =>
      bins[i] === MISSING ? split.missingLeft : bins[i]! <= split.bin;
    const middle = 0.5 * (split.leftValue + split.rightValue);
    const bounds =
      split.sense === 'free'
        ? { left: [best.low, best.high], right: [best.low, best.high] }
        : split.sense === 'rising'
          ? { left: [best.low, middle], right: [middle, best.high] }
          : { left: [middle, best.high], right: [best.low, middle] };
    const left = leaf(best.rows.filter(goesLeft), bounds.left[0]!, bounds.left[1]!, split.leftValue);
    const right = leaf(
      best.rows.filter((i) => !goesLeft(i)),
      bounds.right[0]!,
      bounds.right[1]!,
      split.rightValue,
    );
    nodes[best.at] = [
      nodes[best.at]![0]!,
      split.feature,
      split.bin,
      split.missingLeft ? 1 : 0,
      left.at,
      right.at,
    ];
    open.push(left, right);
  }
  return nodes;
}

function bestSplit(
  table: Table,
  rows: readonly number[],
  features: readonly number[],
  kind: SourceKind,
  gradient: Float64Array,
  weight: Float64Array,
  { ridge, leastWeight }: Growth,
  low: number,
  high: number,
): Split | null {
  const value = (g: number, h: number): number => Math.min(high, Math.max(low, -g / (h + ridge)));
  const loss = (g: number, h: number, v: number): number => g * v + 0.5 * (h + ridge) * v * v;
  let best: Split | null = null;
  const g = new Float64Array(BINS + 1);
  const h = new Float64Array(BINS + 1);
  for (const feature of features) {
    g.fill(0);
    h.fill(0);
    const bins = table.bins[feature]!;
    for (const i of rows) {
      g[bins[i]!] = g[bins[i]!]! + gradient[i]!;
      h[bins[i]!] = h[bins[i]!]! + weight[i]!;
    }
    let allG = 0;
    let allH = 0;
    for (let b = 0; b <= BINS; b++) {
      allG += g[b]!;
      allH += h[b]!;
    }
    const unsplit = loss(allG, allH, value(allG, allH));
    const sense = senseOf(table.names[feature]!, kind);
    for (const missingLeft of h[MISSING]! > 0 ? [true, false] : [true]) {
      let leftG = missingLeft ? g[MISSING]! : 0;
      let leftH = missingLeft ? h[MISSING]! : 0;
      for (let bin = 0; bin < table.edges[feature]!.length; bin++) {
        leftG += g[bin]!;
        leftH += h[bin]!;
        const rightH = allH - leftH;
        if (leftH < leastWeight) continue;
        if (rightH < leastWeight) break;
        const leftValue = value(leftG, leftH);
        const rightValue = value(allG - leftG, rightH);
        if (sense === 'rising' && leftValue > rightValue) continue;
        if (sense === 'falling' && leftValue < rightValue) continue;
        const gain = unsplit - loss(leftG, leftH, leftValue) - loss(allG - leftG, rightH, rightValue);
        if (gain > (best?.gain ?? 1e-6)) {
          best = { gain, feature, bin, missingLeft, leftValue, rightValue, sense };
        }
      }
    }
  }
  return best;
}

function leafValue(tree: readonly TreeNode[], table: Table, row: number): number {
  let at = 0;
  for (;;) {
    const node = tree[at]!;
    if (node.length === 1) return node[0];
    const [, feature, bin, missingLeft, left, right] = node;
    const own = table.bins[feature]![row]!;
    at = (own === MISSING ? missingLeft === 1 : own <= bin) ? left : right;
  }
}

const round = (x: number): number => Number(x.toPrecision(4));

/** Bins become thresholds. */
function named(tree: readonly TreeNode[], { edges }: Table): TreeNode[] {
  return tree.map((node) => {
    if (node.length === 1) return [round(node[0])];
    const [value, feature, bin, missingLeft, left, right] = node;
    return [round(value), feature, edges[feature]![bin]!, missingLeft, left, right];
  });
}
