import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bearingRates, plausibleWheelBearingRates } from '../../shared/driveline/bearing.ts';
import { gearOrders, meshSidebands } from '../../shared/driveline/gear.ts';
import { universalJointUnevenness } from '../../shared/driveline/joints.ts';
import { reductionOrders, torqueRippleOrders } from '../../shared/driveline/reduction.ts';

const someBearing = fc
  .record({
    rollingElements: fc.integer({ min: 3, max: 40 }),
    fill: fc.double({ min: 0.3, max: 0.99, noNaN: true }),
    pitchDiameter_mm: fc.double({ min: 10, max: 200, noNaN: true }),
    contactAngle_deg: fc.double({ min: 0, max: 45, noNaN: true }),
  })
  .map(({ fill, ...rest }) => ({
    ...rest,
    elementDiameter_mm: fill * rest.pitchDiameter_mm * Math.sin(Math.PI / rest.rollingElements),
  }));

describe('bearing rates', () => {
  it('outer and inner add up to the element count, and the cage carries the elements past the outer ring', () => {
    fc.assert(
      fc.property(someBearing, (bearing) => {
        const inner = bearingRates(bearing, 'inner');
        const outer = bearingRates(bearing, 'outer');
        expect(inner.outer + inner.inner).toBeCloseTo(bearing.rollingElements, 9);
        expect(inner.cage * bearing.rollingElements).toBeCloseTo(inner.outer, 9);
        // With the outer ring turning the cage passes the standing inner ring.
        expect(outer.cage * bearing.rollingElements).toBeCloseTo(outer.inner, 9);
        expect(outer.outer).toBe(inner.outer);
        expect(outer.elementStrike).toBe(2 * inner.elementSpin);
      }),
    );
  });

  it('every wheel bearing that fits lies in the family for its element count', () => {
    const family = plausibleWheelBearingRates();
    fc.assert(
      fc.property(
        fc.integer({ min: 9, max: 24 }),
        fc.double({ min: 0.5, max: 0.98, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        (n, fill, contactAngle_deg) => {
          const elementDiameter_mm = fill * 60 * Math.sin(Math.PI / n);
          const rates = bearingRates({
            rollingElements: n,
            elementDiameter_mm,
            pitchDiameter_mm: 60,
            contactAngle_deg,
          });
          const member = family.find((m) => m.rollingElements === n)!;
          for (const key of ['outer', 'inner', 'elementStrike', 'cage'] as const) {
            expect(rates[key]).toBeGreaterThanOrEqual(member[key][0] - 1e-9);
            expect(rates[key]).toBeLessThanOrEqual(member[key][1] + 1e-9);
          }
        },
      ),
    );
  });

  it('refuses what cannot be a bearing', () => {
    const good = {
      rollingElements: 9,
      elementDiameter_mm: 7.94,
      pitchDiameter_mm: 39.04,
      contactAngle_deg: 0,
    };
    expect(() => bearingRates({ ...good, elementDiameter_mm: 20 })).toThrow(/do not fit/);
    expect(() => bearingRates({ ...good, rollingElements: 2 })).toThrow(RangeError);
    expect(() => bearingRates({ ...good, contactAngle_deg: 90 })).toThrow(/contact angle/);
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 0, -1]) {
      expect(() => bearingRates({ ...good, elementDiameter_mm: bad })).toThrow(RangeError);
      expect(() => bearingRates({ ...good, pitchDiameter_mm: bad })).toThrow(RangeError);
    }
  });
});

describe('gears', () => {
  it('a hunting tooth meets its partner again after the least common multiple of the teeth', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 60 }),
        fc.integer({ min: 5, max: 120 }),
        (pinionTeeth, ringTeeth) => {
          let meetings = ringTeeth;
          while (meetings % pinionTeeth !== 0) meetings += ringTeeth;
          const orders = gearOrders({ pinionTeeth, ringTeeth });
          expect(orders.meshAtRing / orders.huntingToothAtRing).toBeCloseTo(meetings, 6);
          expect(orders.huntingToothAtPinion * orders.ratio).toBeCloseTo(orders.huntingToothAtRing, 9);
        },
      ),
    );
  });

  it('sidebands lie a turn of the modulating shaft away from the mesh', () => {
    const sidebands = meshSidebands({ pinionTeeth: 11, ringTeeth: 41 }, 1, 1);
    const places = sidebands.map((s) => s.orderAtRing).sort((a, b) => a - b);
    expect(places).toEqual([41 - 41 / 11, 40, 42, 41 + 41 / 11]);
  });

  it('refuses tooth counts that are not whole', () => {
    expect(() => gearOrders({ pinionTeeth: 11.5, ringTeeth: 41 })).toThrow(/pinion teeth/);
    expect(() => gearOrders({ pinionTeeth: 11, ringTeeth: Number.NaN })).toThrow(/ring gear teeth/);
  });
});

describe('electric-drive reduction', () => {
  it('two stages: each mesh is the teeth of a gear times the turns of its shaft', () => {
    const { ratio, stages } = reductionOrders([
      { drivingTeeth: 25, drivenTeeth: 61 },
      { drivingTeeth: 21, drivenTeeth: 75 },
    ]);
    expect(ratio).toBeCloseTo((61 / 25) * (75 / 21), 12);
    expect(stages[0]!.meshAtMotor).toBeCloseTo(25, 12);
    expect(stages[1]!.meshAtOutput).toBeCloseTo(75, 12);
    expect(stages[1]!.meshAtMotor).toBeCloseTo(21 * (25 / 61), 12);
    expect(stages[0]!.drivenShaftAtOutput).toBeCloseTo(75 / 21, 12);
    expect(stages[1]!.drivenShaftAtOutput).toBeCloseTo(1, 12);
    expect(() => reductionOrders([])).toThrow(/at least one/);
  });

  it('torque ripple comes six times a turn for each pole pair', () => {
    expect(torqueRippleOrders(4, 2)).toEqual([24, 48]);
  });
});

describe('universal joint', () => {
  it('runs evenly when straight and about β² unevenly at small angles', () => {
    expect(universalJointUnevenness(0)).toBe(0);
    expect(universalJointUnevenness(0.05)).toBeCloseTo(0.0025, 5);
    expect(() => universalJointUnevenness(Number.NaN)).toThrow(RangeError);
  });
});
