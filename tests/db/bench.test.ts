import { expect, test } from 'vitest';
import { benchGarage } from '../../build/bench/garage.ts';

test('the bench measures a garage of the size asked for', async () => {
  const figures = await benchGarage({ vehicles: 12, visitsPerVehicle: 3 });
  expect(figures).toMatchObject({ vehicles: 12, visits: 36, measures: 36 * 2 * 6 });
  for (const { p50, p95, max } of [figures.vehicle_ms, figures.search_ms]) {
    expect(p50).toBeGreaterThan(0);
    expect(p95).toBeGreaterThanOrEqual(p50);
    expect(max).toBeGreaterThanOrEqual(p95);
  }
  expect(figures.start_ms).toBeGreaterThan(0);
  expect(figures.file_MB).toBeGreaterThan(0);
});
