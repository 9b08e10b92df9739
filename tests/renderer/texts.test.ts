import { expect, test } from 'vitest';
import { readTexts, textsOf, withDraft } from '../../renderer/forms/texts.ts';
import { DecisionSchema, emptyDecision } from '../../shared/decision/decision.ts';
import { UNIT_SYSTEMS } from '../../shared/units/units.ts';
import { emptyIntake, type Intake, IntakeSchema } from '../../shared/visit-work/intake.ts';

/** Between a form as it is typed and the value that the contract checks. */

const KNOWN: Intake = {
  ...emptyIntake(),
  ownerWords: 'It hums.',
  heard: { ...emptyIntake().heard, speedFrom_km_h: 61, standing: false },
  odometer_km: 128_437,
  tyres: {
    ...emptyIntake().tyres,
    size: '205/55 R16',
    wheels: {
      ...emptyIntake().tyres.wheels,
      'rear-left': { pressure_kPa: 231, tread_mm: 5.3, madeIn: '2319' },
    },
  },
  driveline: {
    ...emptyIntake().driveline,
    gearRatios: [{ gear: '5', ratio: 0.82 }],
    wheelBearing: {
      rollingElements: 12,
      elementDiameter_mm: 12.7,
      pitchDiameter_mm: 60,
      contactAngle_deg: 0,
    },
  },
};

test.each(UNIT_SYSTEMS)(
  'a form that nobody touched gives back exactly what it was made from, %s',
  (units) => {
    for (const value of [KNOWN, emptyIntake()]) {
      const texts = textsOf(IntakeSchema, value, units);
      expect(readTexts(IntakeSchema, texts, value, units)).toEqual(value);
    }
  },
);

test('numbers are typed with point or comma, in the units shown', () => {
  const texts = textsOf(IntakeSchema, emptyIntake(), 'imperial');
  texts.odometer_km = '80 000';
  texts.tyres.wheels['rear-left'].tread_mm = '0,25';
  const value = IntakeSchema.parse(readTexts(IntakeSchema, texts, null, 'imperial'));
  // A mile is 1.609344 km and an inch 25.4 mm by definition (NIST SP 811, Appendix B.8).
  expect(value.odometer_km).toBeCloseTo(128_747.52, 6);
  expect(value.tyres.wheels['rear-left'].tread_mm).toBeCloseTo(6.35, 10);
});

test('what is no number reaches the schema as it was typed, to be refused at its path', () => {
  const texts = textsOf(IntakeSchema, emptyIntake(), 'metric');
  texts.driveline.cylinders = 'four';
  texts.driveline.wheelBearing.rollingElements = '12';
  const { error } = IntakeSchema.safeParse(readTexts(IntakeSchema, texts, null, 'metric'));
  const paths = error!.issues.map((issue) => issue.path.join('.'));
  expect(paths).toContain('driveline.cylinders');
  // A bearing is of use only as a whole.
  expect(paths).toContain('driveline.wheelBearing.pitchDiameter_mm');
});

test('a chance is typed in per cent, and is none while it is empty', () => {
  const texts = textsOf(DecisionSchema, emptyDecision(), 'metric');
  expect(DecisionSchema.parse(readTexts(DecisionSchema, texts, null, 'metric'))).toEqual(emptyDecision());
  texts.options.watch.later = { probability: '12.5', from: 'technician' };
  const value = DecisionSchema.parse(readTexts(DecisionSchema, texts, null, 'metric'));
  expect(value.options.watch.later).toEqual({ probability: 0.125, from: 'technician' });
  expect(textsOf(DecisionSchema, value, 'metric').options.watch.later.probability).toBe('12.5');
});

test('a draft of another shape takes nothing away', () => {
  const texts = textsOf(IntakeSchema, KNOWN, 'metric');
  for (const draft of [
    null,
    'x',
    7,
    [],
    { heard: 'loud', tyres: { size: 7 }, driveline: { gearRatios: {} } },
  ])
    expect(withDraft(IntakeSchema, texts, draft)).toEqual(texts);
  expect(withDraft(IntakeSchema, texts, { odometer_km: '12o', unheardOf: 'x' })).toEqual({
    ...texts,
    odometer_km: '12o',
  });
  const driveline = { gearRatios: [{ gear: '1' }, { gear: '2', ratio: 'x' }] };
  expect(withDraft(IntakeSchema, texts, { driveline }).driveline.gearRatios).toEqual([
    { gear: '1', ratio: '' },
    { gear: '2', ratio: 'x' },
  ]);
});
