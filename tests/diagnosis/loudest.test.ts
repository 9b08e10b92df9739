import { describe, expect, it } from 'vitest';
import { placesLouderThan } from '../../shared/diagnosis/loudest.ts';
import { nextPlacements } from '../../shared/diagnosis/next-placement.ts';
import type { FamilyFeatures, Observation } from '../../shared/diagnosis/observation.ts';
import { posterior } from '../../shared/diagnosis/posterior.ts';
import type { Position } from '../../shared/driveline/words.ts';
import { REAR_WHEEL_DRIVE } from './rear-wheel-drive.ts';

/** Levels of the rear ring gear's mesh on a rear-wheel drive: one object for each run. */

function heard(...runs: Partial<Record<Position, number | null>>[]) {
  const observations = runs.flatMap((run, r) =>
    Object.entries(run).map(
      ([position, level_db], channel): Observation => ({
        run: r + 1,
        channel,
        position,
        level_db: level_db ?? null,
        sd_db: 1,
        limit_db: 50,
        against_db: 60,
      }),
    ),
  );
  const mesh: FamilyFeatures = { id: 'meshRear', band: 'mid', observations, answers: [] };
  return posterior([mesh], REAR_WHEEL_DRIVE);
}
const louder = (...runs: Partial<Record<Position, number | null>>[]) =>
  placesLouderThan('differential-rear', heard(...runs));

describe('a place that is louder than the part itself', () => {
  it('counts when it is more than twice as loud, in the same run', () => {
    expect(louder({ 'differential-rear-left': 90, 'hub-rear-left': 97 })).toEqual(['hub-rear-left']);
    expect(louder({ 'differential-rear-left': 90, 'hub-rear-left': 95 })).toEqual([]);
    expect(louder({ 'differential-rear-left': 90 }, { 'hub-rear-left': 97 })).toEqual([]);
  });

  it('is measured against the loudest place of the part, and only where something was heard', () => {
    expect(
      louder({ 'differential-rear-left': 80, 'differential-rear-right': 92, 'hub-rear-left': 97 }),
    ).toEqual([]);
    expect(louder({ 'differential-rear-left': null, 'hub-rear-left': 97 })).toEqual([]);
  });

  it('no longer counts when both were clamped afresh and the part was the louder', () => {
    const poor = { 'differential-rear-left': 88, 'hub-rear-left': 97 };
    expect(louder(poor, { 'differential-rear-left': 98, 'hub-rear-left': 96 })).toEqual([]);
    expect(louder(poor, { 'differential-rear-left': 89, 'hub-rear-left': 96 })).toEqual(['hub-rear-left']);
  });

  it('is clamped again next, together with the part', () => {
    const run = { 'differential-rear-left': 90, 'hub-rear-left': 100 };
    const next = nextPlacements(heard(run), REAR_WHEEL_DRIVE, 3, [Object.keys(run)], ['hub-rear-left']);
    expect(next.slice(0, 2)).toMatchObject([
      { position: 'differential-rear-left', why: { id: 'next.clampAgain' } },
      { position: 'hub-rear-left', why: { id: 'next.clampAgain' } },
    ]);
    expect(new Set(next.map((n) => n.position)).size).toBe(3);
  });
});
