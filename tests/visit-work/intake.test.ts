import { describe, expect, it } from 'vitest';
import type { VehicleSpec } from '../../shared/bundle/visit.ts';
import { messageIn } from '../../shared/messages/as-text.ts';
import { english } from '../../shared/messages/tell.ts';
import { emptyIntake, type Intake, IntakeSchema } from '../../shared/visit-work/intake.ts';
import { missingOf } from '../../shared/visit-work/missing.ts';
import { tyreAge_years } from '../../shared/visit-work/tyre-age.ts';
import { UNNAMED_SPEC } from '../../shared/visit-work/unnamed.ts';
import { intakeOf, vehicleAfterIntake } from '../../shared/visit-work/vehicle-of-intake.ts';

const issues = (intake: unknown) =>
  IntakeSchema.safeParse(intake).error?.issues.map(
    (i) => `${i.path.join('.')}: ${english(messageIn(i.message))}`,
  ) ?? [];

const changed = (change: (intake: Intake) => void): Intake => {
  const intake = structuredClone(emptyIntake());
  change(intake);
  return intake;
};

describe('the intake form', () => {
  it('takes nothing at all: every answer may stay open', () => {
    expect(issues(emptyIntake())).toEqual([]);
  });

  it.each<[string, (i: Intake) => void, RegExp]>([
    ['odometer_km', (i) => (i.odometer_km = -1), /Odometer: from 0 to 3,000,000 km/],
    ['odometer_km', (i) => (i.odometer_km = Number.NaN), /Odometer: a number is needed/],
    [
      'heard.speedTo_km_h',
      (i) => Object.assign(i.heard, { speedFrom_km_h: 90, speedTo_km_h: 60 }),
      /not be below/,
    ],
    ['vin', (i) => (i.vin = '1M8GDM9AXKPO42788'), /letter O/],
    ['tyres.size', (i) => (i.tyres.size = '16 inch'), /not a tyre size/],
    [
      'tyres.wheels.rear-left.madeIn',
      (i) => (i.tyres.wheels['rear-left'].madeIn = '5419'),
      /week 23 of 2019/,
    ],
    [
      'tyres.wheels.front-left.pressure_kPa',
      (i) => (i.tyres.wheels['front-left'].pressure_kPa = 2.3),
      /20 to 1,000 kPa/,
    ],
    ['driveline.cylinders', (i) => (i.driveline.cylinders = 4.5), /whole number/],
    [
      'driveline.finalDrive.rear.pinionTeeth',
      (i) => (i.driveline.finalDrive.rear.ringTeeth = 41),
      /both tooth counts/,
    ],
    [
      'driveline.finalDrive.rear.ringTeeth',
      (i) => Object.assign(i.driveline.finalDrive.rear, { ringTeeth: 11, pinionTeeth: 41 }),
      /more teeth than the pinion/,
    ],
    [
      'driveline.finalDrive.rear.ratio',
      (i) => Object.assign(i.driveline.finalDrive.rear, { ringTeeth: 41, pinionTeeth: 11, ratio: 4.1 }),
      /does not fit the tooth counts/,
    ],
    [
      'driveline.wheelBearing.rollingElements',
      (i) =>
        (i.driveline.wheelBearing = {
          rollingElements: 20,
          elementDiameter_mm: 12,
          pitchDiameter_mm: 63,
          contactAngle_deg: 35,
        }),
      /do not fit on the pitch circle/,
    ],
  ])('refuses nonsense at %s', (field, spoil, message) => {
    const found = issues(changed(spoil));
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(new RegExp(`^${field.replaceAll('.', '\\.')}: `));
    expect(found[0]).toMatch(message);
  });
});

describe('the vehicle after the intake', () => {
  const spec: VehicleSpec = {
    label: 'grey estate',
    layout: 'rwd',
    finalDrive: { front: null, rear: { ringTeeth: 41, pinionTeeth: 11, maker: 'unknown' } },
    // Neither is one that the form would accept; both came with a bundle.
    wheelBearing: { rollingElements: 30, elementDiameter_mm: 12, pitchDiameter_mm: 63, contactAngle_deg: 0 },
    rollingCircumference_m: 1.99,
    colour: 'grey',
  };
  const vehicle = { plate: 'RP 1', vin: 'OLD-CHASSIS-7', spec };
  const before = intakeOf(vehicle, { complaint: 'hums', odometer_km: null, saved: null });

  it('keeps what the form cannot show, and unknown keys', () => {
    expect(before.vin).toBeNull();
    expect(before.driveline.wheelBearing).toBeNull();
    expect(vehicleAfterIntake(vehicle, before, before)).toEqual(vehicle);
    const after = vehicleAfterIntake(vehicle, before, { ...before, label: 'grey estate of the florist' });
    expect(after.spec).toEqual({ ...spec, label: 'grey estate of the florist' });
    expect(after.vin).toBe('OLD-CHASSIS-7');
  });

  it('takes the driven axle’s tyre for the rolling circumference', () => {
    const tyres = { ...before.tyres, size: '205/55R16', rearSize: '255/35R19' };
    const after = vehicleAfterIntake(vehicle, before, { ...before, tyres });
    // 3.05 × (19 × 25.4 mm + 2 × 0.35 × 255 mm) (computed)
    expect(after.spec.rollingCircumference_m).toBeCloseTo((3.05 * (482.6 + 178.5)) / 1000, 9);
    expect(after.spec.tyreSize).toEqual({ front: '205/55R16', rear: '255/35R19' });
    const again = intakeOf(after, { complaint: '', odometer_km: null, saved: null });
    expect(again.tyres).toMatchObject({ size: '205/55R16', rearSize: '255/35R19' });
  });

  it('says that a layout only stands in until it is known', () => {
    const unnamed = { plate: '', vin: null, spec: UNNAMED_SPEC };
    const blank = intakeOf(unnamed, { complaint: '', odometer_km: null, saved: null });
    expect(blank).toMatchObject({ label: '', driveline: { layout: null } });
    const known = { ...blank, driveline: { ...blank.driveline, layout: 'awd' as const } };
    const after = vehicleAfterIntake(unnamed, blank, known);
    expect(after.spec).toMatchObject({ layout: 'awd', layoutAssumed: false });
  });
});

describe('what is missing', () => {
  it('says for each open answer what it would add, the most useful first', () => {
    const missing = missingOf(emptyIntake());
    expect(missing[0]).toMatchObject({ field: 'driveline.layout' });
    expect(missing.every((m) => /\.$/.test(english(m.adds)) && english(m.name).length > 0)).toBe(true);
    expect(new Set(missing.map((m) => m.field)).size).toBe(missing.length);
  });

  it('points to fields that the form has', () => {
    for (const { field } of missingOf(emptyIntake())) {
      const value = field.split('.').reduce<unknown>((at, key) => {
        expect(at).toHaveProperty(key);
        return (at as Record<string, unknown>)[key];
      }, emptyIntake());
      expect(value === null || value === '' || (Array.isArray(value) && value.length === 0)).toBe(true);
    }
  });

  it('does not ask for what the vehicle cannot have', () => {
    const electric = changed((i) => Object.assign(i.driveline, { electricDrive: true, layout: 'fwd' }));
    const fields = missingOf(electric).map((m) => m.field);
    expect(fields).not.toContain('driveline.cylinders');
    expect(fields).not.toContain('driveline.gearRatios');
    expect(fields).not.toContain('driveline.finalDrive.rear.ringTeeth');
    expect(fields).toContain('driveline.finalDrive.front.ringTeeth');
  });

  it('is silent once everything is known', () => {
    const all = changed((i) => {
      i.ownerWords = 'hums';
      i.label = 'car';
      i.plate = 'RP 1';
      i.vin = '1M8GDM9AXKP042788';
      i.odometer_km = 1;
      Object.assign(i.heard, {
        speedFrom_km_h: 60,
        speedTo_km_h: 80,
        bend: 'left',
        torque: 'coast',
        laden: 'louder',
        warmth: 'warm',
        surface: 'changes',
        standing: false,
      });
      i.tyres.size = '205/55R16';
      for (const tyre of Object.values(i.tyres.wheels)) {
        Object.assign(tyre, { pressure_kPa: 230, tread_mm: 6, madeIn: '2319' });
      }
      Object.assign(i.driveline, {
        layout: 'rwd',
        electricDrive: false,
        cylinders: 4,
        gearRatios: [{ gear: '5', ratio: 0.84 }],
        wheelBearing: {
          rollingElements: 13,
          elementDiameter_mm: 12,
          pitchDiameter_mm: 63,
          contactAngle_deg: 35,
        },
      });
      Object.assign(i.driveline.finalDrive.rear, { ringTeeth: 41, pinionTeeth: 11 });
    });
    expect(issues(all)).toEqual([]);
    expect(missingOf(all)).toEqual([]);
  });
});

describe('age of a tyre', () => {
  it('counts from the week that its last four digits name', () => {
    // Week 23 of 2019 begins on about 4 June.
    expect(tyreAge_years('2319', new Date('2024-06-04T00:00:00Z'))).toBeCloseTo(5, 1);
    expect(tyreAge_years('0126', new Date('2025-01-01T00:00:00Z'))).toBeNull();
    expect(tyreAge_years('0019', new Date('2025-01-01T00:00:00Z'))).toBeNull();
  });
});
