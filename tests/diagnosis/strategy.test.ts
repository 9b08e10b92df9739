import { expect, it } from 'vitest';
import { rendered } from '../../build/evaluation/visits.ts';
import { randomScenario, scenarioWithPlacements } from '../../seeds/scenarios/index.ts';
import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import type { Position, Source } from '../../shared/driveline/words.ts';

/**
 * Two pickups, one run after the other, until the source is pinpointed: by the program's own next placements, and
 * by a fixed order that a careful technician without it might keep.
 */
const MOST_RUNS = 6;
const FIRST: Position[] = ['hub-rear-left', 'hub-rear-right'];
const FIXED: Position[][] = [
  FIRST,
  ['hub-front-left', 'hub-front-right'],
  ['differential-rear-left', 'differential-rear-right'],
  ['differential-rear-pinion', 'propshaft-centre-bearing'],
  ['transmission', 'engine-mount'],
  ['subframe-rear', 'differential-rear-pinion'],
];
const SOURCES: Source[] = [
  'wheel-bearing-rear-left',
  'wheel-bearing-front-right',
  'tyre-front-left',
  'differential-rear',
  'propshaft-centre-bearing',
  'engine',
];

async function runsNeeded(
  seed: number,
  source: Source,
  next: (proposed: Position[], run: number) => Position[],
) {
  const scenario = randomScenario(seed, {
    source,
    severity: 1,
    layout: 'rwd',
    electricDrive: false,
    knownGeometry: true,
    badChannelChance: 0,
    tacho: true,
    sampleRate_Hz: 24_000,
    durationS: 20,
    placements: [FIRST],
  });
  const placements = [FIRST];
  for (let run = 1; ; run++) {
    const { bundle, provider } = rendered(scenarioWithPlacements(scenario, placements));
    const findings = await analyseVisit(bundle, provider);
    if (findings.verdict === 'pinpointed') expect(findings.sources[0]!.source, `seed ${seed}`).toBe(source);
    if (findings.verdict === 'pinpointed' || run === MOST_RUNS) return run;
    placements.push(
      next(
        findings.nextPlacement.map((p) => p.position),
        run,
      ),
    );
  }
}

it('finds the source in fewer runs by its own proposals than in a fixed order', async () => {
  let own = 0;
  let fixed = 0;
  for (const [i, source] of SOURCES.entries()) {
    own += await runsNeeded(300 + i, source, (proposed) => proposed);
    fixed += await runsNeeded(300 + i, source, (_, run) => FIXED[run]!);
  }
  console.info(
    `runs on average: ${(own / SOURCES.length).toFixed(2)} proposed, ${(fixed / SOURCES.length).toFixed(2)} fixed`,
  );
  expect(own).toBeLessThan(fixed);
}, 600_000);
