-- +goose Up
ALTER TABLE harbor ADD COLUMN waiting TEXT; -- JSON list of geo.Waiting; NULL: nobody waits
