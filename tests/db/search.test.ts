import { expect, test } from 'vitest';
import { VehicleRowSchema } from '../../shared/contract/garage.ts';
import { recordingIn, VAN } from './recording.ts';
import { newGarage } from './temporary.ts';

function threeVehicles() {
  const garage = newGarage();
  const add = (plate: string, vin: string | null, label: string, ownerNote: string, startedAt: string) => {
    const vehicle = garage.vehicles.add(
      { plate, vin, ownerNote, spec: { label, layout: 'fwd' } },
      '2020-01-01T00:00:00Z',
    );
    garage.visits.start({
      vehicleId: vehicle.id,
      startedAt,
      odometer_km: 1000,
      complaint: `complaint of ${label}: grinds in bends`,
    });
    return vehicle.id;
  };
  return {
    garage,
    pickup: add('KX 41 R', 'INVENTED000PKP901', 'grey pickup', 'tows a boat', '2025-05-01T10:00:00Z'),
    estate: add('KX-52 S', null, 'red estate', "Übergabe at the gate, 100% o'clock", '2026-05-01T10:00:00Z'),
    hatch: add('ZQ 9', null, 'white hatchback', 'learner car', '2024-05-01T10:00:00Z'),
  };
}

test('vehicles are found by any part of plate, VIN and label, and by the words of note and complaint', () => {
  const { garage, pickup, estate, hatch } = threeVehicles();
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  expect(found('kx41r')).toEqual([pickup]);
  expect(found('KX 41')).toEqual([pickup]);
  expect(found('kx52')).toEqual([estate]);
  expect(found('kx-52 s')).toEqual([estate]);
  expect(found('pkp901')).toEqual([pickup]);
  expect(found('hatch')).toEqual([hatch]);
  expect(found('boat')).toEqual([pickup]);
  expect(found('boa')).toEqual([pickup]);
  expect(found('oat')).toEqual([]);
  expect(found('of red')).toEqual([estate]);
});

test('every word counts, wherever it stands', () => {
  const { garage, pickup, estate } = threeVehicles();
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  expect(found('grinds pickup')).toEqual([pickup]);
  expect(found('boat estate')).toEqual([]);
  expect(found('kx bends estate')).toEqual([estate]);
});

test('every letter typed narrows the list, even the first of a further word', () => {
  const { garage, pickup, estate, hatch } = threeVehicles();
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  expect(found('grinds')).toEqual([estate, pickup, hatch]);
  expect(found('grinds r')).toEqual([estate, pickup]);
  expect(found('grinds re')).toEqual([estate]);
});

test('one letter is enough, case and accents do not matter, and the latest visit comes first', () => {
  const { garage, pickup, estate, hatch } = threeVehicles();
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  expect(found('k')).toEqual([estate, pickup, hatch]);
  expect(found('KX')).toEqual([estate, pickup]);
  expect(found('ubergabe')).toEqual([estate]);
  expect(found('GRINDS')).toEqual([estate, pickup, hatch]);
  expect(found('')).toEqual([estate, pickup, hatch]);
});

test('who has the words in plate, VIN or label stands before who has them elsewhere', () => {
  const { garage, hatch } = threeVehicles();
  const named = garage.vehicles.add(
    { ...VAN, spec: { label: 'grinds', layout: 'fwd' } },
    '2019-01-01T00:00:00Z',
  );
  expect(garage.vehicles.search('grinds')[0]!.id).toBe(named.id);
  expect(garage.vehicles.search('grinds').at(-1)!.id).toBe(hatch);
});

test('signs of the query language are only letters here', () => {
  const { garage, estate } = threeVehicles();
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  expect(found('100%')).toEqual([estate]);
  expect(found("o'clock")).toEqual([estate]);
  for (const text of ['"', '"""', '%', '_', '*', 'NEAR(', 'a AND', 'note:boat', '\0', '-', '(', '💥💥💥']) {
    expect(() => garage.vehicles.search(text), text).not.toThrow();
  }
  expect(found('%%%')).toEqual([]);
  expect(found('💥')).toEqual([]);
  expect(found(`${'kx '.repeat(60)}`)).toHaveLength(2);
});

test('what was changed is found by its new words only, a new complaint at once', () => {
  const { garage, hatch } = threeVehicles();
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  garage.vehicles.change(hatch, { ...VAN, ownerNote: 'sold to a baker' });
  expect(found('learner')).toEqual([]);
  expect(found('baker')).toEqual([hatch]);
  expect(found('bends')).toContain(hatch);
  garage.visits.start({
    vehicleId: hatch,
    startedAt: '2026-08-01T10:00:00Z',
    odometer_km: null,
    complaint: 'drones uphill',
  });
  expect(found('uphill')).toEqual([hatch]);
  expect(found('')[0]).toBe(hatch);
});

test('a row says what the list shows', () => {
  const garage = newGarage();
  const { vehicle } = recordingIn(garage);
  const [row] = garage.vehicles.search('van');
  expect(VehicleRowSchema.parse(row)).toEqual({
    id: vehicle.id,
    label: 'blue van',
    plate: 'RP-DB 417',
    ownerNote: 'company van, keys at the desk',
    odometer_km: 91_200,
    visits: 1,
    lastVisitAt: '2026-03-01T10:00:00Z',
    lastComplaint: 'hums from the rear at 80',
  });
  const fresh = garage.vehicles.add({ ...VAN, plate: 'NEW 1' });
  expect(garage.vehicles.search('new 1')[0]).toMatchObject({
    id: fresh.id,
    odometer_km: 90_000,
    visits: 0,
    lastVisitAt: null,
    lastComplaint: null,
  });
});
