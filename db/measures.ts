import type { Measure, MeasureOfVisit } from '../shared/contract/garage.ts';
import { type Database, durably } from './database.ts';

interface MeasureRecord {
  visit_id: number;
  started_at: string;
  odometer_km: number | null;
  position: string;
  pickup: string | null;
  full_scale_m_s2: number | null;
  run_id: number;
  channel: number;
  kind: Measure['kind'];
  part: string;
  label: string;
  unit: string;
  method: string;
  state: Measure['state'];
  low_km_h: number;
  high_km_h: number;
  value: number;
  spread: number | null;
  repeats: number;
}

/** A run that may be measured, with whom it belongs to. */
export interface MeasurableRun {
  readonly runId: number;
  readonly visitId: number;
  readonly vehicleId: number;
}

const measureFrom = (row: MeasureRecord): MeasureOfVisit => ({
  visitId: row.visit_id,
  startedAt: row.started_at,
  odometer_km: row.odometer_km,
  position: row.position,
  pickup: row.pickup,
  fullScale_m_s2: row.full_scale_m_s2,
  runId: row.run_id,
  channel: row.channel,
  kind: row.kind,
  part: row.part,
  label: row.label,
  unit: row.unit,
  method: row.method,
  state: row.state,
  speedBand: { low_km_h: row.low_km_h, high_km_h: row.high_km_h },
  value: row.value,
  spread: row.spread,
  repeats: row.repeats,
});

const selectWhere = (condition: string) => `
  SELECT visit.id AS visit_id, visit.started_at, odometer_km, position, pickup, full_scale_m_s2,
         measure.run_id, measure.channel, kind, part, label, unit, method,
         measure.state, low_km_h, high_km_h, value, spread, repeats
  FROM visit
  JOIN run ON run.visit_id = visit.id
  JOIN measure ON measure.run_id = run.id
  JOIN measurand ON measurand.id = measurand_id
  JOIN run_channel ON run_channel.run_id = measure.run_id AND run_channel.channel = measure.channel
  WHERE ${condition}
  ORDER BY visit.started_s, measure.run_id, measure.channel, measurand_id, low_km_h`;

export function measuresOf(db: Database) {
  const forget = db.prepare<[number]>('DELETE FROM measure WHERE run_id = ?');
  const insertMeasurand = db.prepare<[string, string, string, string, string]>(
    'INSERT OR IGNORE INTO measurand (kind, part, label, unit, method) VALUES (?, ?, ?, ?, ?)',
  );
  const insert = db.prepare<unknown[]>(
    `INSERT INTO measure (run_id, channel, measurand_id, state, low_km_h, high_km_h, value, spread, repeats)
     SELECT ?, ?, id, ?, ?, ?, ?, ?, ? FROM measurand
     WHERE kind = ? AND part = ? AND label = ? AND unit = ? AND method = ?`,
  );
  const selectOfVehicle = db.prepare<[number], MeasureRecord>(selectWhere('vehicle_id = ?'));
  const selectOfVisit = db.prepare<[number], MeasureRecord>(selectWhere('visit.id = ?'));
  const mark = db.prepare<[number, string]>(
    `INSERT INTO run_measured (run_id, method) VALUES (?, ?)
     ON CONFLICT (run_id) DO UPDATE SET method = excluded.method`,
  );
  const selectUnmeasured = db.prepare<[string, string], MeasurableRun>(
    `SELECT run.id AS runId, visit_id AS visitId, vehicle_id AS vehicleId
     FROM run JOIN visit ON visit.id = visit_id LEFT JOIN run_measured ON run_id = run.id
     WHERE file = ? AND state <> 'recording' AND method IS NOT ?`,
  );

  return {
    /** What the analysis of a run found; it takes the place of what an earlier analysis of the same run found. */
    replaceOfRun(runId: number, measures: readonly Measure[]): void {
      durably(db, () => {
        forget.run(runId);
        for (const m of measures) {
          const measurand = [m.kind, m.part, m.label, m.unit, m.method] as const;
          insertMeasurand.run(...measurand);
          insert.run(
            runId,
            m.channel,
            m.state,
            m.speedBand.low_km_h,
            m.speedBand.high_km_h,
            m.value,
            m.spread,
            m.repeats,
            ...measurand,
          );
        }
      });
    },

    /** A run was measured by this version of the computation, whether or not anything could be. */
    markMeasured(runId: number, method: string): void {
      mark.run(runId, method);
    },

    /**
     * The finished run of a recording, unless this version of the computation has measured it. Asked by the
     * recording: of most runs of an old garage there is none any more.
     */
    unmeasured: (file: string, method: string): MeasurableRun | null =>
      selectUnmeasured.get(file, method) ?? null,

    /** All measures of a vehicle, oldest visit first: what a trend is made of. */
    ofVehicle: (vehicleId: number): MeasureOfVisit[] => selectOfVehicle.all(vehicleId).map(measureFrom),

    ofVisit: (visitId: number): MeasureOfVisit[] => selectOfVisit.all(visitId).map(measureFrom),
  };
}
export type Measures = ReturnType<typeof measuresOf>;
