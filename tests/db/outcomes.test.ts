import { expect, test } from 'vitest';
import { GarageError } from '../../db/error.ts';
import { type Outcome, VisitOutcomeSchema } from '../../shared/contract/returning-car.ts';
import { recordingIn, VAN } from './recording.ts';
import { newGarage } from './temporary.ts';

const SERVICED: Outcome = {
  done: 'serviced',
  source: 'differential-rear',
  note: 'fluid changed, paste on the magnet',
  nextCheckOn: '2026-09-01',
  nextCheckAt_km: 100_000,
};

test('an outcome comes back with its visit, is replaced, and taken back', () => {
  const garage = newGarage();
  const { vehicle, visit } = recordingIn(garage);
  garage.outcomes.set(visit.id, SERVICED);
  const [outcome] = garage.outcomes.ofVehicle(vehicle.id);
  expect(VisitOutcomeSchema.parse(outcome)).toEqual({
    ...SERVICED,
    visitId: visit.id,
    startedAt: visit.startedAt,
  });
  garage.outcomes.set(visit.id, { ...SERVICED, done: 'watched', source: null, nextCheckOn: null });
  expect(garage.outcomes.ofVehicle(vehicle.id)).toMatchObject([{ done: 'watched', nextCheckOn: null }]);
  garage.outcomes.set(visit.id, null);
  expect(garage.outcomes.ofVehicle(vehicle.id)).toEqual([]);
  expect(() => garage.outcomes.set(99, SERVICED)).toThrow(GarageError);
});

test('a day that is none is refused', () => {
  const garage = newGarage();
  const { visit } = recordingIn(garage);
  garage.outcomes.set(visit.id, SERVICED);
  expect(() => garage.outcomes.set(visit.id, { ...SERVICED, nextCheckOn: '2026-02-31' })).toThrow(/CHECK/);
  expect(garage.outcomes.awaited()).toMatchObject([{ nextCheckOn: '2026-09-01' }]);
});

test('the last outcome of a vehicle says what is awaited, with the readings of its odometer', () => {
  const garage = newGarage();
  const { vehicle, visit } = recordingIn(garage);
  garage.outcomes.set(visit.id, SERVICED);
  const later = garage.visits.start({
    vehicleId: vehicle.id,
    startedAt: '2026-06-01T10:00:00Z',
    odometer_km: 95_000,
    complaint: '',
  });
  expect(garage.outcomes.awaited()).toMatchObject([
    {
      vehicleId: vehicle.id,
      label: 'blue van',
      visitId: visit.id,
      readings: [{ odometer_km: 91_200 }, { odometer_km: 95_000 }],
    },
  ]);
  garage.outcomes.set(later.id, { ...SERVICED, done: 'repaired', nextCheckOn: null, nextCheckAt_km: null });
  expect(garage.outcomes.awaited()).toEqual([]);
});

test('a vehicle is found by the part that was worked on, by its name or by words of the note', () => {
  const garage = newGarage();
  const { vehicle, visit } = recordingIn(garage);
  garage.vehicles.add({ ...VAN, plate: 'OTHER 1' });
  const found = (text: string) => garage.vehicles.search(text).map((row) => row.id);
  expect(found('differential')).toEqual([]);
  garage.outcomes.set(visit.id, SERVICED);
  for (const text of [
    'differential',
    'rear diff',
    'differential-rear',
    'magnet paste',
    'blue van rear diff',
  ]) {
    expect(found(text), text).toEqual([vehicle.id]);
  }
  garage.outcomes.set(visit.id, { ...SERVICED, source: 'transmission' });
  expect(found('gearbox')).toEqual([vehicle.id]);
  expect(found('differential')).toEqual([]);
});

test('a level at which the shop acts belongs to a vehicle and a series', () => {
  const { wearLimits, ...garage } = newGarage();
  const { vehicle } = recordingIn({ wearLimits, ...garage });
  expect(wearLimits.of(vehicle.id, 'mesh')).toBeNull();
  wearLimits.set(vehicle.id, 'mesh', 2.5);
  wearLimits.set(vehicle.id, 'mesh', 3);
  wearLimits.set(vehicle.id, 'wheel', 1);
  expect(wearLimits.of(vehicle.id, 'mesh')).toBe(3);
  wearLimits.set(vehicle.id, 'mesh', null);
  expect(wearLimits.of(vehicle.id, 'mesh')).toBeNull();
  expect(wearLimits.of(vehicle.id, 'wheel')).toBe(1);
});
