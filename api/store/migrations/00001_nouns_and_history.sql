-- +goose Up
-- Units are in the names: _m metres, _kg kilograms, lat and lon degrees on WGS 84. A value that is not on record is NULL.

-- Large things are kept once, under the hash of their bytes, so that history can name them without repeating them.
CREATE TABLE document (
  sha256 TEXT PRIMARY KEY,
  bytes  BLOB NOT NULL -- compressed with zstd
) STRICT;

CREATE TABLE harbor (
  id         INTEGER PRIMARY KEY,
  slug       TEXT NOT NULL UNIQUE,
  name       TEXT NOT NULL,
  units      TEXT NOT NULL,
  datum      TEXT, -- the three of them NULL: levels unknown
  low_m      REAL,
  high_m     REAL,
  defaults   TEXT NOT NULL, -- JSON of geo.Defaults
  background TEXT,          -- JSON of geo.Background
  shoreline  TEXT REFERENCES document (sha256),
  soundings  TEXT REFERENCES document (sha256),
  revision   INTEGER NOT NULL,
  changed_ms INTEGER NOT NULL -- Unix time
) STRICT;

CREATE TABLE area (
  harbor_id          INTEGER NOT NULL REFERENCES harbor (id) ON DELETE CASCADE,
  name               TEXT NOT NULL,
  ordinal            INTEGER NOT NULL, -- its place in the harbor's list
  shape              BLOB NOT NULL,    -- WKB MultiPolygon, lon lat
  rule               TEXT NOT NULL,
  scope              REAL NOT NULL,
  formula_loa        REAL NOT NULL,
  formula_depth      REAL NOT NULL,
  formula_constant_m REAL NOT NULL,
  margin_m           REAL NOT NULL,
  keel_margin_m      REAL NOT NULL,
  largest_loa_m      REAL,
  largest_draft_m    REAL,
  lying              TEXT NOT NULL,
  PRIMARY KEY (harbor_id, name)
) STRICT;

CREATE TABLE keep_out (
  harbor_id INTEGER NOT NULL REFERENCES harbor (id) ON DELETE CASCADE,
  ordinal   INTEGER NOT NULL,
  name      TEXT NOT NULL,
  kind      TEXT NOT NULL,
  reason    TEXT NOT NULL,
  setback_m REAL NOT NULL,
  shape     BLOB NOT NULL,
  PRIMARY KEY (harbor_id, ordinal)
) STRICT;

CREATE TABLE mooring (
  id              INTEGER PRIMARY KEY,
  harbor_id       INTEGER NOT NULL REFERENCES harbor (id) ON DELETE CASCADE,
  number          TEXT NOT NULL,
  area            TEXT NOT NULL,
  status          TEXT NOT NULL,
  lat             REAL NOT NULL,
  lon             REAL NOT NULL,
  accuracy_m      REAL,
  depth_m         REAL,
  radius_m        REAL,
  largest_loa_m   REAL,
  largest_draft_m REAL,
  note            TEXT NOT NULL,
  UNIQUE (harbor_id, number)
) STRICT;

CREATE TABLE boat (
  mooring_id   INTEGER PRIMARY KEY REFERENCES mooring (id) ON DELETE CASCADE,
  name         TEXT NOT NULL,
  kind         TEXT NOT NULL,
  loa_m        REAL,
  length_all_m REAL,
  beam_m       REAL,
  draft_m      REAL,
  bow_height_m REAL,
  owner        TEXT NOT NULL
) STRICT;

CREATE TABLE tackle_part (
  mooring_id INTEGER NOT NULL REFERENCES mooring (id) ON DELETE CASCADE,
  ordinal    INTEGER NOT NULL, -- from the anchor up
  kind       TEXT NOT NULL,
  length_m   REAL,
  size_m     REAL,
  weight_kg  REAL,
  material   TEXT NOT NULL,
  PRIMARY KEY (mooring_id, ordinal)
) STRICT;

-- Every change is a row here: nothing is overwritten. before is NULL for what is new, after for what is removed.
CREATE TABLE history (
  id        INTEGER PRIMARY KEY AUTOINCREMENT,
  harbor_id INTEGER NOT NULL REFERENCES harbor (id),
  revision  INTEGER NOT NULL,
  at_ms     INTEGER NOT NULL, -- Unix time
  who       TEXT NOT NULL,
  why       TEXT NOT NULL,
  noun      TEXT NOT NULL,
  name      TEXT NOT NULL,
  before    TEXT,
  after     TEXT
) STRICT;

-- With the time in it a reading as of a time finds the last rows in the index alone.
CREATE INDEX history_of_a_noun ON history (harbor_id, noun, name, at_ms);
CREATE INDEX history_by_time ON history (harbor_id, at_ms);
