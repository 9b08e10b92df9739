import { expect, test } from 'vitest';
import { Random } from '../../seeds/road-drive/random.ts';
import type { ComparableMeasure } from '../../shared/diagnosis/comparable.ts';
import {
  answeringSeries,
  chanceLimit,
  mainTrend,
  sourceConcerns,
  type WearSeries,
  wearSeries,
} from '../../shared/diagnosis/wear.ts';

const measure = (change: Partial<ComparableMeasure>): ComparableMeasure => ({
  visitId: 1,
  startedAt: '2020-01-01T10:00:00Z',
  odometer_km: 100_000,
  runId: 1,
  channel: 1,
  position: 'differential-rear-left',
  pickup: 'A',
  fullScale_m_s2: 200,
  kind: 'orderLevel',
  part: 'differential-rear',
  label: 'ring gear mesh 1×',
  unit: 'm/s²',
  method: 'comparable measures 1',
  state: 'drive',
  speedBand: { low_km_h: 70, high_km_h: 80 },
  value: 1,
  spread: 0.1,
  repeats: 3,
  ...change,
});

const visit = (n: number, change: Partial<ComparableMeasure>): ComparableMeasure =>
  measure({
    visitId: n,
    startedAt: `${2020 + n}-01-01T10:00:00Z`,
    odometer_km: 100_000 + 15_000 * n,
    ...change,
  });

test('a series holds one figure per visit: same place, state, band, method, and a known sensitivity', () => {
  const series = wearSeries([
    visit(1, {}),
    visit(2, { value: 2 }),
    visit(2, { value: 9, repeats: 1, runId: 7 }),
    visit(3, { fullScale_m_s2: null }),
    visit(3, { position: 'differential-rear-right' }),
    visit(3, { state: 'coast' }),
    visit(3, { speedBand: { low_km_h: 90, high_km_h: 100 } }),
    visit(3, { method: 'comparable measures 2' }),
    visit(3, { position: 'not placed 4' }),
  ]);
  expect(series.map((s) => s.visits.length)).toEqual([2, 1, 1, 1, 1]);
  expect(series[0]!.visits.map((v) => [v.visitId, v.level_db])).toEqual([
    [1, 120],
    [2, expect.closeTo(126.02, 2)],
  ]);
  // Two decibels for clamping anew, half a decibel for the mean of three repeats.
  expect(series[0]!.visits[0]!.uncertainty_db).toBeCloseTo(Math.hypot(2, 0.8686 / Math.sqrt(3)), 3);
});

test('the watched part answers for the vehicle, as near to it as a pickup sat', () => {
  const all = wearSeries([
    visit(1, { value: 0.5 }),
    visit(1, { position: 'hub-rear-left', value: 3 }),
    visit(1, { part: 'wheel', label: 'wheel 1×', value: 20 }),
    visit(1, {
      kind: 'envelopeProminence',
      part: 'wheel-bearing',
      label: 'wheel bearing outer ring 1×',
      position: 'hub-rear-left',
      unit: 'dB',
      value: 8,
    }),
    visit(1, {
      kind: 'envelopeProminence',
      part: 'wheel-bearing',
      label: 'wheel bearing outer ring 1×',
      position: 'hub-rear-right',
      unit: 'dB',
      value: 14,
    }),
    visit(1, { kind: 'bandLevel', part: 'place', label: '400-800 Hz', position: 'transmission' }),
  ]);
  const answer = (source: Parameters<typeof answeringSeries>[1]) => {
    const { kind, label, position } = answeringSeries(all, source)!.of;
    return [kind, label, position];
  };
  expect(answer('differential-rear')).toEqual(['orderLevel', 'ring gear mesh 1×', 'differential-rear-left']);
  expect(answer('wheel-bearing-rear-left')).toEqual([
    'envelopeProminence',
    'wheel bearing outer ring 1×',
    'hub-rear-left',
  ]);
  expect(answer('transmission')).toEqual(['bandLevel', '400-800 Hz', 'transmission']);
  // No part is watched, or nothing was measured of it: the strongest line.
  expect(answer(null)).toEqual(['orderLevel', 'wheel 1×', 'differential-rear-left']);
  expect(answer('engine')).toEqual(['orderLevel', 'wheel 1×', 'differential-rear-left']);
  expect(answeringSeries([], null)).toBeNull();
});

test('a repair begins only the series of its own part anew', () => {
  const hub = measure({ part: 'wheel-bearing', position: 'hub-rear-left' });
  expect(sourceConcerns('wheel-bearing-rear-left', hub)).toBe(true);
  expect(sourceConcerns('wheel-bearing-rear-right', hub)).toBe(false);
  expect(sourceConcerns('differential-rear', hub)).toBe(false);
  expect(sourceConcerns('differential-rear', measure({ position: 'hub-rear-left' }))).toBe(true);
  expect(sourceConcerns('differential-rear', measure({ part: 'place' }))).toBe(true);
  expect(sourceConcerns('tyre-rear-left', measure({ part: 'place', position: 'hub-rear-left' }))).toBe(true);
});

test('of unchanged cars with forty figures each, at most 5 percent are called worse in any of them', () => {
  const random = new Random(7, 'forty figures');
  let worse = 0;
  for (let car = 0; car < 300; car++) {
    const visits = random.integer(3, 9);
    const series: WearSeries[] = wearSeries(
      Array.from({ length: visits }, (_, n) => {
        // Clamping anew moves all figures of a place together; each scatters by itself as well.
        const place = [random.normal(0, 1.5), random.normal(0, 1.5)];
        return Array.from({ length: 40 }, (_, f) =>
          visit(n, {
            label: `line ${f}`,
            position: f % 2 ? 'hub-rear-left' : 'hub-rear-right',
            value: 10 ** ((place[f % 2]! + random.normal(0, 1.5) - f / 10) / 20),
          }),
        );
      }).flat(),
    );
    const answering = answeringSeries(series, null);
    const rising = series.some((s) => {
      const trend = mainTrend(s.visits, {
        limit_db: null,
        chanceLimit: chanceLimit(s === answering, series.length),
      });
      return trend.kind === 'fitted' && trend.rising;
    });
    if (rising) worse++;
  }
  expect(worse / 300).toBeLessThanOrEqual(0.05);
});
