-- +goose Up
-- What was left of a part at its last inspection: the share of the wire's diameter where it is thinnest, of a rope the share of its strength. NULL: not on record.
ALTER TABLE tackle_part ADD COLUMN left_ratio REAL;
