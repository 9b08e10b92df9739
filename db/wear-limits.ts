import { type Database, durably } from './database.ts';

/** The levels at which the shop acts on a vehicle, by the key of the series that they belong to. */
export function wearLimitsOf(db: Database) {
  const upsert = db.prepare<[number, string, number]>(
    `INSERT INTO wear_limit (vehicle_id, series, level) VALUES (?, ?, ?)
     ON CONFLICT (vehicle_id, series) DO UPDATE SET level = excluded.level`,
  );
  const forget = db.prepare<[number, string]>('DELETE FROM wear_limit WHERE vehicle_id = ? AND series = ?');
  const select = db.prepare<[number, string], { level: number }>(
    'SELECT level FROM wear_limit WHERE vehicle_id = ? AND series = ?',
  );
  return {
    /** @param level in the unit of the series' measures; null takes the limit away */
    set(vehicleId: number, series: string, level: number | null): void {
      durably(db, () =>
        level === null ? forget.run(vehicleId, series) : upsert.run(vehicleId, series, level),
      );
    },
    of: (vehicleId: number, series: string): number | null => select.get(vehicleId, series)?.level ?? null,
  };
}
export type WearLimits = ReturnType<typeof wearLimitsOf>;
