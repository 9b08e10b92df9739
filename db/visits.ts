import type { Visit, VisitInput } from '../shared/contract/garage.ts';
import { message } from '../shared/messages/message.ts';
import { type Database, durably } from './database.ts';
import { GarageError } from './error.ts';
import type { Runs } from './runs.ts';
import type { Search } from './search.ts';

interface VisitRecord {
  id: number;
  vehicle_id: number;
  started_at: string;
  odometer_km: number | null;
  complaint: string;
}

export function visitsOf(db: Database, search: Search, runs: Runs) {
  const selectVehicle = db.prepare<[number], { id: number }>('SELECT id FROM vehicle WHERE id = ?');
  const insert = db.prepare<[number, string, number | null, string]>(
    'INSERT INTO visit (vehicle_id, started_at, odometer_km, complaint) VALUES (?, ?, ?, ?)',
  );
  const select = db.prepare<[number], VisitRecord>(
    'SELECT id, vehicle_id, started_at, odometer_km, complaint FROM visit WHERE id = ?',
  );

  /** @throws {GarageError} when there is no such visit */
  function get(visitId: number): Visit {
    const row = select.get(visitId);
    if (!row) throw new GarageError(message('error.notInGarage.visit'));
    return {
      id: row.id,
      vehicleId: row.vehicle_id,
      startedAt: row.started_at,
      odometer_km: row.odometer_km,
      complaint: row.complaint,
      runs: runs.ofVisit(visitId),
    };
  }

  return {
    get,

    /** @throws {GarageError} when there is no such vehicle */
    start(input: VisitInput): Visit {
      return durably(db, () => {
        if (!selectVehicle.get(input.vehicleId)) throw new GarageError(message('error.notInGarage.vehicle'));
        const { lastInsertRowid } = insert.run(
          input.vehicleId,
          input.startedAt,
          input.odometer_km,
          input.complaint,
        );
        search.index(input.vehicleId);
        return get(Number(lastInsertRowid));
      });
    },
  };
}
export type Visits = ReturnType<typeof visitsOf>;
