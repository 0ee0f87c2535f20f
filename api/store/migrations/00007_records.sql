-- +goose Up
-- What has no figures that a query would ask for is kept as JSON by noun and name: owners, notes and those who wait.
CREATE TABLE entry (
  harbor_id INTEGER NOT NULL REFERENCES harbor (id) ON DELETE CASCADE,
  noun      TEXT NOT NULL,
  name      TEXT NOT NULL,
  body      TEXT NOT NULL, -- JSON of geo.Owner, geo.Note or geo.Waiting
  PRIMARY KEY (harbor_id, noun, name)
) STRICT;

ALTER TABLE harbor ADD COLUMN public TEXT;               -- JSON list of geo.Shown; NULL: nothing beyond the map
ALTER TABLE mooring ADD COLUMN permit_year INTEGER NOT NULL DEFAULT 0; -- 0: not on record
ALTER TABLE mooring ADD COLUMN permit_expires TEXT NOT NULL DEFAULT ''; -- dates as 2024-03-15, empty: not on record
ALTER TABLE tackle_part ADD COLUMN installed TEXT NOT NULL DEFAULT '';
ALTER TABLE tackle_part ADD COLUMN inspected TEXT NOT NULL DEFAULT '';

-- Those who wait were one field of the harbor; from now on each has a history of her own.
CREATE TEMP TABLE waits AS
  SELECT h.id AS harbor_id, h.revision, h.changed_ms, w.value AS body, json_extract(w.value, '$.name') AS name,
         row_number() OVER (PARTITION BY h.id, json_extract(w.value, '$.name') ORDER BY w.key) AS n
  FROM harbor h, json_each(h.waiting) w;
UPDATE waits SET name = name || ' (' || n || ')' WHERE n > 1;
INSERT INTO entry (harbor_id, noun, name, body) SELECT harbor_id, 'waiting', name, body FROM waits;
INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, before, after)
  SELECT harbor_id, revision, changed_ms, 'swingroom', 'each who waits is now kept by name', 'waiting', name, NULL, body FROM waits;
DROP TABLE waits;
ALTER TABLE harbor DROP COLUMN waiting;

-- The revision at which each thing was last changed comes from the index alone too.
DROP INDEX history_of_a_noun;
CREATE INDEX history_of_a_noun ON history (harbor_id, noun, name, at_ms, revision);
