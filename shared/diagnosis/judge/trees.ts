import type { SourceKind } from '../emission.ts';
import type { SuspectFeatures } from './heard.ts';
import fitted from './trees.json' with { type: 'json' };

/**
 * A leaf holds its value in natural logs. A split holds the value that its leaves have on average, the index of its
 * feature, its threshold (up to it goes left), whether what was not measured goes left (1), and where left and right
 * are in the tree.
 */
export type TreeNode =
  | [value: number]
  | [value: number, feature: number, threshold: number, missingLeft: number, left: number, right: number];

/** Trees as they were grown. */
export type JudgeTrees = {
  /** How many they were grown on, each counted as often as it was seen. */
  readonly visits: number;
  /** Names of the features that splits count. */
  readonly features: readonly string[];
  readonly trees: Readonly<Record<SourceKind, readonly (readonly TreeNode[])[]>>;
};

/** What `npm run fit-judge` wrote; `README.md` says how. */
export type FittedJudge = JudgeTrees & {
  /** Power on the odds with which cars that no tree had seen were found as often as was said (`build/judge/sharpness.ts`). */
  readonly sharpness: number;
};

export const TREES = fitted as unknown as FittedJudge;

/**
 * Sum of all trees of a kind for one suspect, and what of it each feature moved: along the way through a tree the
 * change of value at a split belongs to its feature (Palczewska et al., in Integration of Reusable Systems, 2014).
 */
export function sumOfTrees(
  { features, trees }: Pick<JudgeTrees, 'features' | 'trees'>,
  kind: SourceKind,
  known: SuspectFeatures,
): { readonly total: number; readonly moved: ReadonlyMap<string, number> } {
  let total = 0;
  const moved = new Map<string, number>();
  for (const tree of trees[kind]) {
    let node = tree[0]!;
    while (node.length > 1) {
      const [value, feature, threshold, missingLeft, left, right] = node as Exclude<TreeNode, [number]>;
      const name = features[feature]!;
      const x = known[name] ?? Number.NaN;
      node = tree[(Number.isNaN(x) ? missingLeft === 1 : x <= threshold) ? left : right]!;
      moved.set(name, (moved.get(name) ?? 0) + node[0] - value);
    }
    total += node[0];
  }
  return { total, moved };
}
