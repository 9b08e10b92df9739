/**
 * What the last analysis of a visit gave, as the contract's JSON, with what it was made from: the runs in their order,
 * and a checksum over everything else that went in, so that findings that are out of date show it.
 */
export default `
CREATE TABLE visit_findings (
  visit_id    INTEGER PRIMARY KEY REFERENCES visit,
  analysed_at TEXT NOT NULL,
  -- JSON list of run ids; run k of the findings is entry k - 1.
  run_ids     TEXT NOT NULL CHECK (json_valid(run_ids)),
  made_from   TEXT NOT NULL,
  content     TEXT NOT NULL CHECK (json_valid(content))
) STRICT;
`;
