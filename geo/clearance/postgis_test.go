package clearance_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// postGIS starts a throwaway database on a socket of its own and gives a function that runs SQL in it.
func postGIS(t *testing.T) func(sql string) string {
	t.Helper()
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		outside.Missing(t, "PostgreSQL (Debian package postgresql) is not installed")
	}
	bin := filepath.Dir(found[len(found)-1])
	if controls, _ := filepath.Glob("/usr/share/postgresql/*/extension/postgis.control"); len(controls) == 0 {
		outside.Missing(t, "PostGIS (Debian package postgresql-15-postgis-3) is not installed")
	}
	dir, err := os.MkdirTemp("", "pg") // a short path: a socket's may not be long
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	// The server refuses to run as root; the package makes a user for it.
	as := []string{}
	if os.Getuid() == 0 {
		u, err := user.Lookup("postgres")
		if err != nil {
			outside.Missing(t, "there is no user postgres to run the database")
		}
		uid, _ := strconv.Atoi(u.Uid)
		gid, _ := strconv.Atoi(u.Gid)
		if err := os.Chown(dir, uid, gid); err != nil {
			t.Fatal(err)
		}
		as = []string{"runuser", "-u", "postgres", "--"}
	}
	run := func(stdin string, args ...string) string {
		t.Helper()
		args = append(append([]string{}, as...), args...)
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir, cmd.Stdin = dir, strings.NewReader(stdin)
		out, err := cmd.Output()
		if err != nil {
			if exit, ok := err.(*exec.ExitError); ok {
				err = fmt.Errorf("%w: %s", err, exit.Stderr)
			}
			t.Fatalf("%v: %v", args, err)
		}
		return string(out)
	}
	data := filepath.Join(dir, "data")
	run("", filepath.Join(bin, "initdb"), "-D", data, "-A", "trust", "-U", "postgres", "--no-sync")
	run("", filepath.Join(bin, "pg_ctl"), "-D", data, "-w", "-l", filepath.Join(dir, "log"), "-o",
		"-k "+dir+" -c listen_addresses='' -c fsync=off", "start")
	t.Cleanup(func() { run("", filepath.Join(bin, "pg_ctl"), "-D", data, "-m", "immediate", "stop") })
	return func(sql string) string {
		return run(sql, filepath.Join(bin, "psql"), "-h", dir, "-U", "postgres", "-d", "postgres", "-q", "-A", "-t", "-v",
			"ON_ERROR_STOP=1")
	}
}

// TestConflictsAreThoseOfPostGIS holds the scan against PostGIS: the same circles as geography, every pair by ST_Distance on the spheroid.
// The same pairs, overlaps within 1 mm.
func TestConflictsAreThoseOfPostGIS(t *testing.T) {
	if testing.Short() {
		t.Skip("starting a database takes seconds")
	}
	sql := postGIS(t)
	sql("CREATE EXTENSION postgis; CREATE TABLE circle (n int, radius_m float8, margin_m float8, at geography);")
	for name, centre := range map[string]geo.Position{
		"44 N": {LatDeg: 44.2, LonDeg: -41.5}, "70 S": {LatDeg: -70, LonDeg: 20}, "the equator": {},
		"the antimeridian": {LatDeg: -17, LonDeg: 180},
	} {
		r := rand.New(rand.NewPCG(3, 14))
		circles := make([]clearance.Circle, 800)
		var insert strings.Builder
		insert.WriteString("TRUNCATE circle; INSERT INTO circle VALUES ")
		for i := range circles {
			p := geo.Ahead(centre, r.Float64()*360, geo.Metres(700*math.Sqrt(r.Float64())))
			circles[i] = clearance.Circle{Position: p, RadiusM: 8 + r.Float64()*17, MarginM: r.Float64() * 3}
			if i > 0 {
				insert.WriteString(",")
			}
			fmt.Fprintf(&insert, "(%d, %.17g, %.17g, ST_SetSRID(ST_MakePoint(%.17g, %.17g), 4326)::geography)", i, circles[i].RadiusM,
				circles[i].MarginM, p.LonDeg, p.LatDeg)
		}
		sql(insert.String() + ";")
		out := sql(`SELECT a.n, b.n, d FROM circle a JOIN circle b ON a.n < b.n, LATERAL (SELECT ST_Distance(a.at, b.at, true) AS d) x
			WHERE a.radius_m + b.radius_m + greatest(a.margin_m, b.margin_m) - d > 0;`)
		var want []clearance.Pair
		for _, line := range strings.Fields(out) {
			var p clearance.Pair
			if _, err := fmt.Sscanf(line, "%d|%d|%g", &p.A, &p.B, &p.DistanceM); err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			p.OverlapM = circles[p.A].RadiusM + circles[p.B].RadiusM - p.DistanceM
			want = append(want, p)
		}
		if len(want) < 200 {
			t.Fatalf("%s: only %d pairs: the test asks too little", name, len(want))
		}
		if err := samePairs(clearance.Scan(circles), want); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		t.Logf("%s: %d pairs", name, len(want))
	}
}

// TestGapsBetweenHullsAreThoseOfPostGIS holds the gaps under the margin of a field in a weather against ST_Distance between the outlines on
// the plane: the same pairs, within 1e-6 m; hulls that overlap are 0 m apart there.
func TestGapsBetweenHullsAreThoseOfPostGIS(t *testing.T) {
	if testing.Short() {
		t.Skip("starting a database takes seconds")
	}
	sql := postGIS(t)
	sql("CREATE EXTENSION postgis; CREATE TABLE hull (n text, at geometry);")
	const margin = 4.0
	r := rand.New(rand.NewPCG(7, 2))
	var all []geo.Mooring
	for i := range 120 {
		all = append(all, tackled(moored(places["north"], fmt.Sprintf("%03d", i), 80+r.Float64()*170, 80+r.Float64()*170, 1),
			5+r.Float64()*9, 12+r.Float64()*12))
	}
	h := inUnison(places["north"], all...)
	h.Areas[0].Rules.Margin = margin
	x, err := field(t, h).Weather(geo.Weather{WindFromDeg: 240, Wind: geo.Knots(18), GustRatio: 1.3, StreamToDeg: 310,
		Stream: geo.Knots(1.4), Level: 1})
	if err != nil {
		t.Fatal(err)
	}
	var insert strings.Builder
	for _, b := range x.Boats {
		fmt.Fprintf(&insert, "INSERT INTO hull VALUES ('%s', 'POLYGON((", b.Number)
		for _, p := range append(b.Hull, b.Hull[0]) {
			if p != b.Hull[0] || strings.HasSuffix(insert.String(), "((") {
				fmt.Fprintf(&insert, "%.17g %.17g,", p.EastM, p.NorthM)
			}
		}
		fmt.Fprintf(&insert, "%.17g %.17g))');\n", b.Hull[0].EastM, b.Hull[0].NorthM)
	}
	sql(insert.String())
	want := map[string]float64{}
	for _, line := range strings.Fields(sql(fmt.Sprintf("SELECT a.n, b.n, ST_Distance(a.at, b.at) FROM hull a JOIN hull b ON a.n < b.n "+
		"WHERE ST_Distance(a.at, b.at) < %g;", margin))) {
		cells := strings.Split(line, "|")
		d, err := strconv.ParseFloat(cells[2], 64)
		if err != nil {
			t.Fatal(line)
		}
		want[cells[0]+"-"+cells[1]] = d
	}
	if len(want) < 30 || len(want) != len(x.Gaps) {
		t.Fatalf("%d pairs, PostGIS has %d", len(x.Gaps), len(want))
	}
	for _, g := range x.Gaps {
		if d, ok := want[g.A+"-"+g.B]; !ok || math.Abs(max(0, g.GapM)-d) > 1e-6 {
			t.Errorf("%s and %s: %.6f m, PostGIS %.6f m (%v)", g.A, g.B, g.GapM, d, ok)
		}
	}
	t.Logf("%d pairs", len(want))
}
