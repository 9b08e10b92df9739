import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatTick } from '../../renderer/format.ts';
import { formatLevel, levelScale } from '../../renderer/levels/scale.ts';
import { UNITS } from '../../shared/contract/live.ts';
import { channelsOf } from './fixtures.ts';

const calibrated = channelsOf(4, 500);
const mixed = [...channelsOf(3, 500), ...channelsOf(1, null)];

test('1 g is 9.80665 m/s² (ISO 80000-3)', () => {
  const ratio = 9.80665 / 500;
  expect(levelScale(calibrated, true, 'm/s²').value(ratio, 500)).toBeCloseTo(9.80665, 12);
  expect(levelScale(calibrated, true, 'g').value(ratio, 500)).toBeCloseTo(1, 12);
});

test('10 m/s² is 140 dB re 1e-6 m/s² (reference: ISO 1683)', () => {
  const scale = levelScale(calibrated, true, 'dB');
  expect(scale.label).toBe('dB re 1e-6 m/s²');
  expect(scale.value(10 / 500, 500)).toBeCloseTo(140, 10);
});

test.each(UNITS)('one unknown full scale makes %s impossible: all in dB re full scale', (unit) => {
  const scale = levelScale(mixed, false, unit);
  expect(scale.label).toBe('dB re full scale');
  expect(scale.value(1, 500)).toBeCloseTo(0, 12);
  expect(scale.value(Math.SQRT1_2, null)).toBeCloseTo(-3.0103, 4);
});

test('equal accelerations stand equally high whatever their full scales', () => {
  const channels = [...channelsOf(1, 500), ...channelsOf(1, 50)];
  for (const unit of UNITS) {
    const scale = levelScale(channels, true, unit);
    expect(scale.place(5 / 500, 500)).toBeCloseTo(scale.place(5 / 50, 50), 12);
  }
});

test.each(UNITS)('ticks of the %s scale stand where their value stands', (unit) => {
  const scale = levelScale(calibrated, true, unit);
  expect(scale.ticks.length).toBeGreaterThanOrEqual(4);
  for (const tick of scale.ticks) {
    const ratio =
      unit === 'dB'
        ? (10 ** (tick.value / 20) * 1e-6) / 500
        : (tick.value * (unit === 'g' ? 9.80665 : 1)) / 500;
    expect(scale.place(ratio, 500)).toBeCloseTo(tick.place, 6);
  }
});

test('places rise with the level and stay on the meter', () => {
  const scale = levelScale(calibrated, true, 'm/s²');
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 4, noNaN: true }),
      fc.double({ min: 0, max: 4, noNaN: true }),
      (a, b) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b)].map((x) => scale.place(x, 500));
        expect(low).toBeGreaterThanOrEqual(0);
        expect(high).toBeLessThanOrEqual(1);
        expect(low).toBeLessThanOrEqual(high!);
      },
    ),
  );
  expect(scale.place(0, 500)).toBe(0);
  expect(scale.place(1, 500)).toBe(1);
});

test('numbers keep three figures that can be read', () => {
  expect(formatLevel(0.01234, false, 'en-GB')).toBe('0.012');
  expect(formatLevel(1.2345, false, 'en-GB')).toBe('1.23');
  expect(formatLevel(12.345, false, 'en-GB')).toBe('12.3');
  expect(formatLevel(234.5, false, 'en-GB')).toBe('235');
  expect(formatLevel(-12.34, true, 'en-GB')).toBe('−12.3');
  expect(formatLevel(Number.NEGATIVE_INFINITY, true, 'en-GB')).toBe('–');
});

test('German numbers have a comma (DIN 1333)', () => {
  expect(formatLevel(0.01234, false, 'de-DE')).toBe('0,012');
  expect(formatLevel(-12.34, true, 'de-DE')).toBe('−12,3');
  expect(formatTick(0.001, 'de-DE')).toBe('0,001');
  expect(formatTick(-20, 'de-DE')).toBe('−20');
});
