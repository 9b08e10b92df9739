import { rm, stat } from 'node:fs/promises';
import type { Garage } from '../../db/open.ts';
import { type RecordedRun, recordedRuns } from '../../db/recorded-runs.ts';
import { type Retention, type RetentionPlan, RetentionSchema } from '../../shared/contract/returning-car.ts';
import type { RecordingsFolder } from './recordings-folder.ts';

const SETTING = 'retention';
const MONTH_MS = (365.25 / 12) * 86_400_000;

/** Until somebody decides otherwise, every recording stays. */
const KEEP_ALL: Retention = { keepVisits: null, keepMonths: 24, keepFirst: true };

/** Which recordings the shop keeps. Nothing is ever deleted by itself, and measures and spectra always stay. */
export const retentionPolicy = (garage: Garage): Retention =>
  garage.settings.get(SETTING, RetentionSchema) ?? KEEP_ALL;

export const setRetentionPolicy = (garage: Garage, policy: Retention): void =>
  garage.settings.set(SETTING, policy);

/** What the policy would delete now. A recording that has not left its measures yet is never among it. */
export async function retentionPlan(
  garage: Garage,
  recordings: RecordingsFolder,
  policy: Retention,
  now = Date.now(),
): Promise<RetentionPlan> {
  const deletes: RetentionPlan['deletes'] = [];
  const keeps = { files: 0, bytes: 0 };
  let waiting = 0;
  for (const run of recordedRuns(garage.db)) {
    const info = await stat(recordings.file(run.file)).catch(() => null);
    if (!info) continue;
    const goes = isPast(run, policy, now);
    if (goes && run.measured) {
      const { runId, file, vehicleLabel, plate, startedAt } = run;
      deletes.push({ runId, file, bytes: info.size, vehicleLabel, plate, startedAt });
      continue;
    }
    if (goes) waiting++;
    keeps.files++;
    keeps.bytes += info.size;
  }
  return { deletes, bytes: deletes.reduce((sum, d) => sum + d.bytes, 0), keeps, waiting };
}

function isPast(run: RecordedRun, policy: Retention, now: number): boolean {
  if (policy.keepVisits === null || run.visitFromLast <= policy.keepVisits) return false;
  if (policy.keepFirst && run.visitFromFirst === 1) return false;
  return now - Date.parse(run.startedAt) > policy.keepMonths * MONTH_MS;
}

/** Deletes those recordings of the plan that the user has seen: the files, never a row. */
export async function applyRetention(
  garage: Garage,
  recordings: RecordingsFolder,
  seen: readonly number[],
): Promise<{ deleted: number; bytes: number }> {
  const plan = await retentionPlan(garage, recordings, retentionPolicy(garage));
  let deleted = 0;
  let bytes = 0;
  for (const entry of plan.deletes) {
    if (!seen.includes(entry.runId)) continue;
    await rm(recordings.file(entry.file), { force: true });
    deleted++;
    bytes += entry.bytes;
  }
  return { deleted, bytes };
}
