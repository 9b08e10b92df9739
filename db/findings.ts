import { type Findings, FindingsSchema } from '../shared/diagnosis/findings.ts';
import { type Database, durably } from './database.ts';

/** The last analysis of a visit and what it was made from. */
export interface StoredFindings {
  readonly visitId: number;
  readonly analysedAt: string;
  /** Run k of the findings is entry k - 1. */
  readonly runIds: readonly number[];
  /** Checksum over all that went in beside the recordings. */
  readonly madeFrom: string;
  readonly findings: Findings;
}

interface FindingsRecord {
  visit_id: number;
  analysed_at: string;
  run_ids: string;
  made_from: string;
  content: string;
}

/** What the analysis has found, one result per visit: a newer one takes its place. */
export function findingsOf(db: Database) {
  const upsert = db.prepare<[number, string, string, string, string]>(
    `INSERT INTO visit_findings (visit_id, analysed_at, run_ids, made_from, content) VALUES (?, ?, ?, ?, ?)
     ON CONFLICT (visit_id) DO UPDATE SET analysed_at = excluded.analysed_at, run_ids = excluded.run_ids,
       made_from = excluded.made_from, content = excluded.content`,
  );
  const select = db.prepare<[number], FindingsRecord>('SELECT * FROM visit_findings WHERE visit_id = ?');

  return {
    /** In the place of what was found before. */
    keep({ visitId, analysedAt, runIds, madeFrom, findings }: StoredFindings): void {
      durably(db, () =>
        upsert.run(visitId, analysedAt, JSON.stringify(runIds), madeFrom, JSON.stringify(findings)),
      );
    },

    /** Null when the visit was never analysed, or by a version whose findings this one cannot show. */
    ofVisit(visitId: number): StoredFindings | null {
      const row = select.get(visitId);
      const findings = row && FindingsSchema.safeParse(JSON.parse(row.content)).data;
      if (!row || !findings) return null;
      return {
        visitId: row.visit_id,
        analysedAt: row.analysed_at,
        runIds: JSON.parse(row.run_ids) as number[],
        madeFrom: row.made_from,
        findings,
      };
    },
  };
}
export type FindingsTable = ReturnType<typeof findingsOf>;
