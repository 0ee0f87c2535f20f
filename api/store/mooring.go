package store

import (
	"context"
	"database/sql"

	"swingroom/geo"
	"swingroom/geo/record"
)

const (
	mooringColumns = "number, area, status, lat, lon, accuracy_m, depth_m, radius_m, largest_loa_m, largest_draft_m, note, " +
		"smallest_loa_m, permit_year, permit_expires"
	boatColumns = "name, kind, loa_m, length_all_m, beam_m, draft_m, bow_height_m, owner"
	partColumns = "kind, length_m, size_m, weight_kg, material, left_ratio, installed, inspected"
)

func readMoorings(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.Mooring, error) {
	rows, err := tx.QueryContext(ctx, "SELECT id, "+mooringColumns+" FROM mooring WHERE harbor_id = ? ORDER BY id", harborID)
	if err != nil {
		return nil, err
	}
	place := map[int64]int{}
	all, err := collect(rows, func(rows *sql.Rows) (m geo.Mooring, err error) {
		var id int64
		err = rows.Scan(&id, &m.Number, &m.Area, &m.Status, &m.Position.LatDeg, &m.Position.LonDeg, maybe[geo.Metres]{&m.Accuracy},
			maybe[geo.Metres]{&m.Depth},
			maybe[geo.Metres]{&m.StatedRadius}, maybe[geo.Metres]{&m.LargestLOA}, maybe[geo.Metres]{&m.LargestDraft}, &m.Note,
			maybe[geo.Metres]{&m.SmallestLOA}, &m.Permit.Year, &m.Permit.Expires)
		place[id] = len(place)
		return m, err
	})
	if err != nil {
		return nil, err
	}
	const mine = "mooring_id IN (SELECT id FROM mooring WHERE harbor_id = ?)"
	rows, err = tx.QueryContext(ctx, "SELECT mooring_id, "+boatColumns+" FROM boat WHERE "+mine, harborID)
	if err != nil {
		return nil, err
	}
	if _, err = collect(rows, func(rows *sql.Rows) (b geo.Boat, err error) {
		var id int64
		err = rows.Scan(&id, &b.Name, &b.Kind, maybe[geo.Metres]{&b.LOA}, maybe[geo.Metres]{&b.LengthAll}, maybe[geo.Metres]{&b.Beam},
			maybe[geo.Metres]{&b.Draft},
			maybe[geo.Metres]{&b.BowHeight}, &b.Owner)
		all[place[id]].Boat = &b
		return b, err
	}); err != nil {
		return nil, err
	}
	rows, err = tx.QueryContext(ctx, "SELECT mooring_id, "+partColumns+" FROM tackle_part WHERE "+mine+" ORDER BY mooring_id, ordinal",
		harborID)
	if err != nil {
		return nil, err
	}
	_, err = collect(rows, func(rows *sql.Rows) (p geo.Part, err error) {
		var id int64
		err = rows.Scan(&id, &p.Kind, maybe[geo.Metres]{&p.Length}, maybe[geo.Metres]{&p.Size}, maybe[geo.Kilograms]{&p.Weight},
			&p.Material, maybe[float64]{&p.LeftRatio}, &p.Installed, &p.Inspected)
		m := &all[place[id]]
		m.Tackle = append(m.Tackle, p)
		return p, err
	})
	sortMoorings(all)
	return all, err
}

const (
	removeMooringSQL = "DELETE FROM mooring WHERE harbor_id = ? AND number = ?"
	insertMooringSQL = "INSERT INTO mooring (harbor_id, " + mooringColumns +
		") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING id"
	updateMooringSQL = "UPDATE mooring SET (harbor_id, " + mooringColumns +
		") = (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) WHERE harbor_id = ?1 AND number = ?2 RETURNING id"
	insertBoatSQL  = "INSERT OR REPLACE INTO boat (mooring_id, " + boatColumns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
	removeBoatSQL  = "DELETE FROM boat WHERE mooring_id = ?"
	insertPartSQL  = "INSERT INTO tackle_part (mooring_id, ordinal, " + partColumns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
	removePartsSQL = "DELETE FROM tackle_part WHERE mooring_id = ?"
)

func (w *writer) removeMooring(harborID int64, number string) error {
	return w.exec(removeMooringSQL, harborID, number)
}

// putMooring writes a mooring in place of the one with its number. Of was, the record that is on file, nil where that is not known or there
// is none, only what differs is written.
func (w *writer) putMooring(harborID int64, m, was *geo.Mooring) error {
	query := updateMooringSQL
	if was == nil {
		if err := w.removeMooring(harborID, m.Number); err != nil {
			return err
		}
		query, was = insertMooringSQL, &geo.Mooring{}
	}
	id, err := w.id(query, harborID, m.Number, m.Area, m.Status, m.Position.LatDeg, m.Position.LonDeg, null(m.Accuracy), null(m.Depth),
		null(m.StatedRadius), null(m.LargestLOA), null(m.LargestDraft), m.Note, null(m.SmallestLOA), m.Permit.Year, m.Permit.Expires)
	if err != nil {
		return err
	}
	if err := w.putBoat(id, m.Boat, was.Boat); err != nil || record.Equal(&m.Tackle, &was.Tackle) {
		return err
	}
	if len(was.Tackle) > 0 {
		if err := w.exec(removePartsSQL, id); err != nil {
			return err
		}
	}
	for i, p := range m.Tackle {
		if err := w.exec(insertPartSQL, id, i, p.Kind, null(p.Length), null(p.Size), null(p.Weight), p.Material, null(p.LeftRatio),
			p.Installed, p.Inspected); err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) putBoat(id int64, b, was *geo.Boat) error {
	switch {
	case record.Equal(&b, &was):
		return nil
	case b == nil:
		return w.exec(removeBoatSQL, id)
	}
	return w.exec(insertBoatSQL, id, b.Name, b.Kind, null(b.LOA), null(b.LengthAll), null(b.Beam), null(b.Draft), null(b.BowHeight),
		b.Owner)
}
