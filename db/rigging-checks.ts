import { type CheckResult, CheckResultSchema, type KeptCheck } from '../shared/contract/visit-work.ts';
import { type Database, durably } from './database.ts';

/** What the checks of the rigging have shown, as they were made. */
export function riggingChecksOf(db: Database) {
  const insert = db.prepare<[number, string, string]>(
    'INSERT INTO rigging_check (visit_id, at, result) VALUES (?, ?, ?)',
  );
  const select = db.prepare<[number], { id: number; at: string; result: string }>(
    'SELECT id, at, result FROM rigging_check WHERE visit_id = ? ORDER BY id DESC',
  );
  return {
    add(visitId: number, at: string, result: CheckResult): void {
      durably(db, () => insert.run(visitId, at, JSON.stringify(result)));
    },
    /** Newest first; those that an older version of the program wrote in another form are left out. */
    ofVisit: (visitId: number): KeptCheck[] =>
      select.all(visitId).flatMap((row) => {
        const { data } = CheckResultSchema.safeParse(JSON.parse(row.result));
        return data ? [{ id: row.id, at: row.at, result: data }] : [];
      }),
  };
}
export type RiggingChecks = ReturnType<typeof riggingChecksOf>;
