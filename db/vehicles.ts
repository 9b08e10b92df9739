import type { Vehicle, VehicleInput, VehiclePage } from '../shared/contract/garage.ts';
import { message } from '../shared/messages/message.ts';
import { type Database, durably } from './database.ts';
import { GarageError } from './error.ts';
import type { Search } from './search.ts';

interface VehicleRecord {
  id: number;
  plate: string;
  vin: string | null;
  owner_note: string;
  spec: string;
  created_at: string;
}

interface VisitRecord {
  id: number;
  started_at: string;
  odometer_km: number | null;
  complaint: string;
  runs: number;
  seconds: number;
}

const vehicleFrom = (row: VehicleRecord): Vehicle => ({
  id: row.id,
  plate: row.plate,
  vin: row.vin,
  ownerNote: row.owner_note,
  spec: JSON.parse(row.spec),
  createdAt: row.created_at,
});

export function vehiclesOf(db: Database, search: Search) {
  const insert = db.prepare<[string, string | null, string, string, string, string]>(
    `INSERT INTO vehicle (plate, vin, owner_note, spec, created_at, recency_s)
     VALUES (?, ?, ?, ?, ?, unixepoch(?))`,
  );
  const update = db.prepare<[string, string | null, string, string, number]>(
    'UPDATE vehicle SET plate = ?, vin = ?, owner_note = ?, spec = ? WHERE id = ?',
  );
  const select = db.prepare<[number], VehicleRecord>(
    'SELECT id, plate, vin, owner_note, spec, created_at FROM vehicle WHERE id = ?',
  );
  const selectVisits = db.prepare<[number], VisitRecord>(
    `SELECT visit.id, visit.started_at, odometer_km, complaint,
            count(run.id) AS runs, total(run.frames / run.sample_rate_Hz) AS seconds
     FROM visit LEFT JOIN run ON run.visit_id = visit.id
     WHERE vehicle_id = ?
     GROUP BY visit.id
     ORDER BY visit.started_s DESC, visit.id DESC`,
  );
  // With max() SQLite takes the other columns from the row that holds the maximum.
  const selectLoudest = db.prepare<[number], { visit_id: number; position: string; rms_m_s2: number }>(
    `SELECT visit.id AS visit_id, position, max(loudest_rms * full_scale_m_s2) AS rms_m_s2
     FROM visit JOIN run ON run.visit_id = visit.id JOIN run_channel ON run_channel.run_id = run.id
     WHERE vehicle_id = ? AND position IS NOT NULL AND loudest_rms * full_scale_m_s2 IS NOT NULL
     GROUP BY visit.id`,
  );

  /** @throws {GarageError} when there is no such vehicle */
  function get(vehicleId: number): Vehicle {
    const row = select.get(vehicleId);
    if (!row) throw new GarageError(message('error.notInGarage.vehicle'));
    return vehicleFrom(row);
  }

  return {
    get,

    search: search.vehicles,

    add(input: VehicleInput, createdAt = new Date().toISOString()): Vehicle {
      return durably(db, () => {
        const spec = JSON.stringify(input.spec);
        const { lastInsertRowid } = insert.run(
          input.plate,
          input.vin,
          input.ownerNote,
          spec,
          createdAt,
          createdAt,
        );
        search.index(Number(lastInsertRowid));
        return get(Number(lastInsertRowid));
      });
    },

    /** @throws {GarageError} when there is no such vehicle */
    change(vehicleId: number, input: VehicleInput): Vehicle {
      return durably(db, () => {
        update.run(input.plate, input.vin, input.ownerNote, JSON.stringify(input.spec), vehicleId);
        search.index(vehicleId);
        return get(vehicleId);
      });
    },

    /** The vehicle with its visits, newest first. */
    page(vehicleId: number): VehiclePage {
      const loudest = new Map(
        selectLoudest
          .all(vehicleId)
          .map((row) => [row.visit_id, { position: row.position, rms_m_s2: row.rms_m_s2 }] as const),
      );
      return {
        vehicle: get(vehicleId),
        visits: selectVisits.all(vehicleId).map((row) => ({
          id: row.id,
          startedAt: row.started_at,
          odometer_km: row.odometer_km,
          complaint: row.complaint,
          runs: row.runs,
          seconds: row.seconds,
          loudest: loudest.get(row.id) ?? null,
        })),
      };
    },
  };
}
export type Vehicles = ReturnType<typeof vehiclesOf>;
