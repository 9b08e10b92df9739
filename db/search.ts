import type { VehicleRow } from '../shared/contract/garage.ts';
import type { Database } from './database.ts';

/** As many rows as a person looks through; whoever wants another vehicle types one more letter. */
const MOST_ROWS = 100;
/** More words only make the query slower to write, not the answer better. */
const MOST_TERMS = 8;
/** The index holds runs of three characters; shorter words are looked for in the vehicles' own rows. */
const TRIGRAM = 3;

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

const length = (term: string) => [...term].length;
const phrase = (term: string) => `"${term.replaceAll('"', '""')}"`;

/** Finds vehicles as their name is typed, and keeps the index that this needs. */
export function searchOf(db: Database) {
  const unindex = db.prepare<[number]>('DELETE FROM vehicle_text WHERE rowid = ?');
  const indexOne = db.prepare<[number]>(
    `INSERT INTO vehicle_text (rowid, identity, owner_note, complaints)
     SELECT id, identity, owner_note,
            coalesce((SELECT group_concat(complaint, char(10)) FROM visit WHERE vehicle_id = vehicle.id), '')
     FROM vehicle WHERE id = ?`,
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

  const HAS = `instr(vehicle.identity || ' ' || lower(vehicle.owner_note), lower(?)) > 0`;
  const byCountOfShortTerms = (sql: (has: string[]) => string) =>
    Array.from({ length: MOST_TERMS + 1 }, (_, count) =>
      db.prepare<unknown[], { id: number }>(sql(Array(count).fill(HAS))),
    );
  const byWords = byCountOfShortTerms(
    (has) => `SELECT vehicle.id FROM vehicle_text JOIN vehicle ON vehicle.id = vehicle_text.rowid
              WHERE vehicle_text MATCH ?
              ORDER BY ${has.map((term) => `${term} DESC, `).join('')}recency_s DESC, vehicle.id DESC LIMIT ?`,
  );
  const byShortWords = byCountOfShortTerms(
    (has) => `SELECT vehicle.id FROM vehicle WHERE ${has.concat('true').join(' AND ')}
              ORDER BY recency_s DESC, vehicle.id DESC LIMIT ?`,
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

  function idsFor(text: string): Iterable<number> {
    const terms = text.normalize('NFC').replaceAll('\0', ' ').split(/\s+/).filter(Boolean);
    if (terms.length === 0) return recent.all(MOST_ROWS).map((row) => row.id);

    const asOneWord = terms.join('').replaceAll('-', '');
    const found = new Set<number>();
    if (asOneWord) for (const { id } of byIdentity.all(asOneWord, MOST_ROWS)) found.add(id);
    if (found.size >= MOST_ROWS) return found;

    const long = terms.slice(0, MOST_TERMS).filter((term) => length(term) >= TRIGRAM);
    const short = terms.slice(0, MOST_TERMS).filter((term) => length(term) < TRIGRAM);
    const rows = long.length
      ? byWords[short.length]!.all(long.map(phrase).join(' AND '), ...short, MOST_ROWS)
      : byShortWords[short.length]!.all(...short, MOST_ROWS);
    for (const { id } of rows) found.add(id);
    return [...found].slice(0, MOST_ROWS);
  }

  return {
    /** To be called whenever a vehicle or one of its complaints changes, in the same transaction. */
    index(vehicleId: number): void {
      unindex.run(vehicleId);
      indexOne.run(vehicleId);
    },

    /**
     * The vehicles that hold every word of `text`, anywhere in plate, VIN, label, owner's note or complaints;
     * first those whose plate, VIN or label holds all of it, then by the latest visit. A word of one or two
     * letters beside a longer one is probably still being typed: it does not exclude, it only puts vehicles first
     * whose plate, VIN, label or note has it. Without a word, the latest vehicles.
     */
    vehicles: (text: string): VehicleRow[] => Array.from(idsFor(text), rowOf),
  };
}
export type Search = ReturnType<typeof searchOf>;
