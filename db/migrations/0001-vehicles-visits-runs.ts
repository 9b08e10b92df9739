/**
 * `spec` and `definition` hold the contract's JSON, unknown keys included; what SQL must read out of it is a
 * generated column. `started_s` orders times that were written with different offsets from UTC.
 *
 * Nothing cascades: a vehicle with visits, or a visit with runs, cannot be deleted by accident.
 */
export default `
CREATE TABLE vehicle (
  id          INTEGER PRIMARY KEY,
  plate       TEXT NOT NULL,
  vin         TEXT,
  owner_note  TEXT NOT NULL,
  spec        TEXT NOT NULL CHECK (json_valid(spec)),
  label       TEXT GENERATED ALWAYS AS (json_extract(spec, '$.label')) STORED,
  created_at  TEXT NOT NULL,
  recency_s   INTEGER NOT NULL
) STRICT;
CREATE INDEX vehicle_by_recency ON vehicle (recency_s);

CREATE TABLE visit (
  id          INTEGER PRIMARY KEY,
  vehicle_id  INTEGER NOT NULL REFERENCES vehicle,
  started_at  TEXT NOT NULL,
  started_s   INTEGER NOT NULL GENERATED ALWAYS AS (unixepoch(started_at)) STORED,
  odometer_km REAL CHECK (odometer_km >= 0),
  complaint   TEXT NOT NULL
) STRICT;
CREATE INDEX visit_by_vehicle ON visit (vehicle_id, started_s);

CREATE TRIGGER visit_makes_vehicle_recent AFTER INSERT ON visit BEGIN
  UPDATE vehicle SET recency_s = max(recency_s, NEW.started_s) WHERE id = NEW.vehicle_id;
END;

CREATE TABLE run (
  id             INTEGER PRIMARY KEY,
  visit_id       INTEGER NOT NULL REFERENCES visit,
  started_at     TEXT NOT NULL,
  file           TEXT NOT NULL UNIQUE,
  sample_rate_Hz REAL NOT NULL CHECK (sample_rate_Hz > 0),
  frames         INTEGER NOT NULL DEFAULT 0 CHECK (frames >= 0),
  state          TEXT NOT NULL DEFAULT 'recording' CHECK (state IN ('recording', 'complete', 'repaired'))
) STRICT;
CREATE INDEX run_by_visit ON run (visit_id);
CREATE INDEX run_unfinished ON run (id) WHERE state = 'recording';

-- The placement: which channel's pickup sat where, in the order of the contract's list.
CREATE TABLE run_channel (
  run_id          INTEGER NOT NULL REFERENCES run,
  ordinal         INTEGER NOT NULL,
  definition      TEXT NOT NULL CHECK (json_valid(definition)),
  channel         INTEGER NOT NULL GENERATED ALWAYS AS (json_extract(definition, '$.channel')) STORED,
  position        TEXT GENERATED ALWAYS AS (json_extract(definition, '$.position')) STORED,
  pickup          TEXT GENERATED ALWAYS AS (CAST(json_extract(definition, '$.pickup') AS TEXT)) STORED,
  full_scale_m_s2 REAL GENERATED ALWAYS AS (json_extract(definition, '$.fullScale_m_s2')) STORED,
  -- Loudest second, ratio of full scale; known when the run is finished.
  loudest_rms     REAL,
  PRIMARY KEY (run_id, ordinal),
  UNIQUE (run_id, channel)
) STRICT, WITHOUT ROWID;

CREATE TABLE run_order_line (
  run_id  INTEGER NOT NULL REFERENCES run,
  ordinal INTEGER NOT NULL,
  part    TEXT NOT NULL,
  label   TEXT NOT NULL,
  shaft   TEXT NOT NULL,
  "order" REAL NOT NULL CHECK ("order" > 0),
  PRIMARY KEY (run_id, ordinal)
) STRICT, WITHOUT ROWID;

CREATE TABLE run_segment (
  id         INTEGER PRIMARY KEY,
  run_id     INTEGER NOT NULL REFERENCES run,
  definition TEXT NOT NULL CHECK (json_valid(definition)),
  from_s     REAL NOT NULL GENERATED ALWAYS AS (json_extract(definition, '$.from_s')) STORED
) STRICT;
CREATE INDEX run_segment_by_run ON run_segment (run_id, from_s);

CREATE TABLE run_mark (
  id     INTEGER PRIMARY KEY,
  run_id INTEGER NOT NULL REFERENCES run,
  at_s   REAL NOT NULL CHECK (at_s >= 0),
  text   TEXT NOT NULL
) STRICT;
CREATE INDEX run_mark_by_run ON run_mark (run_id, at_s);

CREATE TABLE run_gap (
  run_id      INTEGER NOT NULL REFERENCES run,
  first_frame INTEGER NOT NULL CHECK (first_frame >= 0),
  frames      INTEGER NOT NULL CHECK (frames > 0),
  PRIMARY KEY (run_id, first_frame)
) STRICT, WITHOUT ROWID;

-- Speed as it was told, late and quantised, between the per-second rows.
CREATE TABLE run_speed (
  run_id INTEGER NOT NULL REFERENCES run,
  t_s    REAL NOT NULL,
  v_km_h REAL NOT NULL CHECK (v_km_h >= 0),
  PRIMARY KEY (run_id, t_s)
) STRICT, WITHOUT ROWID;

-- One row per recorded second. The BLOBs are little-endian float32, ratios of full scale: rms and peak one value
-- per channel, orders channel-major, one value per channel and order line, NaN where the rate was unknown. A
-- second of 8 channels and 12 lines takes 448 bytes that are only ever read as a whole.
CREATE TABLE run_second (
  run_id     INTEGER NOT NULL REFERENCES run,
  second     INTEGER NOT NULL CHECK (second >= 0),
  speed_km_h REAL,
  rms        BLOB NOT NULL,
  peak       BLOB NOT NULL,
  orders     BLOB NOT NULL,
  PRIMARY KEY (run_id, second)
) STRICT;

CREATE TABLE setting (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL CHECK (json_valid(value))
) STRICT, WITHOUT ROWID;
`;
