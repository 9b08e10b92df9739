import { describe, expect, it } from 'vitest';
import { tyreRolling } from '../../shared/driveline/tyre.ts';
import { toMinor } from '../../shared/units/money.ts';
import { inside, type Quantity, shown } from '../../shared/units/units.ts';
import { checkVin, vinCheckDigit } from '../../shared/visit-work/vin.ts';

describe('VIN check digit', () => {
  /** Whole VINs whose check digit and arithmetic are published. */
  const PUBLISHED = [
    // 49 CFR 565.15, Table V: products add up to 411, 411 / 11 leaves 4 (read in a reprint of the regulation).
    ['1G4AH59H45G118341', '4'],
    // NHTSA's outline for new manufacturers: total 314, 28 6/11 (read).
    ['1J9RP1A36A1644345', '6'],
    // A widely reprinted worked example: sum 351, remainder 10, which is written X (read in three places).
    ['1M8GDM9AXKP042788', 'X'],
    // A vehicle of a Chinese maker, worked out in an article on the mathematics: 186 = 10 (mod 11) (read).
    ['LJCPCBLCX11000237', 'X'],
    // Seventeen ones: every product is its weight, and they add up to 89 = 1 (mod 11) (computed).
    ['11111111111111111', '1'],
  ] as const;

  it.each(PUBLISHED)('%s has %s at position 9', (vin, digit) => {
    expect(vinCheckDigit(vin)).toBe(digit);
    expect(checkVin(vin)).toMatchObject({ ok: true, vin, checkDigit: 'fits', warning: null });
  });

  it('finds every single wrong character of a published VIN that changes its value', () => {
    const vin = PUBLISHED[0][0];
    let found = 0;
    for (let i = 0; i < vin.length; i++) {
      if (i === 8) continue;
      const other = vin[i] === '7' ? '8' : '7';
      const check = checkVin(vin.slice(0, i) + other + vin.slice(i + 1));
      // G and P count seven as well: the arithmetic cannot tell them from the digit.
      if (check.ok && check.checkDigit === 'differs') found++;
    }
    expect(found).toBe(16 - 2);
  });
});

describe('tyre circumference', () => {
  // A car-technology school's worked example: 2 × 0.55 × 205 mm + 16 × 25.4 mm = 631.9 mm (read).
  it('205/55R16 stands 631.9 mm high', () => {
    expect(tyreRolling('205/55R16').outerDiameter_m).toBeCloseTo(0.6319, 6);
  });
  // Printed roll-outs at π × diameter, to a tenth of a millimetre: an owners' list of 1996 and a forum's sum (read).
  it.each([
    ['205/55R16', 1985.1],
    ['215/50R16', 1952.1],
    ['225/45R16', 1912.9],
    ['255/85R16', 2638.5],
  ])('%s rolls out %s mm when free', (size, mm) => {
    expect(tyreRolling(size).freeCircumference_m * 1000).toBeCloseTo(mm, 0);
  });
});

describe('units', () => {
  /** Imperial, metric and the digits that the table gives. */
  const PUBLISHED: [Quantity, number, number, number][] = [
    // US Navy facilities handbook, Appendix B, SI conversion factors (read).
    ['speed', 1, 1.609344, 1e-9],
    ['tread', 1, 25.4, 1e-12],
    ['volume', 4, 3.78541, 5e-6],
    // The same table: 1 lbf in = 0.112985 Nm, twelve of them in a pound-foot.
    ['torque', 1, 12 * 0.112985, 5e-6],
    // A university's table of conversion factors: 1 lbf/in² = 6895 Pa, 1 ft lbf = 1.35582 J (read).
    ['pressure', 1, 6.895, 5e-4],
    ['torque', 1, 1.35582, 5e-6],
    ['distance', 1, 1.6093, 5e-5],
  ];

  it.each(PUBLISHED)('%s: %d imperial are %d', (quantity, imperial, metric, tolerance) => {
    expect(Math.abs(inside(imperial, quantity, 'imperial') - metric)).toBeLessThan(tolerance);
    expect(shown(inside(imperial, quantity, 'imperial'), quantity, 'imperial')).toBeCloseTo(imperial, 12);
    expect(inside(metric, quantity, 'metric')).toBe(metric);
  });
});

describe('currencies', () => {
  // ISO 4217, minor units: none for the yen, two for the euro, three for the Kuwaiti dinar (from memory).
  it.each([
    ['JPY', 1234.4, 1234],
    ['EUR', 12.345, 1235],
    ['KWD', 1.0005, 1001],
    ['EUR', 1.005, 101],
  ])('%s %d are %d minor units', (currency, amount, minor) => {
    expect(toMinor(amount, currency)).toBe(minor);
  });
});
