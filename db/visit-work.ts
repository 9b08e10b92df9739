import type { z } from 'zod';
import type { Form, ShopHistory } from '../shared/contract/visit-work.ts';
import type { Source } from '../shared/driveline/words.ts';
import { message } from '../shared/messages/message.ts';
import { STEPS, type Step } from '../shared/visit-work/steps.ts';
import { type Database, durably } from './database.ts';
import { GarageError } from './error.ts';

/** Where the work on a visit stands. */
export interface WorkPlace {
  readonly step: Step;
  readonly skipped: readonly Step[];
  readonly changedAt: string;
  readonly finishedAt: string | null;
}

/** Who has more unfinished visits than this looks for them under their vehicles. */
const MOST_SHOWN = 50;

interface WorkRecord {
  visit_id: number;
  step: string;
  skipped: string;
  changed_at: string;
  finished_at: string | null;
}

const isStep = (word: unknown): word is Step => (STEPS as readonly unknown[]).includes(word);

const placeFrom = (row: WorkRecord): WorkPlace => ({
  step: isStep(row.step) ? row.step : 'intake',
  skipped: (JSON.parse(row.skipped) as unknown[]).filter(isStep),
  changedAt: row.changed_at,
  finishedAt: row.finished_at,
});

/** The forms of a visit and where the work on it stands. */
export function visitWorkOf(db: Database) {
  const selectVisit = db.prepare<[number], { started_at: string }>(
    'SELECT started_at FROM visit WHERE id = ?',
  );
  const select = db.prepare<[number], WorkRecord>('SELECT * FROM visit_work WHERE visit_id = ?');
  const upsert = db.prepare<[number, string, string, string, string | null]>(
    `INSERT INTO visit_work (visit_id, step, skipped, changed_at, finished_at) VALUES (?, ?, ?, ?, ?)
     ON CONFLICT (visit_id) DO UPDATE SET step = excluded.step, skipped = excluded.skipped,
       changed_at = excluded.changed_at, finished_at = excluded.finished_at`,
  );
  const selectUnfinished = db.prepare<[], WorkRecord>(
    `SELECT * FROM visit_work WHERE finished_at IS NULL ORDER BY changed_at DESC, visit_id DESC LIMIT ${MOST_SHOWN}`,
  );
  const selectForm = db.prepare<[number, string], { content: string }>(
    'SELECT content FROM visit_form WHERE visit_id = ? AND form = ?',
  );
  const selectForms = db.prepare<[number], { form: string }>(
    'SELECT form FROM visit_form WHERE visit_id = ?',
  );
  const upsertForm = db.prepare<[number, string, string, string]>(
    `INSERT INTO visit_form (visit_id, form, content, saved_at) VALUES (?, ?, ?, ?)
     ON CONFLICT (visit_id, form) DO UPDATE SET content = excluded.content, saved_at = excluded.saved_at`,
  );
  const updateVisit = db.prepare<[string, number | null, number]>(
    'UPDATE visit SET complaint = ?, odometer_km = ? WHERE id = ?',
  );
  // A decision counts once its end is known: repaired within the horizon, or seen beyond it without.
  const selectHistory = db.prepare<[{ source: string; horizon_km: number }], ShopHistory>(
    `WITH decided AS (
       SELECT visit.id, vehicle_id, started_s, odometer_km, source
       FROM visit_outcome JOIN visit ON visit.id = visit_id
       WHERE done IN ('serviced', 'watched', 'nothing') AND odometer_km IS NOT NULL AND source LIKE :source
     ), ended AS (
       SELECT
         EXISTS (
           SELECT 1 FROM visit AS later JOIN visit_outcome AS o ON o.visit_id = later.id
           WHERE later.vehicle_id = decided.vehicle_id AND later.started_s > decided.started_s
             AND o.done = 'repaired' AND o.source = decided.source
             AND later.odometer_km <= decided.odometer_km + :horizon_km) AS repaired,
         EXISTS (
           SELECT 1 FROM visit AS later
           WHERE later.vehicle_id = decided.vehicle_id AND later.started_s > decided.started_s
             AND later.odometer_km >= decided.odometer_km + :horizon_km) AS passed
       FROM decided
     )
     SELECT count(*) AS known, coalesce(sum(repaired), 0) AS repaired FROM ended WHERE repaired OR passed`,
  );

  const now = (): string => new Date().toISOString();

  /** A visit that was imported, or recorded before anything was asked, stands at its intake. */
  function place(visitId: number): WorkPlace {
    const visit = selectVisit.get(visitId);
    if (!visit) throw new GarageError(message('error.notInGarage.visit'));
    const row = select.get(visitId);
    if (row) return placeFrom(row);
    return { step: 'intake', skipped: [], changedAt: visit.started_at, finishedAt: null };
  }

  function change(visitId: number, part: Partial<WorkPlace>): void {
    durably(db, () => {
      const { step, skipped, finishedAt } = { ...place(visitId), ...part };
      upsert.run(visitId, step, JSON.stringify(skipped), now(), finishedAt);
    });
  }

  return {
    /** @throws {GarageError} when there is no such visit */
    place,

    /** @throws {GarageError} when there is no such visit */
    change,

    /** Visits that are being worked on, the last touched first. */
    unfinished: (): (WorkPlace & { visitId: number })[] =>
      selectUnfinished.all().map((row) => ({ visitId: row.visit_id, ...placeFrom(row) })),

    /** The saved form, or null when it was never saved or no longer fits its schema. */
    form<S extends z.ZodType>(visitId: number, form: Form, schema: S): z.infer<S> | null {
      const row = selectForm.get(visitId, form);
      return row ? (schema.safeParse(JSON.parse(row.content)).data ?? null) : null;
    },

    savedForms: (visitId: number): string[] => selectForms.all(visitId).map((row) => row.form),

    /** @throws {GarageError} when there is no such visit */
    saveForm(visitId: number, form: Form | 'findings' | 'report', content: unknown): void {
      durably(db, () => {
        upsertForm.run(visitId, form, JSON.stringify(content), now());
        change(visitId, {});
      });
    },

    /** What the intake says of the visit itself; the caller indexes the vehicle anew. */
    describeVisit(visitId: number, complaint: string, odometer_km: number | null): void {
      updateVisit.run(complaint, odometer_km, visitId);
    },

    /** Earlier decisions not to replace a part of this kind, on either side and axle. */
    history: (source: Source, horizon_km: number): ShopHistory =>
      selectHistory.get({ source: `${source.replace(/-(front|rear)(-(left|right))?$/, '')}%`, horizon_km })!,
  };
}
export type VisitWorkTable = ReturnType<typeof visitWorkOf>;
