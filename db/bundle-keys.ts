import type { Database } from './database.ts';

type Keys = Readonly<Record<string, unknown>>;

/** What an imported bundle held beyond what this program knows. */
export function bundleKeysOf(db: Database) {
  const insert = db.prepare<[number, number | null, string]>(
    'INSERT INTO bundle_keys (visit_id, run_id, keys) VALUES (?, ?, ?)',
  );
  const select = db.prepare<[number, number | null], { keys: string }>(
    'SELECT keys FROM bundle_keys WHERE visit_id = ? AND run_id IS ?',
  );
  return {
    /** @param runId null for the keys at the top of visit.json */
    keep(visitId: number, runId: number | null, keys: Keys): void {
      if (Object.keys(keys).length > 0) insert.run(visitId, runId, JSON.stringify(keys));
    },
    of(visitId: number, runId: number | null): Keys {
      const row = select.get(visitId, runId);
      return row ? JSON.parse(row.keys) : {};
    },
  };
}
export type BundleKeys = ReturnType<typeof bundleKeysOf>;
