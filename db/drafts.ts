import type { Form } from '../shared/contract/visit-work.ts';
import type { Database } from './database.ts';

/** What stands in a form that was not saved yet, right or wrong. */
export function draftsOf(db: Database) {
  const upsert = db.prepare<[number | null, string, string]>(
    `INSERT INTO draft (visit_id, form, content) VALUES (?, ?, ?)
     ON CONFLICT (coalesce(visit_id, 0), form) DO UPDATE SET content = excluded.content`,
  );
  const remove = db.prepare<[number | null, string]>('DELETE FROM draft WHERE visit_id IS ? AND form = ?');
  const select = db.prepare<[number | null, string], { content: string }>(
    'SELECT content FROM draft WHERE visit_id IS ? AND form = ?',
  );
  const selectOfVisit = db.prepare<[number], { form: Form; content: string }>(
    'SELECT form, content FROM draft WHERE visit_id = ?',
  );
  return {
    /**
     * As often as somebody types: it survives the program's end at once, a power cut but for the last moments.
     * @param visitId null for the settings
     */
    save(visitId: number | null, form: Form, content: unknown): void {
      upsert.run(visitId, form, JSON.stringify(content));
    },
    clear(visitId: number | null, form: Form): void {
      remove.run(visitId, form);
    },
    /** The JSON value that was kept, or null. */
    get(visitId: number | null, form: Form): unknown {
      const row = select.get(visitId, form);
      return row ? JSON.parse(row.content) : null;
    },
    ofVisit: (visitId: number): Partial<Record<Form, unknown>> =>
      Object.fromEntries(selectOfVisit.all(visitId).map((row) => [row.form, JSON.parse(row.content)])),
  };
}
export type Drafts = ReturnType<typeof draftsOf>;
