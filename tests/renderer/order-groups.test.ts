import { expect, test } from 'vitest';
import { groupLines, loudestChannel } from '../../renderer/levels/order-groups.ts';
import { partOrders } from '../../shared/driveline/orders.ts';

const line = (part: string, label: string, rms: (number | null)[] = []) => ({ part, label, rms });

test('multiples of one part share its name; words over one bar stay with the multiple', () => {
  expect(
    groupLines([
      line('wheel', 'wheel 1×'),
      line('wheel', 'wheel 2×'),
      line('engine', 'engine firing 1×'),
      line('propshaft', 'propshaft 1×'),
    ]),
  ).toEqual([
    { heading: 'wheel', rest: ['1×', '2×'] },
    { heading: '', rest: ['engine firing 1×'] },
    { heading: '', rest: ['propshaft 1×'] },
  ]);
});

test('a word that is too long for the bars below it stays with each multiple', () => {
  const rest = ['Gelenkwelle 1×', 'Gelenkwelle 2×'];
  expect(
    groupLines([
      ...rest.map((label) => line('propshaft', label)),
      line('wheel', 'Rad 1×'),
      line('wheel', 'Rad 2×'),
    ]),
  ).toEqual([
    { heading: '', rest },
    { heading: 'Rad', rest: ['1×', '2×'] },
  ]);
});

test('a bearing is named once over its rings', () => {
  const lines = ['outer ring', 'inner ring', 'cage'].map((k) =>
    line('wheel-bearing', `wheel bearing ${k} 1×`),
  );
  expect(groupLines(lines)).toEqual([
    { heading: 'wheel bearing', rest: ['outer ring 1×', 'inner ring 1×', 'cage 1×'] },
  ]);
});

test('heading and rest together give back every label of a full driveline', () => {
  const { lines } = partOrders({
    layout: 'awd',
    finalDrive: { front: { ringTeeth: 41, pinionTeeth: 11 }, rear: { ringTeeth: 41, pinionTeeth: 11 } },
    engine: { cylinders: 6 },
    wheelBearing: { rollingElements: 12, elementDiameter_mm: 10, pitchDiameter_mm: 60, contactAngle_deg: 30 },
  });
  const labels = lines.map(({ part, label }) => line(part, label));
  const again = groupLines(labels).flatMap((g) => g.rest.map((rest) => `${g.heading} ${rest}`.trim()));
  expect(again).toEqual(lines.map((l) => l.label));
});

test('the loudest channel is found by acceleration, not by ratio of full scale', () => {
  const fullScale = [500, 50];
  expect(loudestChannel(line('engine', 'engine firing 1×', [0.01, 0.05]), (r, c) => r * fullScale[c]!)).toBe(
    0,
  );
  expect(loudestChannel(line('engine', 'engine firing 1×', [null, null]), (r) => r)).toBe(-1);
});
