import { expect, it } from 'vitest';
import { crudeVisit } from '../../seeds/other-drives/crude-drive.ts';
import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import type { Position, Source } from '../../shared/driveline/words.ts';

/**
 * Two pickups, one run after the other, until the source is pinpointed: by the program's own next placements, and
 * by a fixed order that a careful technician without it might keep. Both begin at the hubs of the driven axle.
 */
const MOST_RUNS = 5;
const FIRST: Position[] = ['hub-rear-left', 'hub-rear-right'];
const FIXED: Position[][] = [
  FIRST,
  ['hub-front-left', 'hub-front-right'],
  ['differential-rear-left', 'differential-rear-right'],
  ['propshaft-centre-bearing', 'differential-rear-pinion'],
  ['transmission', 'engine-mount'],
];
const SOURCES: Source[] = [
  'wheel-bearing-rear-left',
  'wheel-bearing-rear-right',
  'differential-rear',
  'tyre-rear-left',
  'propshaft-centre-bearing',
  'engine',
];

async function runsNeeded(
  seed: number,
  source: Source,
  next: (proposed: Position[], run: number) => Position[],
) {
  const placements = [FIRST];
  for (let run = 1; ; run++) {
    const { visit, provider } = crudeVisit(seed, {
      source,
      layout: 'rwd',
      placements,
      excess_db: 32,
      seconds: 12,
    });
    const { verdict, sources, nextPlacement } = await analyseVisit(visit, provider);
    if (verdict === 'pinpointed') expect(sources[0]!.source, `seed ${seed}`).toBe(source);
    if (verdict === 'pinpointed' || run === MOST_RUNS) return run;
    placements.push(
      next(
        nextPlacement.map((p) => p.position),
        run,
      ),
    );
  }
}

it('finds the source in fewer runs by its own proposals than in a fixed order', async () => {
  const own: number[] = [];
  const fixed: number[] = [];
  for (const [i, source] of SOURCES.entries()) {
    own.push(await runsNeeded(300 + i, source, (proposed) => proposed));
    fixed.push(await runsNeeded(300 + i, source, (_, run) => FIXED[run]!));
  }
  const mean = (runs: readonly number[]): number => runs.reduce((a, b) => a + b, 0) / runs.length;
  console.info(
    `runs: ${own.join(' ')} proposed (mean ${mean(own).toFixed(2)}), ${fixed.join(' ')} fixed (${mean(fixed).toFixed(2)})`,
  );
  expect(mean(own)).toBeLessThan(mean(fixed));
  expect(mean(own)).toBeLessThanOrEqual(2.2);
}, 300_000);
