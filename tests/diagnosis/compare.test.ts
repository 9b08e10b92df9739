import { expect, test } from 'vitest';
import { type ComparableMeasure, levelOf, overlap, valueAtLevel } from '../../shared/diagnosis/comparable.ts';
import {
  compareVisits,
  type Placement,
  type Refusal,
  type VisitToCompare,
} from '../../shared/diagnosis/compare.ts';
import { english } from '../../shared/messages/tell.ts';

const AT = { earlier: '2025-05-12T08:40:00Z', later: '2026-05-12T08:40:00Z' };

const place = (channel: number, position: string, change: Partial<Placement> = {}): Placement => ({
  runId: 1,
  channel,
  position,
  pickup: 'A',
  fullScale_m_s2: 200,
  ...change,
});

const mesh: ComparableMeasure = {
  visitId: 1,
  startedAt: AT.earlier,
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
  repeats: 4,
};

const visit = (
  startedAt: string,
  placements: Placement[],
  measures: Partial<ComparableMeasure>[],
): VisitToCompare => ({
  startedAt,
  placements,
  measures: measures.map((m) => ({ ...mesh, startedAt, ...m })),
});

const earlier = visit(AT.earlier, [place(1, mesh.position)], [{}]);
const compared = (placements: Placement[], measures: Partial<ComparableMeasure>[], before = earlier) =>
  compareVisits(before, visit(AT.later, placements, measures));

const told = (refused: readonly Refusal[]) => refused.map((r) => ({ ...r, sentence: english(r.sentence) }));

test('like with like: the difference in dB with its uncertainty, and a sentence', () => {
  const { differences, refused, summary, ground } = compared([place(1, mesh.position)], [{ value: 3 }]);
  expect(refused).toEqual([]);
  expect(differences).toHaveLength(1);
  const [difference] = differences;
  // 20 lg 3; two standard uncertainties of 2 dB for clamping and 0.43 or 0.14 dB for the mean of four repeats.
  expect(difference!.difference_db).toBeCloseTo(9.542, 3);
  const [then, now] = [(8.6859 * 0.1) / 1 / 2, (8.6859 * 0.1) / 3 / 2];
  expect(difference!.uncertainty_db).toBeCloseTo(2 * Math.hypot(2, 2, then, now), 3);
  expect(difference!.change).toBe('louder');
  expect(english(difference!.sentence)).toBe(
    'Ring gear mesh 1× at the rear differential on the left under power at 70 to 80 km/h: louder by 9.5 dB since 12 May 2025 (±5.7 dB).',
  );
  expect(english(summary)).toContain(english(difference!.sentence));
  expect(ground).toEqual([
    {
      position: mesh.position,
      state: 'drive',
      speedBand: mesh.speedBand,
      earlier: { runId: 1, channel: 1 },
      later: { runId: 1, channel: 1 },
    },
  ]);
});

test('what clamping the pickup anew can explain is no change', () => {
  const [difference] = compared([place(1, mesh.position)], [{ value: 1.5 }]).differences;
  expect(difference!.change).toBe('withinUncertainty');
  expect(english(difference!.sentence)).toContain('no change shown since 12 May 2025 (+3.5 dB');
  const quieter = compared([place(1, mesh.position)], [{ value: 0.2 }]).differences[0]!;
  expect(quieter.change).toBe('quieter');
});

test('a placement moved by one position is refused, and it is said where the pickup sat', () => {
  const { differences, refused } = compared(
    [place(1, 'differential-rear-right')],
    [{ position: 'differential-rear-right' }],
  );
  expect(differences).toEqual([]);
  expect(refused.map((r) => [r.reason, r.positions])).toEqual([
    ['placement', ['differential-rear-right']],
    ['placement', ['differential-rear-left']],
  ]);
  expect(english(refused[1]!.sentence)).toBe(
    'No pickup sat at the rear differential on the left at the later visit; channel 1 sat at the rear differential on the right.',
  );
});

test('another pickup without sensitivity is refused, one with a known sensitivity is compared', () => {
  const { differences, refused } = compared(
    [place(1, mesh.position, { pickup: 'B', fullScale_m_s2: null })],
    [{ pickup: 'B', fullScale_m_s2: null, unit: 'FS' }],
  );
  expect(differences).toEqual([]);
  expect(told(refused)).toEqual([
    {
      positions: [mesh.position],
      reason: 'sensitivity',
      sentence:
        'At the rear differential on the left the sensitivity of pickup B (not A) is not known at the later visit.',
    },
  ]);

  const known = compared(
    [place(1, mesh.position, { pickup: 'B', fullScale_m_s2: 500 })],
    [{ pickup: 'B', fullScale_m_s2: 500 }],
  );
  const same = compared([place(1, mesh.position)], [{}]);
  expect(known.refused).toEqual([]);
  expect(known.differences[0]!.uncertainty_db).toBeGreaterThan(same.differences[0]!.uncertainty_db);
});

test('another speed band, or another state, is refused with its reason', () => {
  const speed = compared([place(1, mesh.position)], [{ speedBand: { low_km_h: 90, high_km_h: 100 } }]);
  expect(speed.differences).toEqual([]);
  expect(told(speed.refused)).toEqual([
    {
      positions: [mesh.position],
      reason: 'speedBand',
      sentence: 'Under power, 90 to 100 km/h was driven only at the later visit.',
    },
    {
      positions: [mesh.position],
      reason: 'speedBand',
      sentence: 'Under power, 70 to 80 km/h was driven only at the earlier visit.',
    },
  ]);
  expect(english(speed.summary)).toBe('Nothing of these two visits can be compared: the speeds differ.');

  const state = compared([place(1, mesh.position)], [{ state: 'coast' }]);
  expect(state.differences).toEqual([]);
  expect(state.refused.map((r) => r.reason)).toEqual(['state', 'state']);
});

test('other methods, missing figures, unnamed places and channels without measures are refused, each by its name', () => {
  const method = compared([place(1, mesh.position)], [{ method: 'comparable measures 2' }]);
  expect(method.refused.map((r) => r.reason)).toEqual(['method']);
  const missing = compared([place(1, mesh.position)], [{ label: 'ring gear mesh 2×' }]);
  expect(missing.refused.map((r) => r.reason)).toEqual(['notMeasured', 'notMeasured']);
  const faulty = compared([place(1, mesh.position)], []);
  expect(faulty.refused.map((r) => r.reason)).toEqual(['notMeasured']);
  const unplaced = compareVisits(
    visit(AT.earlier, [place(1, 'not placed 1')], [{ position: 'not placed 1' }]),
    visit(AT.later, [place(1, 'not placed 1')], [{ position: 'not placed 1' }]),
  );
  expect(unplaced.refused.map((r) => r.reason)).toEqual(['placement']);
});

test('what holds for several places is said once', () => {
  const both = [place(1, 'hub-rear-left'), place(2, 'hub-rear-right')];
  const at = (state: 'drive' | 'coast') =>
    both.map(({ channel, position }) => ({ channel, position, state }));
  const { refused } = compareVisits(
    visit(AT.earlier, both, at('drive')),
    visit(AT.later, both, [...at('drive'), ...at('coast')]),
  );
  expect(told(refused)).toEqual([
    {
      positions: ['hub-rear-left', 'hub-rear-right'],
      reason: 'state',
      sentence: 'On engine braking nothing was measured at the earlier visit.',
    },
  ]);
});

test('of several runs the one with most repeats counts', () => {
  const before = visit(AT.earlier, [place(1, mesh.position)], [{}, { runId: 2, value: 2, repeats: 9 }]);
  const { differences, ground } = compared([place(1, mesh.position)], [{ value: 2 }], before);
  expect(differences.map((d) => d.difference_db)).toEqual([0]);
  expect(ground[0]!.earlier.runId).toBe(2);
});

test('levels are dB re 1 µm/s² and come back; bands overlap by the narrower one', () => {
  expect(levelOf({ unit: 'm/s²', value: 1 })).toBeCloseTo(120, 9);
  expect(valueAtLevel('m/s²', 120)).toBeCloseTo(1, 12);
  expect(levelOf({ unit: 'dB', value: 7 })).toBe(7);
  const band = (low_km_h: number, high_km_h: number) => ({ low_km_h, high_km_h });
  expect(overlap(band(70, 80), band(70, 90))).toBe(1);
  expect(overlap(band(70, 80), band(75, 95))).toBe(0.5);
  expect(overlap(band(70, 80), band(80, 90))).toBe(0);
});
