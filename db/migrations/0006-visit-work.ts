/**
 * The work around the measurement. A form is the contract's JSON as it was saved; a draft is whatever stands in it
 * at this moment, so that closing the program loses nothing that was typed.
 */
export default `
CREATE TABLE visit_work (
  visit_id    INTEGER PRIMARY KEY REFERENCES visit,
  step        TEXT NOT NULL,
  -- JSON list of the steps that were skipped.
  skipped     TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(skipped)),
  changed_at  TEXT NOT NULL,
  finished_at TEXT
) STRICT;
CREATE INDEX visit_work_unfinished ON visit_work (changed_at) WHERE finished_at IS NULL;

CREATE TABLE visit_form (
  visit_id INTEGER NOT NULL REFERENCES visit,
  form     TEXT NOT NULL,
  content  TEXT NOT NULL CHECK (json_valid(content)),
  saved_at TEXT NOT NULL,
  PRIMARY KEY (visit_id, form)
) STRICT, WITHOUT ROWID;

-- The settings' draft belongs to no visit.
CREATE TABLE draft (
  id       INTEGER PRIMARY KEY,
  visit_id INTEGER REFERENCES visit,
  form     TEXT NOT NULL,
  content  TEXT NOT NULL CHECK (json_valid(content))
) STRICT;
CREATE UNIQUE INDEX draft_of_form ON draft (coalesce(visit_id, 0), form);

-- What a check of the rigging has shown.
CREATE TABLE rigging_check (
  id       INTEGER PRIMARY KEY,
  visit_id INTEGER NOT NULL REFERENCES visit,
  at       TEXT NOT NULL,
  result   TEXT NOT NULL CHECK (json_valid(result))
) STRICT;
CREATE INDEX rigging_check_by_visit ON rigging_check (visit_id, id);

-- Photos of a visit and the shop's logo; the file lies in the data folder's attachments.
CREATE TABLE attachment (
  id         INTEGER PRIMARY KEY,
  visit_id   INTEGER REFERENCES visit,
  name       TEXT NOT NULL,
  media_type TEXT NOT NULL,
  file       TEXT NOT NULL UNIQUE,
  bytes      INTEGER NOT NULL CHECK (bytes > 0),
  sha256     TEXT NOT NULL,
  added_at   TEXT NOT NULL
) STRICT;
CREATE INDEX attachment_by_visit ON attachment (visit_id);
`;
