import type { VehicleRow } from '../shared/contract/garage.ts';
import type { Source } from '../shared/driveline/words.ts';
import { nameIn } from '../shared/messages/tell.ts';
import type { Database } from './database.ts';

/** As many rows as a person looks through; whoever wants another vehicle types one more letter. */
const MOST_ROWS = 50;
/** More words only make the query longer, not the answer better. */
const MOST_WORDS = 8;

/** What the index takes for a word: letters and digits with their accents. */
const WORD = /[\p{L}\p{N}][\p{L}\p{N}\p{M}]*/gu;

interface RowRecord {
  id: number;
  label: string;
  plate: string;
  owner_note: string;
  odometer_km: number | null;
  visits: number;
  last_visit_at: string | null;
  last_complaint: string | null;
}

/** Finds vehicles as their name is typed, and keeps the index that this needs. */
export function searchOf(db: Database) {
  const unindex = db.prepare<[number]>('DELETE FROM vehicle_text WHERE rowid = ?');
  const indexOne = db.prepare<[string, number]>(
    `INSERT INTO vehicle_text (rowid, identity, owner_note, complaints, work)
     SELECT id, identity, owner_note,
            coalesce((SELECT group_concat(complaint, char(10)) FROM visit WHERE vehicle_id = vehicle.id), ''), ?
     FROM vehicle WHERE id = ?`,
  );
  const selectWork = db.prepare<[number], { source: Source | null; note: string }>(
    `SELECT source, note FROM visit JOIN visit_outcome ON visit_id = visit.id WHERE vehicle_id = ?`,
  );
  const recent = db.prepare<[number], { id: number }>(
    'SELECT id FROM vehicle ORDER BY recency_s DESC, id DESC LIMIT ?',
  );
  const byIdentity = db.prepare<[string, number], { id: number }>(
    `SELECT id FROM vehicle WHERE instr(identity, lower(?)) > 0 ORDER BY recency_s DESC, id DESC LIMIT ?`,
  );
  const selectRow = db.prepare<[number], RowRecord>(
    `SELECT vehicle.id, label, plate, owner_note,
            coalesce(last.odometer_km, json_extract(spec, '$.odometer_km')) AS odometer_km,
            (SELECT count(*) FROM visit WHERE vehicle_id = vehicle.id) AS visits,
            last.started_at AS last_visit_at, last.complaint AS last_complaint
     FROM vehicle LEFT JOIN visit AS last ON last.id =
       (SELECT id FROM visit WHERE vehicle_id = vehicle.id ORDER BY started_s DESC, id DESC LIMIT 1)
     WHERE vehicle.id = ?`,
  );
  const byWords = db.prepare<[string, number], { id: number }>(
    `SELECT vehicle.id FROM vehicle_text JOIN vehicle ON vehicle.id = vehicle_text.rowid
     WHERE vehicle_text MATCH ? ORDER BY recency_s DESC, vehicle.id DESC LIMIT ?`,
  );

  function rowOf(vehicleId: number): VehicleRow {
    const row = selectRow.get(vehicleId)!;
    return {
      id: row.id,
      label: row.label,
      plate: row.plate,
      ownerNote: row.owner_note,
      odometer_km: row.odometer_km,
      visits: row.visits,
      lastVisitAt: row.last_visit_at,
      lastComplaint: row.last_complaint,
    };
  }

  function idsFor(typed: string): Iterable<number> {
    const text = typed.normalize('NFC');
    if (text.trim() === '') return recent.all(MOST_ROWS).map((row) => row.id);
    const found = new Set<number>();

    const asOneWord = text.replaceAll(/[\s\0-]+/g, '');
    if (asOneWord) for (const { id } of byIdentity.all(asOneWord, MOST_ROWS)) found.add(id);

    const words = text.match(WORD)?.slice(0, MOST_WORDS) ?? [];
    if (words.length > 0 && found.size < MOST_ROWS) {
      const query = words.map((word) => `"${word}"*`).join(' AND ');
      for (const { id } of byWords.all(query, MOST_ROWS)) found.add(id);
    }
    return [...found].slice(0, MOST_ROWS);
  }

  /** What was done and to which part, under the part's name and as the list of sources has it. */
  const workOf = (vehicleId: number): string =>
    selectWork
      .all(vehicleId)
      .map(({ source, note }) => (source ? `${source} ${nameIn('en', 'part', source)} ${note}` : note))
      .join('\n');

  return {
    /** To be called whenever a vehicle, a complaint or an outcome of it changes, in the same transaction. */
    index(vehicleId: number): void {
      unindex.run(vehicleId);
      indexOne.run(workOf(vehicleId), vehicleId);
    },

    /**
     * The vehicles whose plate, VIN or label holds all of `text` somewhere, then those that have a word beginning
     * with each of its words in there, in the owner's note, in a complaint or in what was done to which part; the
     * latest visits first. Without a
     * word, the latest vehicles.
     */
    vehicles: (text: string): VehicleRow[] => Array.from(idsFor(text), rowOf),
  };
}
export type Search = ReturnType<typeof searchOf>;
