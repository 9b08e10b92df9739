import { expect, test } from 'vitest';
import { formatDuration, formatSigned } from '../../renderer/format.ts';
import {
  median,
  medianLevels,
  medianLines,
  secondsIn,
  stateAt,
  stretchesOf,
} from '../../renderer/screens/visit/run-stretches.ts';
import { historyOf, VISITS } from './fixtures.ts';

const run = VISITS[1]!.runs[0]!;
const history = historyOf(run);

test('a run is looked at as a whole or by its driving states', () => {
  expect(stretchesOf(run).map((s) => [s.from_s, s.to_s, s.state])).toEqual([
    [0, 60, null],
    [0, 24, 'drive'],
    [24, 40, 'coast'],
    [40, 60, 'float'],
  ]);
});

test('a second belongs to the stretch that holds its middle', () => {
  expect(secondsIn(history, { from_s: 24, to_s: 40, state: 'coast' })).toEqual(
    Array.from({ length: 16 }, (_, i) => 24 + i),
  );
  expect(secondsIn(history, { from_s: 10.6, to_s: 12.6, state: null })).toEqual([11, 12]);
  expect(stateAt(run.segments, 24)).toBe('coast');
  expect(stateAt([], 24)).toBeNull();
});

test('a single knock does not move a median', () => {
  expect(median([1, 2, 3, 100])).toBe(2.5);
  expect(median([3, 1, 2])).toBe(2);
  expect(median([])).toBeNaN();
  const knocked = { ...history, rms: history.rms.map((levels) => levels.with(30, 1)) };
  const all = history.second.map((_, i) => i);
  medianLevels(knocked, all).forEach((level, c) => {
    expect(level).toBeCloseTo(medianLevels(history, all)[c]!, 2);
  });
});

test('a line that was never known is unknown, not silent', () => {
  const never = {
    ...history,
    orders: history.orders.map((line, l) => (l === 7 ? line.map((c) => c.map(() => 0)) : line)),
  };
  const lines = medianLines(never, [1, 2, 3]);
  expect(lines[7]!.rms).toEqual(Array(8).fill(null));
  expect(lines[5]!.rms.every((level) => level !== null && level > 0)).toBe(true);
});

test('times and gains are written as they are read', () => {
  expect(formatDuration(0)).toBe('0:00');
  expect(formatDuration(75.9)).toBe('1:15');
  expect(formatDuration(3725)).toBe('1:02:05');
  expect([formatSigned(3), formatSigned(-3), formatSigned(0)]).toEqual(['+3', '−3', '0']);
});
