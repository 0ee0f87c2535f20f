-- +goose Up
ALTER TABLE mooring ADD COLUMN smallest_loa_m REAL; -- set for the place: a shorter boat wastes it; NULL: none is
