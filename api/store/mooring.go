package store

import (
	"context"
	"database/sql"

	"swingroom/geo"
)

const (
	mooringColumns = "number, area, status, lat, lon, accuracy_m, depth_m, radius_m, largest_loa_m, largest_draft_m, note, smallest_loa_m, permit_year, permit_expires"
	boatColumns    = "name, kind, loa_m, length_all_m, beam_m, draft_m, bow_height_m, owner"
	partColumns    = "kind, length_m, size_m, weight_kg, material, left_ratio, installed, inspected"
)

func readMoorings(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.Mooring, error) {
	rows, err := tx.QueryContext(ctx, "SELECT id, "+mooringColumns+" FROM mooring WHERE harbor_id = ? ORDER BY id", harborID)
	if err != nil {
		return nil, err
	}
	place := map[int64]int{}
	all, err := collect(rows, func(rows *sql.Rows) (m geo.Mooring, err error) {
		var id int64
		err = rows.Scan(&id, &m.Number, &m.Area, &m.Status, &m.Position.LatDeg, &m.Position.LonDeg, maybe[geo.Metres]{&m.Accuracy}, maybe[geo.Metres]{&m.Depth},
			maybe[geo.Metres]{&m.StatedRadius}, maybe[geo.Metres]{&m.LargestLOA}, maybe[geo.Metres]{&m.LargestDraft}, &m.Note, maybe[geo.Metres]{&m.SmallestLOA}, &m.Permit.Year, &m.Permit.Expires)
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
		err = rows.Scan(&id, &b.Name, &b.Kind, maybe[geo.Metres]{&b.LOA}, maybe[geo.Metres]{&b.LengthAll}, maybe[geo.Metres]{&b.Beam}, maybe[geo.Metres]{&b.Draft},
			maybe[geo.Metres]{&b.BowHeight}, &b.Owner)
		all[place[id]].Boat = &b
		return b, err
	}); err != nil {
		return nil, err
	}
	rows, err = tx.QueryContext(ctx, "SELECT mooring_id, "+partColumns+" FROM tackle_part WHERE "+mine+" ORDER BY mooring_id, ordinal", harborID)
	if err != nil {
		return nil, err
	}
	_, err = collect(rows, func(rows *sql.Rows) (p geo.Part, err error) {
		var id int64
		err = rows.Scan(&id, &p.Kind, maybe[geo.Metres]{&p.Length}, maybe[geo.Metres]{&p.Size}, maybe[geo.Kilograms]{&p.Weight}, &p.Material, maybe[float64]{&p.LeftRatio}, &p.Installed, &p.Inspected)
		m := &all[place[id]]
		m.Tackle = append(m.Tackle, p)
		return p, err
	})
	sortMoorings(all)
	return all, err
}

// mooringWriter keeps its statements over a save of many moorings.
type mooringWriter struct {
	ctx                             context.Context
	harborID                        int64
	remove, mooring, boat, partStmt *sql.Stmt
}

func newMooringWriter(ctx context.Context, tx *sql.Tx, harborID int64) (w *mooringWriter, err error) {
	w = &mooringWriter{ctx: ctx, harborID: harborID}
	for _, s := range []struct {
		to  **sql.Stmt
		sql string
	}{
		{&w.remove, "DELETE FROM mooring WHERE harbor_id = ? AND number = ?"},
		{&w.mooring, "INSERT INTO mooring (harbor_id, " + mooringColumns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"},
		{&w.boat, "INSERT INTO boat (mooring_id, " + boatColumns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"},
		{&w.partStmt, "INSERT INTO tackle_part (mooring_id, ordinal, " + partColumns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"},
	} {
		if *s.to, err = tx.PrepareContext(ctx, s.sql); err != nil {
			return nil, err
		}
	}
	return w, nil
}

func (w *mooringWriter) delete(number string) error {
	_, err := w.remove.ExecContext(w.ctx, w.harborID, number)
	return err
}

// put writes a mooring in place of the one with its number.
func (w *mooringWriter) put(m *geo.Mooring) error {
	if err := w.delete(m.Number); err != nil {
		return err
	}
	result, err := w.mooring.ExecContext(w.ctx, w.harborID, m.Number, m.Area, m.Status, m.Position.LatDeg, m.Position.LonDeg, null(m.Accuracy), null(m.Depth),
		null(m.StatedRadius), null(m.LargestLOA), null(m.LargestDraft), m.Note, null(m.SmallestLOA), m.Permit.Year, m.Permit.Expires)
	if err != nil {
		return err
	}
	id, err := result.LastInsertId()
	if err != nil {
		return err
	}
	if b := m.Boat; b != nil {
		if _, err := w.boat.ExecContext(w.ctx, id, b.Name, b.Kind, null(b.LOA), null(b.LengthAll), null(b.Beam), null(b.Draft), null(b.BowHeight), b.Owner); err != nil {
			return err
		}
	}
	for i, p := range m.Tackle {
		if _, err := w.partStmt.ExecContext(w.ctx, id, i, p.Kind, null(p.Length), null(p.Size), null(p.Weight), p.Material, null(p.LeftRatio), p.Installed, p.Inspected); err != nil {
			return err
		}
	}
	return nil
}
