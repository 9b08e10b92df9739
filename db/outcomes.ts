import type { Outcome, VisitOutcome } from '../shared/contract/returning-car.ts';
import { message } from '../shared/messages/message.ts';
import { type Database, durably } from './database.ts';
import { GarageError } from './error.ts';
import type { Search } from './search.ts';

interface OutcomeRecord {
  visit_id: number;
  started_at: string;
  done: Outcome['done'];
  source: Outcome['source'];
  note: string;
  next_check_on: string | null;
  next_check_km: number | null;
}

/** The check that a vehicle's last outcome asks for, with what an estimate of its day needs. */
export interface AwaitedCheck extends VisitOutcome {
  readonly vehicleId: number;
  readonly label: string;
  readonly plate: string;
  /** The vehicle's last readings of the odometer, oldest first. */
  readonly readings: readonly { readonly at_s: number; readonly odometer_km: number }[];
}

/** How a car is driven now is told by its last visits. */
const READINGS = 6;

const outcomeFrom = (row: OutcomeRecord): VisitOutcome => ({
  visitId: row.visit_id,
  startedAt: row.started_at,
  done: row.done,
  source: row.source,
  note: row.note,
  nextCheckOn: row.next_check_on,
  nextCheckAt_km: row.next_check_km,
});

const COLUMNS = 'visit_id, started_at, done, source, note, next_check_on, next_check_km';

/** What was done at a visit, and when to look again. */
export function outcomesOf(db: Database, search: Search) {
  const selectVisit = db.prepare<[number], { vehicle_id: number }>(
    'SELECT vehicle_id FROM visit WHERE id = ?',
  );
  const forget = db.prepare<[number]>('DELETE FROM visit_outcome WHERE visit_id = ?');
  const insert = db.prepare<[number, string, string | null, string, string | null, number | null]>(
    `INSERT INTO visit_outcome (visit_id, done, source, note, next_check_on, next_check_km)
     VALUES (?, ?, ?, ?, ?, ?)`,
  );
  const selectOfVehicle = db.prepare<[number], OutcomeRecord>(
    `SELECT ${COLUMNS} FROM visit JOIN visit_outcome ON visit_id = visit.id
     WHERE vehicle_id = ? ORDER BY started_s DESC, visit.id DESC`,
  );
  // A later visit with an outcome of its own settles the check; one without leaves it open.
  const selectAwaited = db.prepare<[], OutcomeRecord & { vehicle_id: number; label: string; plate: string }>(
    `SELECT ${COLUMNS}, vehicle_id, label, plate
     FROM visit_outcome JOIN visit ON visit.id = visit_id JOIN vehicle ON vehicle.id = vehicle_id
     WHERE (next_check_on IS NOT NULL OR next_check_km IS NOT NULL) AND NOT EXISTS (
       SELECT 1 FROM visit AS later JOIN visit_outcome AS settled ON settled.visit_id = later.id
       WHERE later.vehicle_id = visit.vehicle_id
         AND (later.started_s, later.id) > (visit.started_s, visit.id))`,
  );
  const selectReadings = db.prepare<[number], { at_s: number; odometer_km: number }>(
    `SELECT at_s, odometer_km FROM (
       SELECT started_s AS at_s, odometer_km FROM visit
       WHERE vehicle_id = ? AND odometer_km IS NOT NULL ORDER BY started_s DESC LIMIT ${READINGS})
     ORDER BY at_s`,
  );

  return {
    /**
     * @param outcome null takes it back
     * @throws {GarageError} when there is no such visit
     */
    set(visitId: number, outcome: Outcome | null): void {
      durably(db, () => {
        const visit = selectVisit.get(visitId);
        if (!visit) throw new GarageError(message('error.notInGarage.visit'));
        forget.run(visitId);
        if (outcome) {
          const { done, source, note, nextCheckOn, nextCheckAt_km } = outcome;
          insert.run(visitId, done, source, note, nextCheckOn, nextCheckAt_km);
        }
        search.index(visit.vehicle_id);
      });
    },

    /** Newest visit first. */
    ofVehicle: (vehicleId: number): VisitOutcome[] => selectOfVehicle.all(vehicleId).map(outcomeFrom),

    /** The check that each vehicle's last outcome asks for. */
    awaited: (): AwaitedCheck[] =>
      selectAwaited.all().map((row) => ({
        ...outcomeFrom(row),
        vehicleId: row.vehicle_id,
        label: row.label,
        plate: row.plate,
        readings: selectReadings.all(row.vehicle_id),
      })),
  };
}
export type Outcomes = ReturnType<typeof outcomesOf>;
