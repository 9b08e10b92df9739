import { expect, test } from 'vitest';
import { Random } from '../../seeds/road-drive/random.ts';
import { dayOfOdometer, type FittedTrend, type WearVisit, wearTrend } from '../../shared/diagnosis/trend.ts';
import { english } from '../../shared/messages/tell.ts';

const DAY_MS = 86_400_000;

interface Course {
  visits: number;
  growth_db_per_10000_km: number;
  scatter_db?: number;
  outliers?: number;
}

/** A car's visits with a known growth; what scatters is how the pickup was clamped and the road, in dB. */
function course(random: Random, { visits, growth_db_per_10000_km, scatter_db = 2, outliers = 0 }: Course) {
  let at = Date.UTC(2020, 0, 6) + random.integer(0, 300) * DAY_MS;
  let odometer_km = random.integer(20_000, 150_000);
  const first = odometer_km;
  return Array.from({ length: visits }, (): WearVisit => {
    const odd = random.chance(outliers) ? 5 : 1;
    const visit = {
      startedAt: new Date(at).toISOString(),
      odometer_km,
      level_db:
        104 + (growth_db_per_10000_km * (odometer_km - first)) / 10_000 + odd * random.normal(0, scatter_db),
    };
    at += random.integer(60, 400) * DAY_MS;
    odometer_km += random.integer(3000, 22_000);
    return visit;
  });
}

const fitted = (visits: WearVisit[], limit_db: number | null = null): FittedTrend => {
  const trend = wearTrend(visits, 'odometer', { limit_db });
  if (trend.kind !== 'fitted') throw new Error(english(trend.sentence));
  return trend;
};

test.each([3, 4, 5, 6, 8, 12])(
  '%i visits: the true growth of 200 cars lies within the stated interval of 90 percent for 85 to 95',
  (visits) => {
    const random = new Random(visits, 'wear');
    let inside = 0;
    for (let car = 0; car < 200; car++) {
      const growth_db_per_10000_km = random.range(0, 4);
      const { growth } = fitted(course(random, { visits, growth_db_per_10000_km }));
      if (growth.low <= growth_db_per_10000_km && growth_db_per_10000_km <= growth.high) inside++;
    }
    expect(inside).toBeGreaterThanOrEqual(170);
    expect(inside).toBeLessThanOrEqual(190);
  },
);

test('an odd visit now and then neither bends the line nor empties the interval', () => {
  const random = new Random(1, 'odd visits');
  let inside = 0;
  let error = 0;
  for (let car = 0; car < 200; car++) {
    const { growth } = fitted(course(random, { visits: 8, growth_db_per_10000_km: 1.5, outliers: 0.1 }));
    if (growth.low <= 1.5 && 1.5 <= growth.high) inside++;
    error += Math.abs(growth.perUnit_db - 1.5) / 200;
  }
  expect(inside).toBeGreaterThanOrEqual(170);
  expect(inside).toBeLessThanOrEqual(190);
  // With a scatter of 2 dB over eight visits and some 90,000 km.
  expect(error).toBeLessThan(0.4);
});

test.each([3, 4, 6, 10])('%i visits: of 400 unchanged cars at most 5 percent are called worse', (visits) => {
  const random = new Random(visits, 'unchanged');
  let worse = 0;
  for (let car = 0; car < 400; car++) {
    if (fitted(course(random, { visits, growth_db_per_10000_km: 0 })).rising) worse++;
  }
  expect(worse).toBeLessThanOrEqual(20);
});

test('clear wear is announced from the fourth visit on', () => {
  const random = new Random(2, 'clear');
  let worse = 0;
  for (let car = 0; car < 200; car++) {
    if (fitted(course(random, { visits: 5, growth_db_per_10000_km: 3, scatter_db: 1.5 })).rising) worse++;
  }
  expect(worse).toBeGreaterThan(150);
});

test.each([3, 5, 7, 9, 15])(
  '%i visits: a further visit falls into its interval for about 90 percent',
  (visits) => {
    const random = new Random(visits, 'further');
    let inside = 0;
    for (let car = 0; car < 400; car++) {
      const all = course(random, { visits, growth_db_per_10000_km: 1 });
      const { line } = fitted(all);
      const [first, end] = [all[0]!.odometer_km!, line.at(-1)!];
      const level_db = 104 + (end.x - first) / 10_000 + random.normal(0, 2);
      if (end.low <= level_db && level_db <= end.high) inside++;
    }
    expect(inside / 400).toBeGreaterThan(0.84);
    expect(inside / 400).toBeLessThan(0.96);
  },
);

const yearly = (levels: readonly number[]): WearVisit[] =>
  levels.map((level_db, i) => ({
    startedAt: `${2020 + i}-06-01T09:00:00Z`,
    odometer_km: 100_000 + 20_000 * i,
    level_db,
  }));

test('from fewer than three comparable visits nothing is forecast, and it is said', () => {
  const two = wearTrend(yearly([100, 104]), 'odometer', { limit_db: 110 });
  expect(two).toMatchObject({ kind: 'tooFew', visits: 2 });
  expect(english(two.sentence)).toBe('A trend needs at least three comparable visits; there are 2.');
  const unread = yearly([100, 101, 103]).map((v, i) => ({
    ...v,
    odometer_km: i === 1 ? null : v.odometer_km,
  }));
  const trend = wearTrend(unread, 'odometer', { limit_db: null });
  expect(trend.kind).toBe('tooFew');
  expect(english(trend.sentence)).toContain('2 visits, and one visit without one');
  expect(wearTrend(unread, 'date', { limit_db: null }).kind).toBe('fitted');
  // Two runs of one day are one visit.
  const sameDay = yearly([100, 104]);
  expect(wearTrend([...sameDay, sameDay[1]!], 'odometer', { limit_db: null }).kind).toBe('tooFew');
});

test('says when the level that the shop set is reached, by odometer and by day', () => {
  const trend = fitted(yearly([100, 102, 104, 106, 108]), 112);
  expect(trend.growth.perUnit_db).toBeCloseTo(1, 9);
  expect(trend.reaches).toMatchObject({ x: 220_000, on: '2026-06-01' });
  expect(trend.rising).toBe(true);
  expect(english(trend.sentence)).toContain('220,000 km');

  const scattered = fitted(yearly([100, 103, 102.5, 107, 107.5]), 112);
  expect(scattered.reaches!.earliest).toBeLessThan(scattered.reaches!.x);
  expect(scattered.reaches!.latest === null || scattered.reaches!.latest > scattered.reaches!.x).toBe(true);

  const byDate = wearTrend(yearly([100, 102, 104, 106, 108]), 'date', { limit_db: 112 });
  expect(byDate.kind === 'fitted' && byDate.reaches?.on).toMatch(/^2026-0(5-31|6-0[12])$/);
});

test('names no day where none can be told', () => {
  expect(fitted(yearly([108, 106, 104, 102]), 112).reaches).toBeNull();
  expect(fitted(yearly([100, 100.1, 100.2, 100.3]), 130).reaches).toBeNull();
  expect(english(fitted(yearly([100, 100.1, 100.2, 100.3]), 130).sentence)).toContain('further off');
  expect(english(fitted(yearly([100, 104, 108, 112]), 110).sentence)).toContain('is reached');
  expect(english(fitted(yearly([104, 101, 105, 102]), 110).sentence)).toMatch(/^No rise is shown/);
});

test('the day of an odometer reading follows the mileage so far', () => {
  const day = (iso: string) => Date.parse(iso) / 1000;
  const read = [
    { at_s: day('2025-01-01T00:00Z'), km: 50_000 },
    { at_s: day('2026-01-01T00:00Z'), km: 60_000 },
  ];
  expect(dayOfOdometer(70_000, read)).toBe('2027-01-01');
  expect(dayOfOdometer(55_000, read)).toBe('2025-07-02');
  expect(dayOfOdometer(70_000, read.slice(1))).toBeNull();
  expect(dayOfOdometer(70_000, [read[0]!, { ...read[1]!, km: 50_000 }])).toBeNull();
});
