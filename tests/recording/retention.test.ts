import { existsSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { expect, test } from 'vitest';
import { RecordingsFolder } from '../../electron/recording/recordings-folder.ts';
import {
  applyRetention,
  retentionPlan,
  retentionPolicy,
  setRetentionPolicy,
} from '../../electron/recording/retention.ts';
import type { Measure } from '../../shared/contract/garage.ts';
import { runStart, VAN } from '../db/recording.ts';
import { newGarage } from '../db/temporary.ts';

const MESH: Measure = {
  channel: 2,
  kind: 'orderLevel',
  part: 'differential-rear',
  label: 'ring gear mesh 1×',
  unit: 'm/s²',
  method: 'invented',
  state: 'drive',
  speedBand: { low_km_h: 70, high_km_h: 80 },
  value: 1,
  spread: null,
  repeats: 1,
};

/** Two cars of four yearly visits with a measured recording each, and one that has not been measured. */
function garageOfVisits() {
  const garage = newGarage();
  const recordings = new RecordingsFolder(dirname(garage.path));
  for (const plate of ['RP-A 1', 'RP-B 2']) {
    const vehicle = garage.vehicles.add({ ...VAN, plate });
    for (let year = 2020; year < 2024; year++) {
      const startedAt = `${year}-03-01T10:00:00Z`;
      const visit = garage.visits.start({
        vehicleId: vehicle.id,
        startedAt,
        odometer_km: null,
        complaint: '',
      });
      const file = `${plate}-${year}.wav`;
      const run = garage.runs.start({ ...runStart(visit.id, file), startedAt });
      writeFileSync(recordings.file(file), 'x'.repeat(100 + year - 2020));
      garage.runs.finish(run.id, 100);
      garage.measures.replaceOfRun(run.id, [MESH]);
      if (file !== 'RP-B 2-2021.wav') garage.measures.markMeasured(run.id, 'any');
    }
  }
  return { garage, recordings };
}

const NOW = Date.parse('2024-06-01T00:00:00Z');
const names = (plan: { deletes: { file: string }[] }) => plan.deletes.map((d) => d.file);

test('until somebody decides otherwise every recording stays', async () => {
  const { garage, recordings } = garageOfVisits();
  const plan = await retentionPlan(garage, recordings, retentionPolicy(garage), NOW);
  expect(plan).toMatchObject({ deletes: [], bytes: 0, keeps: { files: 8 }, waiting: 0 });
});

test('the plan says what would go: past visits beyond the newest, not the first, not the young, not the unmeasured', async () => {
  const { garage, recordings } = garageOfVisits();
  const plan = (change: object) =>
    retentionPlan(garage, recordings, { keepVisits: 1, keepMonths: 0, keepFirst: true, ...change }, NOW);
  const usual = await plan({});
  expect(names(usual)).toEqual(['RP-A 1-2021.wav', 'RP-A 1-2022.wav', 'RP-B 2-2022.wav']);
  expect(usual.bytes).toBe(101 + 102 + 102);
  expect(usual.waiting).toBe(1);
  expect(usual.keeps.files).toBe(5);
  expect(usual.deletes[0]).toMatchObject({ plate: 'RP-A 1', vehicleLabel: 'blue van', bytes: 101 });
  expect(names(await plan({ keepFirst: false }))).toContain('RP-A 1-2020.wav');
  expect(names(await plan({ keepMonths: 30 }))).toEqual(['RP-A 1-2021.wav']);
  expect(names(await plan({ keepVisits: 3 }))).toEqual([]);
});

test('only recordings of the plan that were seen are deleted, and every row and measure stays', async () => {
  const { garage, recordings } = garageOfVisits();
  setRetentionPolicy(garage, { keepVisits: 1, keepMonths: 0, keepFirst: true });
  const plan = await retentionPlan(garage, recordings, retentionPolicy(garage));
  const newest = garage.vehicles.page(1).visits[0]!;
  const runOfNewest = garage.visits.get(newest.id).runs[0]!.id;
  const measures = garage.measures.ofVehicle(1);

  const applied = await applyRetention(garage, recordings, [plan.deletes[0]!.runId, runOfNewest, 999]);
  expect(applied).toEqual({ deleted: 1, bytes: 101 });
  expect(existsSync(recordings.file('RP-A 1-2021.wav'))).toBe(false);
  expect(existsSync(recordings.file('RP-A 1-2022.wav'))).toBe(true);
  expect(existsSync(recordings.file('RP-A 1-2023.wav'))).toBe(true);
  expect(garage.measures.ofVehicle(1)).toEqual(measures);
  expect(garage.vehicles.page(1).visits).toHaveLength(4);
  // What is gone is not counted again.
  expect(names(await retentionPlan(garage, recordings, retentionPolicy(garage)))).not.toContain(
    'RP-A 1-2021.wav',
  );
});
