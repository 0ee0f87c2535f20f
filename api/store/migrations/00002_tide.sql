-- +goose Up
ALTER TABLE harbor ADD COLUMN tide TEXT; -- JSON of geo.Tide; NULL: no constants on record
