package store

import (
	"database/sql"

	"swingroom/geo"
	"swingroom/geo/record"
)

const boatColumns = "name, kind, loa_m, length_all_m, beam_m, draft_m, bow_height_m, owner"

// boatFields are what boatColumns hold, to be read or written.
func boatFields(b *geo.Boat) []any {
	return []any{&b.Name, &b.Kind, maybe[geo.Metres]{&b.LOA}, maybe[geo.Metres]{&b.LengthAll}, maybe[geo.Metres]{&b.Beam},
		maybe[geo.Metres]{&b.Draft}, maybe[geo.Metres]{&b.BowHeight}, &b.Owner}
}

func (by *mooringsByID) scanBoat(rows *sql.Rows) error {
	var id int64
	var b geo.Boat
	err := rows.Scan(append([]any{&id}, boatFields(&b)...)...)
	by.of(id).Boat = &b
	return err
}

const removeBoatSQL = "DELETE FROM boat WHERE mooring_id = ?"

var insertBoatSQL = "INSERT OR REPLACE INTO boat (mooring_id, " + boatColumns + ") VALUES (?, " + marks(boatColumns) + ")"

// writeBoat writes the boat of a mooring where another, or none, is on file.
func (w *writer) writeBoat(mooringID int64, b, was *geo.Boat) error {
	switch {
	case record.Equal(&b, &was):
		return nil
	case b == nil:
		return w.exec(removeBoatSQL, mooringID)
	}
	return w.exec(insertBoatSQL, append([]any{mooringID}, boatFields(b)...)...)
}
