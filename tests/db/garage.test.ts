import { expect, test } from 'vitest';
import { z } from 'zod';
import { faultsOf } from '../../db/backup.ts';
import { GarageError, garageError } from '../../db/error.ts';
import {
  RunHistorySchema,
  VehiclePageSchema,
  VehicleSchema,
  VisitSchema,
} from '../../shared/contract/garage.ts';
import { recordingIn, runStart, secondOf, VAN } from './recording.ts';
import { newGarage } from './temporary.ts';

test('a vehicle keeps everything that was entered, unknown keys of its running gear included', () => {
  const { vehicles } = newGarage();
  const added = vehicles.add(VAN, '2026-03-01T09:00:00+01:00');
  expect(added).toEqual({ ...VAN, id: added.id, createdAt: '2026-03-01T09:00:00+01:00' });
  expect(VehicleSchema.parse(added)).toEqual(added);

  const changed = vehicles.change(added.id, { ...VAN, plate: 'RP-DB 418', vin: 'INVENTED000000001' });
  expect(vehicles.get(added.id)).toEqual(changed);
  expect(changed).toMatchObject({ plate: 'RP-DB 418', createdAt: added.createdAt });
});

test('what is not there is said in a sentence', () => {
  const { vehicles, visits, runs } = newGarage();
  expect(() => vehicles.get(7)).toThrow(GarageError);
  expect(() => vehicles.page(7)).toThrow('This vehicle is not in the garage.');
  expect(() => vehicles.change(7, VAN)).toThrow('This vehicle is not in the garage.');
  expect(() => visits.get(7)).toThrow('This visit is not in the garage.');
  const visit = { vehicleId: 7, startedAt: '2026-03-01T10:00:00Z', odometer_km: null, complaint: '' };
  expect(() => visits.start(visit)).toThrow('This vehicle is not in the garage.');
  expect(() => runs.start(runStart(7))).toThrow('This visit is not in the garage.');
  expect(() => runs.history(7)).toThrow('This run is not in the garage.');
  expect(() => runs.finish(7, 0)).toThrow('This run is not in the garage.');
});

test('a recorded run comes back as it was driven', () => {
  const garage = newGarage();
  const { visit, run } = recordingIn(garage);
  expect(run).toEqual({
    ...runStart(visit.id),
    id: run.id,
    frames: 0,
    state: 'recording',
    segments: [],
    marks: [],
    gaps: [],
  });

  garage.runs.appendSeconds(run.id, [secondOf(0), secondOf(1)]);
  garage.runs.appendSeconds(run.id, [{ ...secondOf(2), speed_km_h: null }]);
  garage.runs.addMark(run.id, { at_s: 1.5, text: 'louder now' });
  garage.runs.addMark(run.id, { at_s: 0.5, text: 'bridge' });
  garage.runs.addGap(run.id, { firstFrame: 60_000, frames: 480 });
  garage.runs.addSegment(run.id, { from_s: 1, to_s: 3, state: 'coast', gearRatio: null, note: 'downhill' });
  garage.runs.addSegment(run.id, { from_s: 0, to_s: 1, state: 'drive' });
  garage.runs.addSpeed(run.id, { t_s: [0, 0.5, 0.5], v_km_h: [79, 80, 81] });
  garage.runs.finish(run.id, 144_000);

  const history = garage.runs.history(run.id);
  expect(RunHistorySchema.parse(history)).toEqual(history);
  expect(history.run).toEqual({
    ...run,
    frames: 144_000,
    state: 'complete',
    marks: [
      { at_s: 0.5, text: 'bridge' },
      { at_s: 1.5, text: 'louder now' },
    ],
    gaps: [{ firstFrame: 60_000, frames: 480 }],
    segments: [
      { from_s: 0, to_s: 1, state: 'drive' },
      { from_s: 1, to_s: 3, state: 'coast', gearRatio: null, note: 'downhill' },
    ],
  });
  expect(history.second).toEqual([0, 1, 2]);
  expect(history.speed_km_h).toEqual([80, 80, null]);
  expect(history.rms).toEqual([
    [0, 1, 2],
    [0.25, 1.25, 2.25],
    [0.5, 1.5, 2.5],
  ]);
  expect(history.peak[1]).toEqual([0.25, 2.25, 4.25]);
  // By line, then channel; the last line's rate on the last channel was not known.
  expect(history.orders[0]).toEqual([
    [0.125, 1.125, 2.125],
    [0.375, 1.375, 2.375],
    [0.625, 1.625, 2.625],
  ]);
  expect(history.orders[1]![2]).toEqual([null, null, null]);
  expect(garage.runs.speed(run.id)).toEqual({ t_s: [0, 0.5], v_km_h: [79, 81] });
  expect(VisitSchema.parse(garage.visits.get(visit.id)).runs).toEqual([history.run]);
});

test('the page of a vehicle lists its visits, newest first, whatever offset their times were written with', () => {
  const garage = newGarage();
  const { vehicle, visit, run } = recordingIn(garage);
  // 23:30 at UTC-5 is later than 23:45 at UTC, though its text sorts before.
  const others = ['2026-02-28T23:30:00-05:00', '2026-02-28T23:45:00Z'].map((startedAt) =>
    garage.visits.start({ vehicleId: vehicle.id, startedAt, odometer_km: null, complaint: startedAt }),
  );
  garage.runs.appendSeconds(run.id, [secondOf(0), secondOf(2), secondOf(1)]);
  garage.runs.finish(run.id, 144_000);

  const page = garage.vehicles.page(vehicle.id);
  expect(VehiclePageSchema.parse(page)).toEqual(page);
  expect(page.visits.map((v) => v.id)).toEqual([visit.id, others[0]!.id, others[1]!.id]);
  expect(page.visits[0]).toEqual({
    id: visit.id,
    startedAt: visit.startedAt,
    odometer_km: 91_200,
    complaint: 'hums from the rear at 80',
    runs: 1,
    seconds: 3,
    // 2.25 of a full scale of 500 m/s² is more than 2 of 200 m/s².
    loudest: { position: 'differential-rear-pinion', rms_m_s2: 1125 },
  });
  expect(page.visits[1]).toMatchObject({ runs: 0, seconds: 0, loudest: null });
});

test('without a known full scale no level in m/s² is claimed', () => {
  const garage = newGarage();
  const { vehicle, visit } = recordingIn(garage);
  const start = runStart(visit.id, 'relative.wav');
  const run = garage.runs.start({
    ...start,
    channels: [{ channel: 1, role: 'vibration', position: 'hub-rear-left', fullScale_m_s2: null }],
    orderLines: [],
  });
  const second = { second: 0, speed_km_h: null, rms: Float32Array.of(0.5), peak: Float32Array.of(1) };
  garage.runs.appendSeconds(run.id, [{ ...second, orders: new Float32Array(0) }]);
  garage.runs.finish(run.id, 48_000);
  expect(garage.vehicles.page(vehicle.id).visits[0]!.loudest).toBeNull();
});

test('a run that was cut off is found, repaired once, and cannot be finished again', () => {
  const garage = newGarage();
  const { run } = recordingIn(garage);
  expect(garage.runs.unfinished().map((r) => r.id)).toEqual([run.id]);
  expect(garage.runs.markRepaired(run.id, 96_000)).toMatchObject({ state: 'repaired', frames: 96_000 });
  expect(garage.runs.unfinished()).toEqual([]);
  expect(() => garage.runs.finish(run.id, 1)).toThrow('This run was finished already.');
  expect(garage.runs.get(run.id).frames).toBe(96_000);
});

test('seconds that do not fit the run are refused as a whole', () => {
  const garage = newGarage();
  const { run } = recordingIn(garage);
  const tooShort = { ...secondOf(1), rms: Float32Array.of(1, 2) };
  expect(() => garage.runs.appendSeconds(run.id, [secondOf(0), tooShort])).toThrow(RangeError);
  expect(() => garage.runs.appendSeconds(run.id, [{ ...secondOf(0), orders: new Float32Array(5) }])).toThrow(
    RangeError,
  );
  expect(garage.runs.history(run.id).second).toEqual([]);
});

test('a second told twice counts as told last', () => {
  const garage = newGarage();
  const { run } = recordingIn(garage);
  garage.runs.appendSeconds(run.id, [secondOf(0)]);
  garage.runs.appendSeconds(run.id, [{ ...secondOf(0), speed_km_h: 12 }]);
  expect(garage.runs.history(run.id).speed_km_h).toEqual([12]);
});

test('nothing can be orphaned', () => {
  const garage = newGarage();
  recordingIn(garage);
  for (const table of ['vehicle', 'visit', 'run']) {
    expect(() => garage.db.exec(`DELETE FROM ${table}`)).toThrow(/FOREIGN KEY/);
  }
  expect(() => garage.runs.addMark(99, { at_s: 0, text: '' })).toThrow(/FOREIGN KEY/);
  expect(() => garage.runs.addGap(99, { firstFrame: 0, frames: 1 })).toThrow(/FOREIGN KEY/);
  expect(faultsOf(garage.db)).toEqual([]);
});

test('several changes are one: a bundle is imported whole or not at all', () => {
  const garage = newGarage();
  expect(() =>
    garage.transaction(() => {
      recordingIn(garage);
      throw new Error('the second WAV is broken');
    }),
  ).toThrow('the second WAV is broken');
  expect(garage.vehicles.search('')).toEqual([]);
  garage.transaction(() => recordingIn(garage));
  expect(garage.vehicles.search('')).toHaveLength(1);
});

test('settings keep any value, and one that no longer fits its schema is as good as none', () => {
  const { settings } = newGarage();
  const shop = z.object({ name: z.string(), hourlyRate: z.number() });
  expect(settings.get('shop', shop)).toBeNull();
  settings.set('shop', { name: 'Invented Workshop', hourlyRate: 90 });
  settings.set('shop', { name: 'Invented Workshop', hourlyRate: 95 });
  expect(settings.get('shop', shop)).toEqual({ name: 'Invented Workshop', hourlyRate: 95 });
  expect(settings.get('shop', z.object({ address: z.string() }))).toBeNull();
});

test('a full disk stops the change, says so and harms nothing', () => {
  const garage = newGarage();
  const { run } = recordingIn(garage);
  const { page_count } = garage.db.prepare('PRAGMA page_count').get() as { page_count: number };
  // SQLite reports its own limit just as it reports a disk without space.
  garage.db.pragma(`max_page_count = ${page_count + 2}`);
  let written = 0;
  let problem: unknown;
  while (!problem && written < 10_000) {
    try {
      garage.runs.appendSeconds(run.id, [secondOf(written)]);
      written++;
    } catch (cause) {
      problem = garageError(cause, garage.path);
    }
  }
  expect(problem).toMatchObject({ name: 'GarageError', message: expect.stringMatching(/^The disk is full/) });
  expect(garage.runs.history(run.id).second).toHaveLength(written);
  expect(faultsOf(garage.db)).toEqual([]);
});
