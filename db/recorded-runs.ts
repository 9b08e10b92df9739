import type { Database } from './database.ts';

/** A finished run as far as the keeping of its recording is concerned. */
export interface RecordedRun {
  readonly runId: number;
  readonly file: string;
  readonly startedAt: string;
  readonly vehicleLabel: string;
  readonly plate: string;
  /** 1 for the vehicle's newest visit that has a run, and so on. */
  readonly visitFromLast: number;
  /** 1 for its first one. */
  readonly visitFromFirst: number;
  readonly measured: boolean;
}

/** All finished runs, oldest first. */
export function recordedRuns(db: Database): RecordedRun[] {
  return db
    .prepare<[], Omit<RecordedRun, 'measured'> & { measured: number }>(
      `SELECT run.id AS runId, run.file, run.started_at AS startedAt, label AS vehicleLabel, plate,
              dense_rank() OVER (PARTITION BY vehicle_id ORDER BY started_s DESC, visit.id DESC) AS visitFromLast,
              dense_rank() OVER (PARTITION BY vehicle_id ORDER BY started_s, visit.id) AS visitFromFirst,
              EXISTS (SELECT 1 FROM run_measured WHERE run_id = run.id) AS measured
       FROM run JOIN visit ON visit.id = visit_id JOIN vehicle ON vehicle.id = vehicle_id
       WHERE state <> 'recording'
       ORDER BY unixepoch(run.started_at), run.id`,
    )
    .all()
    .map((row) => ({ ...row, measured: row.measured === 1 }));
}
