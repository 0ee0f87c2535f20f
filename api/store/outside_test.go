package store_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"swingroom/api/store"
	"swingroom/fixtures/outside"
)

// The file is read by GDAL, which brings the SQLite library of its own system: what we say is in the columns is there for
// everybody, in the units that their names say.
func TestAnotherProgramReadsTheSameFigures(t *testing.T) {
	ogr2ogr := outside.Program(t, "ogr2ogr", "gdal-bin")
	path := filepath.Join(t.TempDir(), "h.db")
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	h := rich()
	save(t, s, 0, h)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	ask := func(sql string) [][]string {
		t.Helper()
		out := filepath.Join(t.TempDir(), "out.csv")
		if msg, err := exec.Command(ogr2ogr, "-f", "CSV", out, path, "-sql", sql).CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", sql, err, msg)
		}
		f, err := os.Open(out)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		r := csv.NewReader(f)
		r.FieldsPerRecord = -1 // of a single column GDAL ends the first line with a comma
		rows, err := r.ReadAll()
		if err != nil || len(rows) < 2 {
			t.Fatalf("%s: %v %v", sql, rows, err)
		}
		return rows[1:]
	}
	if rows := ask("PRAGMA integrity_check"); len(rows) != 1 || rows[0][0] != "ok" {
		t.Errorf("integrity: %v", rows)
	}
	// printf by %!.17g gives every bit of a double; GDAL's own CSV has 15 digits.
	rows := ask(
		`SELECT m.number, printf('%!.17g', m.lat) AS lat, printf('%!.17g', m.lon) AS lon, m.depth_m, b.loa_m, b.bow_height_m, m.note,
		(SELECT group_concat(kind) FROM (SELECT kind FROM tackle_part WHERE mooring_id = m.id ORDER BY ordinal)) AS kinds
		FROM mooring m LEFT JOIN boat b ON b.mooring_id = m.id ORDER BY m.number`)
	for i, want := range [][]string{{"007", "", "", "0", "8", "0", h.Moorings[0].Note,
		"anchor,ground_chain,buoy,pennant,marker_line,marker"}, {"10", "", "", "", "", "", "", ""}, {"9", "", "", "", "", "", "", ""}} {
		p := h.Moorings[map[string]int{"007": 0, "9": 1, "10": 2}[want[0]]].Position
		for column, value := range rows[i] {
			switch column {
			case 1, 2:
				if got, err := strconv.ParseFloat(value, 64); err != nil ||
					math.Float64bits(got) != math.Float64bits([]float64{p.LatDeg, p.LonDeg}[column-1]) {
					t.Errorf("mooring %s: position %s, want %+v", want[0], value, p)
				}
			default:
				if value != want[column] {
					t.Errorf("mooring %s: column %d is %q, want %q", want[0], column+1, value, want[column])
				}
			}
		}
	}
	var body struct{ Shape struct{ Type string } }
	for _, row := range ask("SELECT after FROM history WHERE noun = 'area' AND name = 'Inner'") {
		if err := json.Unmarshal([]byte(row[0]), &body); err != nil || body.Shape.Type != "MultiPolygon" {
			t.Errorf("history: %v in %s", err, row[0])
		}
	}
}

// An area's shape is WKB as the OGC's Simple Features defines it (OGC 06-103r4, clause 8): GDAL finds the same area, the hole left out.
func TestAnotherProgramReadsTheShapes(t *testing.T) {
	ogr2ogr := outside.Program(t, "ogr2ogr", "gdal-bin")
	dir := t.TempDir()
	path, table := filepath.Join(dir, "h.db"), filepath.Join(dir, "shapes.csv")
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	h := rich()
	save(t, s, 0, h)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if msg, err := exec.Command(ogr2ogr, "-f", "CSV", table, path, "-sql",
		"SELECT hex(shape) AS shape FROM area WHERE name = 'Inner'").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
	out, err := exec.Command(ogr2ogr, "-f", "GeoJSON", "/vsistdout/", "-oo", "GEOM_POSSIBLE_NAMES=shape", "-dialect", "OGRSQL",
		"-sql", "SELECT OGR_GEOM_AREA AS area FROM shapes", table).Output()
	if err != nil {
		t.Fatal(err)
	}
	var read struct {
		Features []struct {
			Properties struct{ Area float64 }
			Geometry   struct {
				Type        string
				Coordinates [][][][2]float64
			}
		}
	}
	if err := json.Unmarshal(out, &read); err != nil || len(read.Features) != 1 {
		t.Fatalf("%v: %s", err, out)
	}
	f := read.Features[0]
	const want = 0.01*0.01 - 0.001*0.001 // square degrees: the outer square less its hole
	if got := f.Properties.Area; math.Abs(got-want) > 1e-12 /* corners at 44 degrees are rounded to 7e-15 */ {
		t.Errorf("area %v, want %v square degrees", got, want)
	}
	if f.Geometry.Type != "MultiPolygon" || len(f.Geometry.Coordinates) != 1 || len(f.Geometry.Coordinates[0]) != 2 {
		t.Fatalf("%s", out)
	}
	if corner := f.Geometry.Coordinates[0][0][0]; corner != [2]float64{-41.5, 44.2} {
		t.Errorf("the first corner is %v: longitude first is expected", corner)
	}
}
