/**
 * One document per vehicle, so that a word of the owner's note and one of a complaint find it together. Trigrams
 * find any part of a word, such as the end of a VIN (sqlite.org/fts5.html#the_trigram_tokenizer); the text itself
 * stays in its own tables. `identity` also holds the plate as one word, the way it is often typed.
 */
export default `
ALTER TABLE vehicle ADD COLUMN identity TEXT GENERATED ALWAYS AS (
  lower(plate || ' ' || replace(replace(plate, ' ', ''), '-', '') || ' ' || coalesce(vin, '') || ' ' || label)
) VIRTUAL;

CREATE VIRTUAL TABLE vehicle_text USING fts5 (
  identity, owner_note, complaints,
  content = '', contentless_delete = 1, tokenize = 'trigram remove_diacritics 1'
);

INSERT INTO vehicle_text (rowid, identity, owner_note, complaints)
SELECT vehicle.id, identity, owner_note, coalesce(group_concat(complaint, char(10)), '')
FROM vehicle LEFT JOIN visit ON visit.vehicle_id = vehicle.id
GROUP BY vehicle.id;
`;
