import { expect, it } from 'vitest';
import { modalVisit } from '../../seeds/modal-drive/modal-drive.ts';
import type { DriveVisit } from '../../seeds/other-drives/drive-visit.ts';
import type { DrivingState, Source } from '../../shared/driveline/words.ts';
import { meanSquare, powerLevelDb } from '../../shared/dsp/levels.ts';

/** What the judge learns from must be what it says: a healthy car, or the same car with one part too loud. */

const PLACES = ['hub-rear-left', 'differential-rear-pinion', 'transmission', 'engine-mount'];
const drive = (source: Source, seed = 4): DriveVisit =>
  modalVisit(seed, { source, layout: 'rwd', placements: [PLACES], excess_db: 28, seconds: 10 });
const level_dB = ({ samples }: DriveVisit, place: string): number =>
  powerLevelDb(meanSquare(samples[0]![PLACES.indexOf(place)]!), 1);
const healthy = drive('none');

it('is the same from the same seed', () => {
  expect(drive('none').samples).toEqual(healthy.samples);
  expect(drive('none').visit).toEqual(healthy.visit);
});

it.each<[Source, string]>([
  ['wheel-bearing-rear-left', 'hub-rear-left'],
  ['tyre-rear-left', 'hub-rear-left'],
  ['differential-rear', 'differential-rear-pinion'],
  ['transmission', 'transmission'],
  ['engine', 'engine-mount'],
])('with a bad %s is the same car, louder at the %s', (source, place) => {
  const bad = drive(source);
  expect(bad.visit.vehicle).toEqual(healthy.visit.vehicle);
  expect(level_dB(bad, place) - level_dB(healthy, place)).toBeGreaterThan(3);
});

it('swaying to the left loads the bearing on the left', () => {
  const swaying = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) => drive('wheel-bearing-rear-left', seed));
  const middle_dB = ({ visit, samples }: DriveVisit, state: DrivingState): number | null => {
    const segment = visit.runs[0]!.segments.find((s) => s.state === state);
    if (!segment) return null;
    // The last second: how the car is driven settles slowly.
    const to = Math.floor(segment.to_s * 24_000);
    return powerLevelDb(meanSquare(samples[0]![0]!.subarray(to - 24_000, to)), 1);
  };
  const steps_dB = swaying.flatMap((visit) => {
    const [left, right] = [middle_dB(visit, 'swayLeft'), middle_dB(visit, 'swayRight')];
    return left === null || right === null ? [] : [left - right];
  });
  expect(steps_dB.length).toBeGreaterThan(2);
  expect(Math.min(...steps_dB)).toBeGreaterThan(1);
});
