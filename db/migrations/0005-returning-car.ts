/**
 * What a visit leaves for the next one besides its measures: what was done and when to look again, the levels at which
 * the shop wants to act, and spectra over order that can still be laid over one another when the recordings are gone.
 * The index of words is made anew, because an FTS5 table cannot be given another column.
 */
export default `
CREATE TABLE visit_outcome (
  visit_id      INTEGER PRIMARY KEY REFERENCES visit,
  done          TEXT NOT NULL CHECK (done IN ('repaired', 'serviced', 'watched', 'nothing')),
  -- The part that it was about, as the list of sources names it.
  source        TEXT,
  note          TEXT NOT NULL,
  next_check_on TEXT CHECK (next_check_on IS date(next_check_on)),
  next_check_km REAL CHECK (next_check_km >= 0)
) STRICT;
CREATE INDEX visit_outcome_to_check ON visit_outcome (visit_id)
  WHERE next_check_on IS NOT NULL OR next_check_km IS NOT NULL;

-- The level of one series of measures (its key) at which the shop acts on this vehicle, in the measure's unit.
CREATE TABLE wear_limit (
  vehicle_id INTEGER NOT NULL REFERENCES vehicle,
  series     TEXT NOT NULL,
  level      REAL NOT NULL,
  PRIMARY KEY (vehicle_id, series)
) STRICT, WITHOUT ROWID;

-- A run that was measured, even when nothing in it could be, and the version of the computation.
CREATE TABLE run_measured (
  run_id INTEGER PRIMARY KEY REFERENCES run,
  method TEXT NOT NULL
) STRICT;

-- Over the turns of a wheel: little-endian float32, RMS as a ratio of full scale, bin k at order k * step.
CREATE TABLE order_spectrum (
  run_id    INTEGER NOT NULL,
  channel   INTEGER NOT NULL,
  state     TEXT NOT NULL,
  low_km_h  REAL NOT NULL CHECK (low_km_h >= 0),
  high_km_h REAL NOT NULL CHECK (high_km_h >= low_km_h),
  step      REAL NOT NULL CHECK (step > 0),
  rms       BLOB NOT NULL,
  UNIQUE (run_id, channel, state, low_km_h, high_km_h),
  FOREIGN KEY (run_id, channel) REFERENCES run_channel (run_id, channel)
) STRICT;

DROP TABLE vehicle_text;
CREATE VIRTUAL TABLE vehicle_text USING fts5 (
  identity, owner_note, complaints, work,
  content = '', contentless_delete = 1, detail = none,
  tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3'
);
INSERT INTO vehicle_text (rowid, identity, owner_note, complaints, work)
SELECT vehicle.id, identity, owner_note, coalesce(group_concat(complaint, char(10)), ''), ''
FROM vehicle LEFT JOIN visit ON visit.vehicle_id = vehicle.id
GROUP BY vehicle.id;
`;
