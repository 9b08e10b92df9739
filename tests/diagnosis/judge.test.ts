import { describe, expect, it } from 'vitest';
import { growTrees, type TrainingVisit } from '../../build/judge/grow-trees.ts';
import { seenOtherwise } from '../../build/judge/seen-otherwise.ts';
import { Dice } from '../../seeds/other-drives/dice.ts';
import { Random } from '../../seeds/road-drive/random.ts';
import { SOURCE_KINDS } from '../../shared/diagnosis/emission.ts';
import { sumOfTrees, TREES } from '../../shared/diagnosis/judge/trees.ts';

/** Visits of four suspects; the guilty one has the clearer tones, and a number that says nothing beside it. */
function visits(count: number): TrainingVisit[] {
  const dice = new Dice(1);
  return Array.from({ length: count }, () => {
    const guilty = Math.floor(dice.uniform(0, 4));
    return {
      guilty,
      suspects: (['tyre', 'tyre', 'differential', 'engine'] as const).map((kind, i) => ({
        kind,
        features: {
          'tone.count': 3 * dice.normal() + (i === guilty ? 8 : 0),
          'tone.on': dice.normal(),
          ...(dice.uniform() < 0.7 && { delay: dice.normal() }),
        },
      })),
    };
  });
}

describe('trees grown on visits', () => {
  const grown = growTrees(visits(400));
  const score = (count: number, delay = Number.NaN): number =>
    sumOfTrees(grown, 'tyre', { 'tone.count': count, 'tone.on': 0, delay }).total;

  it('learn what tells the guilty apart, in visits that they never saw', () => {
    const unseen = visits(600).slice(400);
    const right = unseen.filter(({ suspects, guilty }) => {
      const scores = suspects.map((s) => sumOfTrees(grown, s.kind, s.features).total);
      return scores.indexOf(Math.max(...scores)) === guilty;
    });
    // Four normal numbers of which one lies 8 / 3 higher: the best guess is right in about nine of ten.
    expect(right.length / unseen.length).toBeGreaterThan(0.8);
  });

  it('never go against a sense: more clear tones never make a part less suspected', () => {
    for (let count = -10; count < 20; count++) expect(score(count + 1)).toBeGreaterThanOrEqual(score(count));
    expect(score(15) - score(-5)).toBeGreaterThan(2);
  });

  it('take what was not measured for neither much nor little', () => {
    expect(score(4)).toBeGreaterThanOrEqual(score(4, -2) - 1);
    expect(score(4)).toBeLessThanOrEqual(score(4, 2) + 1);
  });

  it('come out the same from the same visits', () => {
    expect(growTrees(visits(400))).toEqual(grown);
  });
});

it('a visit seen otherwise is shifted and stretched alike for all suspects; shares, counts and gaps stay', () => {
  const visit: TrainingVisit = {
    guilty: 0,
    suspects: [9, 4, -3].map((x) => ({
      kind: 'tyre',
      features: {
        'own.con': x,
        'tone.count': x,
        'coh0.mine': x / 10,
        'model.llr': x,
        ...(x > 0 && { delay: x }),
      },
    })),
  };
  const [a, b, c] = seenOtherwise(visit, new Random(1)).suspects.map((s) => s.features);
  const stretch = (a!['own.con']! - b!['own.con']!) / 5;
  expect(stretch).not.toBeCloseTo(1, 3);
  expect((b!['own.con']! - c!['own.con']!) / 7).toBeCloseTo(stretch, 9);
  expect(a!['model.llr']! / c!['model.llr']!).toBeCloseTo(-3, 9);
  expect([a!['tone.count'], b!['coh0.mine'], c!.delay]).toEqual([9, 0.4, undefined]);
});

it('what the features moved is the way from the roots to the sum, in every kind’s trees', () => {
  const dice = new Dice(2);
  for (const kind of SOURCE_KINDS) {
    const known = Object.fromEntries(TREES.features.map((name) => [name, 10 * dice.normal()]));
    const { total, moved } = sumOfTrees(TREES, kind, known);
    const roots = TREES.trees[kind].reduce((sum, tree) => sum + tree[0]![0], 0);
    expect(TREES.trees[kind].length).toBeGreaterThan(0);
    expect(roots + [...moved.values()].reduce((a, b) => a + b, 0)).toBeCloseTo(total, 9);
  }
});
