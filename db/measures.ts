import type { Measure, MeasureOfVisit } from '../shared/contract/garage.ts';
import { type Database, durably } from './database.ts';

/** What a channel of a run lends to all its measures. */
interface ChannelRecord {
  visit_id: number;
  started_at: string;
  odometer_km: number | null;
  run_id: number;
  channel: number;
  position: string;
  pickup: string | null;
  full_scale_m_s2: number | null;
}

type Measurand = Pick<Measure, 'kind' | 'part' | 'label' | 'unit' | 'method'>;

/** measurand_id, state, low_km_h, high_km_h, value, spread, repeats */
type MeasureRow = [number, Measure['state'], number, number, number, number | null, number];

/** A run that may be measured, with whom it belongs to. */
export interface MeasurableRun {
  readonly runId: number;
  readonly visitId: number;
  readonly vehicleId: number;
}

const selectChannelsWhere = (condition: string) => `
  SELECT visit.id AS visit_id, visit.started_at, odometer_km, run_id, channel, position, pickup, full_scale_m_s2
  FROM visit
  JOIN run ON run.visit_id = visit.id
  JOIN run_channel ON run_channel.run_id = run.id
  WHERE ${condition} AND position IS NOT NULL
  ORDER BY visit.started_s, run_id, channel`;

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
  const selectOfVehicle = db.prepare<[number], ChannelRecord>(selectChannelsWhere('vehicle_id = ?'));
  const selectOfVisit = db.prepare<[number], ChannelRecord>(selectChannelsWhere('visit.id = ?'));
  const selectMeasures = db
    .prepare<[number, number], MeasureRow>(
      `SELECT measurand_id, state, low_km_h, high_km_h, value, spread, repeats
       FROM measure WHERE run_id = ? AND channel = ? ORDER BY measurand_id, low_km_h`,
    )
    .raw();
  const selectMeasurand = db.prepare<[number], Measurand>(
    'SELECT kind, part, label, unit, method FROM measurand WHERE id = ?',
  );
  const mark = db.prepare<[number, string]>(
    `INSERT INTO run_measured (run_id, method) VALUES (?, ?)
     ON CONFLICT (run_id) DO UPDATE SET method = excluded.method`,
  );
  const selectUnmeasured = db.prepare<[string, string], MeasurableRun>(
    `SELECT run.id AS runId, visit_id AS visitId, vehicle_id AS vehicleId
     FROM run JOIN visit ON visit.id = visit_id LEFT JOIN run_measured ON run_id = run.id
     WHERE file = ? AND state <> 'recording' AND method IS NOT ?`,
  );

  /**
   * A car of many visits has tens of thousands of measures that share a few channels and measurands: those are read
   * once and put together here, which takes a third of the time of one query for it all.
   */
  function measuresAt(channels: readonly ChannelRecord[]): MeasureOfVisit[] {
    const measurands = new Map<number, Measurand>();
    const measures: MeasureOfVisit[] = [];
    for (const at of channels) {
      for (const [id, state, low_km_h, high_km_h, value, spread, repeats] of selectMeasures.all(
        at.run_id,
        at.channel,
      )) {
        let of = measurands.get(id);
        if (!of) measurands.set(id, (of = selectMeasurand.get(id)!));
        measures.push({
          visitId: at.visit_id,
          startedAt: at.started_at,
          odometer_km: at.odometer_km,
          position: at.position,
          pickup: at.pickup,
          fullScale_m_s2: at.full_scale_m_s2,
          runId: at.run_id,
          channel: at.channel,
          kind: of.kind,
          part: of.part,
          label: of.label,
          unit: of.unit,
          method: of.method,
          state,
          speedBand: { low_km_h, high_km_h },
          value,
          spread,
          repeats,
        });
      }
    }
    return measures;
  }

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
    ofVehicle: (vehicleId: number): MeasureOfVisit[] => measuresAt(selectOfVehicle.all(vehicleId)),

    ofVisit: (visitId: number): MeasureOfVisit[] => measuresAt(selectOfVisit.all(visitId)),
  };
}
export type Measures = ReturnType<typeof measuresOf>;
