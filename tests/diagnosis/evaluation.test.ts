import { expect, it } from 'vitest';
import { type Outcome, score, table } from '../../build/evaluation/score.ts';
import { evaluationScenario, rendered } from '../../build/evaluation/visits.ts';
import { randomScenario, scenarioWithPlacements } from '../../seeds/scenarios/index.ts';
import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import { runningGearNet } from '../../shared/diagnosis/graph.ts';
import type { Position } from '../../shared/driveline/words.ts';

/** `npm run evaluate` takes 300 visits; these are its first. */
const VISITS = 60;

it('on fixed visits of all kinds of source is seldom wrong, and never when it is sure', async () => {
  const outcomes: Outcome[] = [];
  for (let seed = 0; seed < VISITS; seed++) {
    const { bundle, truth, provider } = rendered(evaluationScenario(seed));
    outcomes.push({ truth: truth.source, findings: await analyseVisit(bundle, provider) });
  }
  const { all, byKind, calibrationError, calibrationByChance } = score(outcomes);
  console.info(table({ all, byKind, calibrationError, calibrationByChance }));
  console.info(
    `calibration error ${calibrationError.toFixed(3)}, by chance ${calibrationByChance.toFixed(3)}`,
  );
  expect(all.pinpointed).toBeGreaterThan(VISITS / 5);
  expect(all.pinpointedRight / all.pinpointed).toBeGreaterThanOrEqual(0.98);
  const healthy = byKind.get('none')!;
  expect(healthy.accused / healthy.visits).toBeLessThanOrEqual(0.02);
  // On 300 visits about 0.93 is reached.
  expect(all.first / all.visits).toBeGreaterThanOrEqual(0.92);
  expect(calibrationError - calibrationByChance).toBeLessThanOrEqual(0.05);
}, 600_000);

const axles = [800, 801, 802, 803, 804].map((seed) => ({
  seed,
  axle: seed % 3 === 1 ? ('front' as const) : ('rear' as const),
}));

it.each(axles)(
  'hubs alone never convict a bearing of the noisy $axle axle between them (seed $seed)',
  async ({ seed, axle }) => {
    const differential = `differential-${axle}` as const;
    const scenario = randomScenario(seed, {
      source: differential,
      severity: 1,
      sampleRate_Hz: 24_000,
      durationS: 20,
      badChannelChance: 0,
      knownGeometry: true,
    });
    const net = runningGearNet(scenario.vehicle);
    const placements: Position[][] = [[`hub-${axle}-left`, `hub-${axle}-right`]];
    for (let run = 1; run <= 3; run++) {
      const { bundle, provider } = rendered(scenarioWithPlacements(scenario, placements));
      const { verdict, sources, nextPlacement } = await analyseVisit(bundle, provider);
      if (run === 1) {
        expect(verdict).not.toBe('pinpointed');
        expect(net.isOn(differential, nextPlacement[0]!.position), nextPlacement[0]!.position).toBe(true);
      }
      // Once the axle was heard it is the first suspect, and once it is sure it is right.
      if (run > 1) expect(sources[0]!.source).toBe(differential);
      if (verdict === 'pinpointed') return;
      placements.push(nextPlacement.map((p) => p.position));
    }
  },
  60_000,
);
