import { expect, test } from 'vitest';
import type { AwaitedCheck } from '../../db/outcomes.ts';
import { dueRows } from '../../electron/returning/due-list.ts';
import { DueRowSchema } from '../../shared/contract/returning-car.ts';

const seconds = (day: string) => Date.parse(day) / 1000;

const check = (vehicleId: number, change: Partial<AwaitedCheck>): AwaitedCheck => ({
  vehicleId,
  visitId: vehicleId,
  label: `car ${vehicleId}`,
  plate: '',
  startedAt: '2026-01-01T10:00:00Z',
  done: 'watched',
  source: null,
  note: '',
  nextCheckOn: null,
  nextCheckAt_km: null,
  // Ten thousand a year.
  readings: [
    { at_s: seconds('2025-01-01'), odometer_km: 50_000 },
    { at_s: seconds('2026-01-01'), odometer_km: 60_000 },
  ],
  ...change,
});

test('the most urgent check stands first, past ones before those to come, later ones not at all', () => {
  const rows = dueRows(
    [
      check(1, { nextCheckOn: '2026-06-20' }),
      check(2, { nextCheckOn: '2026-05-01' }),
      check(3, { nextCheckOn: '2026-12-01' }),
    ],
    '2026-06-01',
    30,
  );
  expect(rows.map((r) => [r.vehicleId, r.daysLeft, r.estimated])).toEqual([
    [2, -31, false],
    [1, 19, false],
  ]);
  expect(rows.map((r) => DueRowSchema.parse(r))).toEqual(rows);
});

test('a check at an odometer reading gets its day from the mileage, and the earlier of two days counts', () => {
  const [first, second] = dueRows(
    [
      check(1, { nextCheckAt_km: 65_000, nextCheckOn: '2026-12-01' }),
      check(2, { nextCheckAt_km: 90_000, nextCheckOn: '2026-07-10' }),
    ],
    '2026-07-01',
    30,
  );
  expect(first).toMatchObject({ vehicleId: 1, dueOn: '2026-07-02', estimated: true, daysLeft: 1 });
  expect(second).toMatchObject({ vehicleId: 2, dueOn: '2026-07-10', estimated: false });
});

test('where the mileage is not known the check is listed without a day', () => {
  const [row] = dueRows([check(1, { nextCheckAt_km: 65_000, readings: [] })], '2026-07-01', 0);
  expect(row).toMatchObject({ dueOn: null, daysLeft: null, estimated: false });
});
