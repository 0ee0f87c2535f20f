-- +goose Up
-- The calm at slack water, in which boats that lie in unison point every way, is left out where an area says so.
ALTER TABLE area ADD COLUMN calm_off INTEGER NOT NULL DEFAULT 0;
