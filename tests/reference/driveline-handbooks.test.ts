import { describe, expect, it } from 'vitest';
import { bearingRates } from '../../shared/driveline/bearing.ts';
import { firingOrder } from '../../shared/driveline/engine.ts';
import { gearOrders } from '../../shared/driveline/gear.ts';
import { tyreRolling } from '../../shared/driveline/tyre.ts';

describe('bearing rates against the multiples published with the Case Western Reserve bearing data', () => {
  const published = [
    {
      // Drive-end bearing: bearing information table of the CWRU Bearing Data Center, whose "rolling element" is the
      // strike rate; 9 elements of 0.3126 in on a 1.537 in pitch circle at 0°.
      bearing: {
        rollingElements: 9,
        elementDiameter_mm: 0.3126 * 25.4,
        pitchDiameter_mm: 1.537 * 25.4,
        contactAngle_deg: 0,
      },
      rates: { outer: 3.5848, inner: 5.4152, elementStrike: 4.7135, cage: 0.39828 },
    },
    {
      // Fan-end bearing of the same table.
      bearing: {
        rollingElements: 8,
        elementDiameter_mm: 0.2656 * 25.4,
        pitchDiameter_mm: 1.122 * 25.4,
        contactAngle_deg: 0,
      },
      rates: { outer: 3.053, inner: 4.9469, elementStrike: 3.9874, cage: 0.3817 },
    },
    {
      // Rig bearing of the MFPT Society's bearing fault data: 8 rollers of 0.235 in on 1.245 in (multiples as
      // published beside the data).
      bearing: {
        rollingElements: 8,
        elementDiameter_mm: 0.235 * 25.4,
        pitchDiameter_mm: 1.245 * 25.4,
        contactAngle_deg: 0,
      },
      rates: { outer: 3.24498, inner: 4.75502, elementStrike: 2 * 2.55456, cage: 0.40562 },
    },
  ];
  it.each(published)('$bearing.rollingElements elements, outer $rates.outer', ({ bearing, rates }) => {
    const found = bearingRates(bearing);
    for (const key of ['outer', 'inner', 'elementStrike', 'cage'] as const) {
      // The published figures are rounded to four or five places.
      expect(Math.abs(found[key] - rates[key])).toBeLessThan(4e-4);
    }
  });
});

describe('gears against worked examples (mesh = teeth × rate; hunting tooth = mesh × gcd / (z1 z2))', () => {
  it.each([
    // Computed from the formula; the 23/67 and 20/60 pairs are common handbook pairs with and without a hunting tooth.
    { pinion: 11, ring: 41, rpm: 3000, mesh: 550, hunting: 1.2195 },
    { pinion: 23, ring: 67, rpm: 1800, mesh: 690, hunting: 0.4478 },
    { pinion: 20, ring: 60, rpm: 1800, mesh: 600, hunting: 10 },
  ])('$pinion/$ring at $rpm rpm on the pinion', ({ pinion, ring, rpm, mesh, hunting }) => {
    const pinionHz = rpm / 60;
    const orders = gearOrders({ pinionTeeth: pinion, ringTeeth: ring });
    expect(orders.meshAtPinion * pinionHz).toBeCloseTo(mesh, 9);
    expect(orders.huntingToothAtPinion * pinionHz).toBeCloseTo(hunting, 4);
    expect((orders.meshAtRing * pinionHz) / orders.ratio).toBeCloseTo(mesh, 9);
    expect((orders.huntingToothAtRing * pinionHz) / orders.ratio).toBeCloseTo(hunting, 4);
  });
});

describe('tyre 205/55R16', () => {
  it('has the outer diameter that follows from ISO 4000-1 designation: 16 in + 2 × 55 % of 205 mm', () => {
    const tyre = tyreRolling('205/55R16');
    expect(tyre.outerDiameter_m).toBeCloseTo(0.6319, 6);
    expect(tyre.freeCircumference_m).toBeCloseTo(1.985, 3);
    // ETRTO factor 3.05 (from memory).
    expect(tyre.rollingCircumference_m).toBeCloseTo(1.927, 3);
  });
});

describe('engine firing', () => {
  it.each([
    // Four-stroke: each cylinder fires once in two turns (any engine handbook).
    { cylinders: 4, order: 2 },
    { cylinders: 6, order: 3 },
    { cylinders: 8, order: 4 },
    { cylinders: 3, order: 1.5 },
  ])('$cylinders cylinders fire $order times a turn', ({ cylinders, order }) => {
    expect(firingOrder(cylinders)).toBe(order);
  });
});
