/** Keys of an imported bundle that this program does not know: kept, and written again when it is exported. */
export default `
CREATE TABLE bundle_keys (
  visit_id INTEGER NOT NULL REFERENCES visit,
  -- NULL for the keys at the top of visit.json.
  run_id   INTEGER REFERENCES run,
  keys     TEXT NOT NULL CHECK (json_valid(keys))
) STRICT;
CREATE INDEX bundle_keys_by_visit ON bundle_keys (visit_id);
`;
