import { expect, test } from 'vitest';
import {
  mergeVehicle,
  type VehicleFormText,
  vehicleAsText,
  vehicleFormSchema,
} from '../../renderer/screens/garage/vehicle-form.ts';
import { type VehicleInput, VehicleInputSchema } from '../../shared/contract/garage.ts';
import { VEHICLES } from './fixtures.ts';

const faultsOf = (text: VehicleFormText) => {
  const result = vehicleFormSchema('metric', null).safeParse(text);
  return result.success
    ? {}
    : Object.fromEntries(result.error.issues.map((i) => [i.path.join('.'), i.message]));
};
const empty = vehicleAsText(null, 'metric');
const named = { ...empty, spec: { ...empty.spec, label: 'Estate' } };

test('a vehicle with nothing but its description is enough; the rest stays unknown', () => {
  const vehicle = mergeVehicle(null, vehicleFormSchema('metric', null).parse(named));
  expect(VehicleInputSchema.safeParse(vehicle).success).toBe(true);
  expect(vehicle.spec).toMatchObject({
    odometer_km: null,
    rollingCircumference_m: null,
    wheelBearing: null,
    finalDrive: { front: null, rear: null },
    engine: { cylinders: null },
  });
});

test('what is stored comes back unchanged through the form, unknown keys included', () => {
  const stored = { ...VEHICLES[0]!, spec: { ...VEHICLES[0]!.spec, towBar: true } };
  const again = mergeVehicle(
    stored,
    vehicleFormSchema('metric', stored).parse(vehicleAsText(stored, 'metric')),
  );
  expect(again.spec).toMatchObject(stored.spec);
  expect(again).toMatchObject({ plate: stored.plate, vin: stored.vin, ownerNote: stored.ownerNote });
});

test('each nonsense gets its message at its field', () => {
  expect(faultsOf(empty)).toEqual({ 'spec.label': 'required' });
  const spec = {
    ...named.spec,
    odometer_km: 'many',
    rollingCircumference_m: '19,5',
    engine: { cylinders: '4.5' },
    finalDrive: { ...named.spec.finalDrive, rear: { ringTeeth: '41', pinionTeeth: '' } },
  };
  expect(faultsOf({ ...named, vin: 'A'.repeat(18), spec })).toEqual({
    vin: 'vin',
    'spec.odometer_km': 'number',
    'spec.rollingCircumference_m': 'range',
    'spec.engine.cylinders': 'integer',
    'spec.finalDrive.rear.pinionTeeth': 'missingOfGroup',
  });
});

test('a decimal comma is understood', () => {
  const value = vehicleFormSchema('metric', null).parse({
    ...named,
    spec: { ...named.spec, rollingCircumference_m: ' 1,95 ' },
  });
  expect(value.spec.rollingCircumference_m).toBe(1.95);
});

test('an odometer in miles is kept in kilometres, and comes back through the form as it was', () => {
  const read = (miles: string, stored: VehicleInput | null) =>
    vehicleFormSchema('imperial', stored).parse({ ...named, spec: { ...named.spec, odometer_km: miles } })
      .spec.odometer_km;
  // 1 mi is 1.609344 km (international mile of 1959).
  expect(read('100000', null)).toBe(160_934.4);
  for (const km of [0, 1, 128_400, 299_999, 1_234_567]) {
    const stored = { ...VEHICLES[0]!, spec: { ...VEHICLES[0]!.spec, odometer_km: km } };
    expect(read(vehicleAsText(stored, 'imperial').spec.odometer_km, stored)).toBe(km);
  }
});
