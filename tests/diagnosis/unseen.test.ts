import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bundleOutcomes } from '../../build/evaluation/bundles.ts';
import { type Outcome, type Score, score, table } from '../../build/evaluation/score.ts';

/** Of the 84 that the simulation can make. */
const VISITS = 42;

let folder: string;
let result: Score;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'unseen-'));
  // Debian's own Python has SciPy; another one may come first on PATH.
  execFileSync('/usr/bin/python3', [join(import.meta.dirname, 'unseen/drive.py'), String(VISITS), folder]);
  const outcomes: Outcome[] = [];
  for await (const outcome of bundleOutcomes(folder)) outcomes.push(outcome);
  result = score(outcomes);
  console.info(table(result));
}, 600_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('in a world that it has not seen, the diagnosis is right where it is sure', () => {
  expect(result.all.pinpointed).toBeGreaterThan(VISITS / 5);
  expect(result.all.pinpointedRight / result.all.pinpointed).toBeGreaterThanOrEqual(0.95);
});

it('there it accuses no healthy car', () => {
  expect(result.byKind.get('none')!.visits).toBeGreaterThan(2);
  expect(result.byKind.get('none')!.accused).toBe(0);
});

it('there it finds most sources, and knows how often', () => {
  expect(result.all.first / result.all.visits).toBeGreaterThanOrEqual(0.65);
  expect(result.calibrationError - result.calibrationByChance).toBeLessThanOrEqual(0.1);
});
