/**
 * What a visit leaves to compare with the next one. The position, the pickup and its sensitivity are those of the
 * run's channel, which nothing changes after the drive; the recording may be deleted, its run and measures stay.
 */
export default `
-- What is measured and how: a figure from another method, or in another unit, is not comparable.
CREATE TABLE measurand (
  id     INTEGER PRIMARY KEY,
  kind   TEXT NOT NULL CHECK (kind IN ('orderLevel', 'envelopeProminence', 'bandLevel')),
  part   TEXT NOT NULL,
  label  TEXT NOT NULL,
  unit   TEXT NOT NULL,
  method TEXT NOT NULL,
  UNIQUE (kind, part, label, unit, method)
) STRICT;

CREATE TABLE measure (
  run_id       INTEGER NOT NULL,
  channel      INTEGER NOT NULL,
  measurand_id INTEGER NOT NULL REFERENCES measurand,
  state        TEXT NOT NULL,
  low_km_h     REAL NOT NULL CHECK (low_km_h >= 0),
  high_km_h    REAL NOT NULL CHECK (high_km_h >= low_km_h),
  value        REAL NOT NULL,
  -- Standard deviation over the run's repeats, in the value's unit; unknown from a single one.
  spread       REAL CHECK (spread >= 0),
  repeats      INTEGER NOT NULL CHECK (repeats >= 1),
  PRIMARY KEY (run_id, channel, measurand_id, state, low_km_h, high_km_h),
  FOREIGN KEY (run_id, channel) REFERENCES run_channel (run_id, channel)
) STRICT, WITHOUT ROWID;
`;
