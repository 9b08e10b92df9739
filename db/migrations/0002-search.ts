/**
 * One document per vehicle, so that a word of the owner's note and one of a complaint find it together. Words are
 * found by their beginning (sqlite.org/fts5.html#prefix_indexes); only which words a vehicle has is kept, the text
 * stays in its own tables. `identity` is searched for any part, such as the end of a VIN, and also holds the plate
 * as one word, the way it is often typed; its index alone answers, newest vehicles first.
 */
export default `
ALTER TABLE vehicle ADD COLUMN identity TEXT GENERATED ALWAYS AS (
  lower(plate || ' ' || replace(replace(plate, ' ', ''), '-', '') || ' ' || coalesce(vin, '') || ' ' || label)
) VIRTUAL;
DROP INDEX vehicle_by_recency;
CREATE INDEX vehicle_by_recency ON vehicle (recency_s, identity);

CREATE VIRTUAL TABLE vehicle_text USING fts5 (
  identity, owner_note, complaints,
  content = '', contentless_delete = 1, detail = none,
  tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3'
);

INSERT INTO vehicle_text (rowid, identity, owner_note, complaints)
SELECT vehicle.id, identity, owner_note, coalesce(group_concat(complaint, char(10)), '')
FROM vehicle LEFT JOIN visit ON visit.vehicle_id = vehicle.id
GROUP BY vehicle.id;
`;
