import { describe, expect, it } from 'vitest';
import type { VehicleSpec } from '../../shared/bundle/visit.ts';
import { partOrders } from '../../shared/driveline/orders.ts';
import type { RunningGear } from '../../shared/driveline/runningGear.ts';
import { TyreSizeError, tyreRolling } from '../../shared/driveline/tyre.ts';
import { roadSpeed_km_h, wheelHz } from '../../shared/driveline/wheelSpeed.ts';

const saloon: VehicleSpec = {
  label: 'saloon',
  layout: 'rwd',
  rollingCircumference_m: 1.93,
  wheelBearing: { rollingElements: 13, elementDiameter_mm: 12.7, pitchDiameter_mm: 62, contactAngle_deg: 35 },
  finalDrive: { front: null, rear: { ringTeeth: 41, pinionTeeth: 11 } },
  engine: { cylinders: 4 },
  electricDrive: false,
};

const find = (vehicle: RunningGear, label: string, gearRatio?: number) =>
  partOrders(vehicle, gearRatio).lines.find((l) => l.label === label);

describe('the order lines of a vehicle', () => {
  it('names part and multiple, and places every line against the wheel', () => {
    expect(partOrders(saloon, 1.25).lines.map((l) => l.label)).toEqual([
      'wheel 1×',
      'wheel 2×',
      'wheel 3×',
      'propshaft 1×',
      'propshaft 2×',
      'ring gear mesh 1×',
      'ring gear mesh 2×',
      'engine firing 1×',
      'wheel bearing outer ring 1×',
      'wheel bearing inner ring 1×',
      'wheel bearing element 1×',
      'wheel bearing cage 1×',
    ]);
    expect(find(saloon, 'ring gear mesh 1×')!.orderAtWheel).toBe(41);
    expect(find(saloon, 'propshaft 2×')!.orderAtWheel).toBeCloseTo((2 * 41) / 11, 12);
    expect(find(saloon, 'engine firing 1×', 1.25)!.orderAtWheel).toBeCloseTo((2 * 1.25 * 41) / 11, 12);
    expect(partOrders(saloon, 1.25).unknown).toEqual([]);
  });

  it('keeps a line whose way to the wheel is unknown, without a place at the wheel', () => {
    expect(find(saloon, 'engine firing 1×')).toMatchObject({ shaft: 'engine', order: 2, orderAtWheel: null });
    const noTeeth = { ...saloon, finalDrive: null };
    expect(find(noTeeth, 'propshaft 1×')).toMatchObject({ order: 1, orderAtWheel: null });
  });

  it('lists what is missing, with where it may lie', () => {
    const { unknown, lines } = partOrders({ layout: 'awd' });
    expect(lines.map((l) => l.part)).not.toContain('wheel-bearing');
    expect(unknown.map((u) => u.missing)).toEqual([
      'tooth counts of the front final drive',
      'tooth counts of the rear final drive',
      'number of cylinders',
      ...Array(4).fill('wheel bearing geometry'),
    ]);
    expect(unknown.find((u) => u.kind === 'bearingOuter')!.plausibleAtWheel.length).toBeGreaterThan(5);
  });

  it('tells front and rear apart when both are driven', () => {
    const both = {
      ...saloon,
      layout: 'awd' as const,
      finalDrive: { front: { ringTeeth: 43, pinionTeeth: 12 }, rear: { ringTeeth: 41, pinionTeeth: 11 } },
    };
    expect(find(both, 'front ring gear mesh 1×')!.order).toBe(43);
    expect(find(both, 'rear ring gear mesh 1×')!.sources).toEqual(['differential-rear']);
  });

  it('an electric drive has neither firing nor propshaft, and its reduction is an open question', () => {
    const { lines, unknown } = partOrders({ ...saloon, electricDrive: true }, 1);
    expect(lines.some((l) => l.part === 'engine' || l.part === 'propshaft')).toBe(false);
    expect(unknown.map((u) => u.label)).toEqual(['reduction gear mesh']);
  });

  it('refuses impossible geometry instead of computing with it', () => {
    expect(() => partOrders(saloon, Number.NaN)).toThrow(/gear ratio/);
    expect(() => partOrders({ ...saloon, engine: { cylinders: 0 } })).toThrow(/cylinders/);
  });
});

describe('tyre sizes', () => {
  it('reads what stands on sidewalls', () => {
    for (const same of ['205/55R16', '205/55 R16 91V', ' 205/55ZR16', 'P205/55R16', '205/55r16']) {
      expect(tyreRolling(same).outerDiameter_m).toBeCloseTo(0.6319, 6);
    }
    expect(tyreRolling('31x10.50R15').outerDiameter_m).toBeCloseTo(0.7874, 6);
    expect(tyreRolling('LT245/75R16').rimDiameter_mm).toBeCloseTo(406.4, 6);
  });

  it('refuses what is not one, with the reason', () => {
    for (const bad of ['', 'winter', '205', '205/55', '205/55R99', '999/99R30', 'NaN/55R16', '205/55R161']) {
      expect(() => tyreRolling(bad)).toThrow(TyreSizeError);
    }
  });
});

describe('road speed and wheel rate', () => {
  it('are each other’s inverse', () => {
    expect(wheelHz(72, 2)).toBeCloseTo(10, 12);
    expect(roadSpeed_km_h(wheelHz(93.3, 1.93), 1.93)).toBeCloseTo(93.3, 10);
    expect(() => wheelHz(-1, 2)).toThrow(RangeError);
    expect(() => wheelHz(Number.NaN, 2)).toThrow(RangeError);
    expect(() => wheelHz(50, 0)).toThrow(/rolling circumference/);
    expect(() => roadSpeed_km_h(Number.POSITIVE_INFINITY, 2)).toThrow(RangeError);
  });
});
