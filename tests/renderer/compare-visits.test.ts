import { expect, test } from 'vitest';
import { compareVisits } from '../../renderer/screens/visit/compare-visits.ts';
import type { RunHistory } from '../../shared/contract/garage.ts';
import { channelsOf, historyOf, VISITS } from './fixtures.ts';

const then = historyOf(VISITS[0]!.runs[0]!);
const now = historyOf(VISITS[1]!.runs[0]!);
const withRun = (history: RunHistory, change: Partial<RunHistory['run']>): RunHistory => ({
  ...history,
  run: { ...history.run, ...change },
});
const reasons = (rows: ReturnType<typeof compareVisits>) =>
  rows.map((row) => ('reason' in row ? row.reason : null));

test('like with like gives both levels in m/s² and the speeds they were driven at', () => {
  const rows = compareVisits(now, then, 'drive');
  expect(rows).toHaveLength(8);
  for (const row of rows) {
    if ('reason' in row) throw new Error(row.reason);
    // The fixture's earlier visit is the later one times 0.4.
    expect(row.now_m_s2 / row.then_m_s2).toBeCloseTo(2.5, 9);
    expect([row.low_km_h, row.high_km_h]).toEqual([60, 72]);
  }
});

test('a place that had no pickup is listed, not compared', () => {
  const moved = withRun(then, { channels: then.run.channels.slice(1) });
  const rows = compareVisits(now, { ...moved, rms: then.rms.slice(1) }, 'drive');
  expect(reasons(rows)).toEqual(['place', ...Array(7).fill(null)]);
});

test('a pickup that was never placed is compared with nothing', () => {
  const unplaced = (h: RunHistory) =>
    withRun(h, { channels: [{ channel: 1, role: 'vibration', position: 'unplaced', fullScale_m_s2: 500 }] });
  expect(reasons(compareVisits(unplaced(now), unplaced(then), 'drive'))).toEqual(['place']);
});

test('an unknown full scale on either side refuses', () => {
  const blind = withRun(then, { channels: channelsOf(8, null) });
  expect(new Set(reasons(compareVisits(now, blind, 'drive')))).toEqual(new Set(['fullScale']));
  expect(new Set(reasons(compareVisits(blind, now, 'drive')))).toEqual(new Set(['fullScale']));
});

test('a state that was not driven then refuses', () => {
  const rows = compareVisits(
    now,
    withRun(then, { segments: [{ from_s: 0, to_s: 60, state: 'float' }] }),
    'drive',
  );
  expect(new Set(reasons(rows))).toEqual(new Set(['state']));
});

test('another speed band, or no speed at all, refuses', () => {
  const faster = { ...then, speed_km_h: then.speed_km_h.map(() => 130) };
  const unknown = { ...then, speed_km_h: then.speed_km_h.map(() => null) };
  expect(new Set(reasons(compareVisits(now, faster, 'drive')))).toEqual(new Set(['speed']));
  expect(new Set(reasons(compareVisits(now, unknown, 'drive')))).toEqual(new Set(['speed']));
});
