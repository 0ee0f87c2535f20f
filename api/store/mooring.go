package store

import (
	"context"
	"database/sql"
	"slices"
	"strings"

	"swingroom/geo"
)

const mooringColumns = "number, area, status, lat, lon, accuracy_m, depth_m, radius_m, largest_loa_m, largest_draft_m, note, " +
	"smallest_loa_m, permit_year, permit_expires"

// mooringFields are what mooringColumns hold, to be read or written.
func mooringFields(m *geo.Mooring) []any {
	return []any{&m.Number, &m.Area, &m.Status, &m.Position.LatDeg, &m.Position.LonDeg, maybe[geo.Metres]{&m.Accuracy},
		maybe[geo.Metres]{&m.Depth}, maybe[geo.Metres]{&m.StatedRadius}, maybe[geo.Metres]{&m.LargestLOA},
		maybe[geo.Metres]{&m.LargestDraft}, &m.Note, maybe[geo.Metres]{&m.SmallestLOA}, &m.Permit.Year, &m.Permit.Expires}
}

// ofHarbor asks for what belongs to the moorings of a harbor.
const ofHarbor = "mooring_id IN (SELECT id FROM mooring WHERE harbor_id = ?)"

// mooringsByID are moorings while they are put together, by their place in a list.
type mooringsByID struct {
	all   []geo.Mooring
	place map[int64]int
}

func (by *mooringsByID) of(id int64) *geo.Mooring { return &by.all[by.place[id]] }

func (by *mooringsByID) scan(rows *sql.Rows) error {
	var id int64
	var m geo.Mooring
	err := rows.Scan(append([]any{&id}, mooringFields(&m)...)...)
	by.place[id] = len(by.all)
	by.all = append(by.all, m)
	return err
}

// readMoorings reads the moorings of a harbor with their boats and tackle, in the order of their numbers.
func readMoorings(ctx context.Context, tx *sql.Tx, harborID int64) ([]geo.Mooring, error) {
	by := &mooringsByID{place: map[int64]int{}}
	for _, part := range []struct {
		read  func(*sql.Rows) error
		query string
	}{
		{by.scan, "SELECT id, " + mooringColumns + " FROM mooring WHERE harbor_id = ? ORDER BY id"},
		{by.scanBoat, "SELECT mooring_id, " + boatColumns + " FROM boat WHERE " + ofHarbor},
		{by.scanPart, "SELECT mooring_id, " + partColumns + " FROM tackle_part WHERE " + ofHarbor + " ORDER BY mooring_id, ordinal"},
	} {
		if err := each(ctx, tx, part.read, part.query, harborID); err != nil {
			return nil, err
		}
	}
	sortMoorings(by.all)
	return by.all, nil
}

const removeMooringSQL = "DELETE FROM mooring WHERE harbor_id = ? AND number = ?"

var (
	insertMooringSQL = "INSERT INTO mooring (harbor_id, " + mooringColumns + ") VALUES (?, " + marks(mooringColumns) + ") RETURNING id"
	updateMooringSQL = "UPDATE mooring SET (harbor_id, " + mooringColumns + ") = (?, " + marks(mooringColumns) +
		") WHERE harbor_id = ?1 AND number = ?2 RETURNING id"
)

func (w *writer) removeMooring(harborID int64, number string) error {
	return w.exec(removeMooringSQL, harborID, number)
}

// writeMooring writes a mooring in place of the one with its number. Of was, the record that is on file, nil where that is not known or
// there is none, only what differs is written.
func (w *writer) writeMooring(harborID int64, m, was *geo.Mooring) error {
	query := updateMooringSQL
	if was == nil {
		if err := w.removeMooring(harborID, m.Number); err != nil {
			return err
		}
		query, was = insertMooringSQL, &geo.Mooring{}
	}
	id, err := w.id(query, append([]any{harborID}, mooringFields(m)...)...)
	if err != nil {
		return err
	}
	if err := w.writeBoat(id, m.Boat, was.Boat); err != nil {
		return err
	}
	return w.writeTackle(id, m.Tackle, was.Tackle)
}

func sortMoorings(all []geo.Mooring) {
	slices.SortStableFunc(all, func(a, b geo.Mooring) int { return compareNumbers(a.Number, b.Number) })
}

// compareNumbers orders numbers as people do: 2 before 10, 007 before 7, digits before letters.
func compareNumbers(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		dx, dy := leadingDigits(x), leadingDigits(y)
		if dx == "" || dy == "" {
			if x[0] != y[0] {
				return int(x[0]) - int(y[0])
			}
			x, y = x[1:], y[1:]
			continue
		}
		if c := compareDigits(dx, dy); c != 0 {
			return c
		}
		x, y = x[len(dx):], y[len(dy):]
	}
	if len(x) != len(y) {
		return len(x) - len(y)
	}
	return strings.Compare(a, b)
}

// compareDigits compares two rows of digits as figures, of any length.
func compareDigits(a, b string) int {
	a, b = strings.TrimLeft(a, "0"), strings.TrimLeft(b, "0")
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	return strings.Compare(a, b)
}

func leadingDigits(s string) string { return s[:len(s)-len(strings.TrimLeft(s, "0123456789"))] }
