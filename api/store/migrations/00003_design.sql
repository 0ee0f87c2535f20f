-- +goose Up
-- The weather for which an area is laid out: geo.Design. A figure that is not on record is NULL, and assumed where it is wanted.
ALTER TABLE area ADD COLUMN design_wind_ms REAL; -- mean speed, metres a second
ALTER TABLE area ADD COLUMN gust REAL;           -- gust over mean speed
ALTER TABLE area ADD COLUMN scatter_deg REAL;    -- headings at one moment, to either side
ALTER TABLE area ADD COLUMN stream_ms REAL;      -- at its strongest
ALTER TABLE area ADD COLUMN stream_deg REAL;     -- true direction towards which the flood sets
