import { expect, test } from 'vitest';
import { type Measure, MeasureOfVisitSchema } from '../../shared/contract/garage.ts';
import { recordingIn, runStart } from './recording.ts';
import { newGarage } from './temporary.ts';

const mesh: Measure = {
  channel: 2,
  kind: 'orderLevel',
  part: 'differential-rear',
  label: 'ring gear mesh 1×',
  unit: 'm/s²',
  method: 'order-level 1',
  state: 'drive',
  speedBand: { low_km_h: 70, high_km_h: 90 },
  value: 1.25,
  spread: 0.2,
  repeats: 3,
};

test('a measure comes back with what decides whether it may be compared', () => {
  const garage = newGarage();
  const { vehicle, visit, run } = recordingIn(garage);
  const hub: Measure = { ...mesh, channel: 1, state: 'coast', value: 0.5, spread: null, repeats: 1 };
  garage.measures.replaceOfRun(run.id, [mesh, hub]);

  const context = { visitId: visit.id, startedAt: visit.startedAt, odometer_km: 91_200, runId: run.id };
  const measures = garage.measures.ofVehicle(vehicle.id);
  expect(measures).toEqual([
    { ...hub, ...context, position: 'hub-rear-left', pickup: 'A', fullScale_m_s2: 200 },
    { ...mesh, ...context, position: 'differential-rear-pinion', pickup: null, fullScale_m_s2: 500 },
  ]);
  expect(measures.map((m) => MeasureOfVisitSchema.parse(m))).toEqual(measures);
  expect(garage.measures.ofVisit(visit.id)).toEqual(measures);
});

test('the same figure by another method, or in another unit, is kept beside it', () => {
  const garage = newGarage();
  const { vehicle, run } = recordingIn(garage);
  const all = [mesh, { ...mesh, method: 'order-level 2', value: 1.5 }, { ...mesh, unit: 'FS', value: 0.01 }];
  garage.measures.replaceOfRun(run.id, all);
  expect(garage.measures.ofVehicle(vehicle.id).map((m) => m.value)).toEqual([1.25, 1.5, 0.01]);
});

test('another analysis of a run replaces its measures and touches no other run', () => {
  const garage = newGarage();
  const { vehicle, visit, run } = recordingIn(garage);
  const second = garage.runs.start(runStart(visit.id, 'run-2.wav'));
  garage.measures.replaceOfRun(run.id, [mesh, { ...mesh, channel: 1 }]);
  garage.measures.replaceOfRun(second.id, [{ ...mesh, value: 3 }]);
  garage.measures.replaceOfRun(run.id, [{ ...mesh, value: 2 }]);
  expect(garage.measures.ofVehicle(vehicle.id).map((m) => [m.runId, m.value])).toEqual([
    [run.id, 2],
    [second.id, 3],
  ]);
});

test('a measure of a channel that the run does not have is refused, and with it the whole analysis', () => {
  const garage = newGarage();
  const { vehicle, run } = recordingIn(garage);
  garage.measures.replaceOfRun(run.id, [mesh]);
  expect(() =>
    garage.measures.replaceOfRun(run.id, [
      { ...mesh, value: 9 },
      { ...mesh, channel: 8 },
    ]),
  ).toThrow(/FOREIGN KEY/);
  expect(garage.measures.ofVehicle(vehicle.id).map((m) => m.value)).toEqual([1.25]);
});
