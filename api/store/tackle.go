package store

import (
	"database/sql"

	"swingroom/geo"
	"swingroom/geo/record"
)

const partColumns = "kind, length_m, size_m, weight_kg, material, left_ratio, installed, inspected"

// partFields are what partColumns hold, to be read or written.
func partFields(p *geo.Part) []any {
	return []any{&p.Kind, maybe[geo.Metres]{&p.Length}, maybe[geo.Metres]{&p.Size}, maybe[geo.Kilograms]{&p.Weight}, &p.Material,
		maybe[float64]{&p.LeftRatio}, &p.Installed, &p.Inspected}
}

func (by *mooringsByID) scanPart(rows *sql.Rows) error {
	var id int64
	var p geo.Part
	err := rows.Scan(append([]any{&id}, partFields(&p)...)...)
	m := by.of(id)
	m.Tackle = append(m.Tackle, p)
	return err
}

const removePartsSQL = "DELETE FROM tackle_part WHERE mooring_id = ?"

var insertPartSQL = "INSERT INTO tackle_part (mooring_id, ordinal, " + partColumns + ") VALUES (?, ?, " + marks(partColumns) + ")"

// writeTackle writes the tackle of a mooring where another is on file.
func (w *writer) writeTackle(mooringID int64, t, was geo.Tackle) error {
	if record.Equal(&t, &was) {
		return nil
	}
	if len(was) > 0 {
		if err := w.exec(removePartsSQL, mooringID); err != nil {
			return err
		}
	}
	for i := range t {
		if err := w.exec(insertPartSQL, append([]any{mooringID, i}, partFields(&t[i])...)...); err != nil {
			return err
		}
	}
	return nil
}
