import { HOPS, type HopName } from './hops.ts';
import type { Random } from './random.ts';
import type { OtherPhysics } from './scenario.ts';

/** Laws drawn at random around the usual ones, so that nothing is learned that holds for those alone. */
export function otherPhysics(random: Random): OtherPhysics {
  const spread = random.range(1, 2.5);
  const allLosses = random.range(0.6, 1.7);
  const names = Object.keys(HOPS) as HopName[];
  return {
    spread,
    hops: Object.fromEntries(
      names.map((name) => [
        name,
        {
          loss: allLosses * random.range(0.75, 1.3),
          spread: random.range(1, 1.8),
          corner: random.logRange(0.5, 3),
        },
      ]),
    ) as OtherPhysics['hops'],
    // Of all healthy parts engines are the most unlike.
    engine: {
      level_db: random.range(-6, 12),
      uneven_db: random.range(-3, 18),
      strokes: random.range(0, 1),
    },
  };
}
