package geo_test

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

func TestPublishedGeodesics(t *testing.T) {
	for _, row := range outside.Table(t, "../testdata/geodesy/lines.csv") {
		v := make([]float64, len(row))
		for i := range row {
			v[i] = outside.Figure(t, row[i])
		}
		a, b := geo.Position{LatDeg: v[0], LonDeg: v[1]}, geo.Position{LatDeg: v[3], LonDeg: math.Remainder(v[4], 360)}
		d, bearing := geo.Geodesic(a, b)
		if math.Abs(float64(d)-v[5]) > 1e-6 /* 1 µm */ || math.Abs(math.Remainder(bearing-v[2], 360)) > 1e-9 {
			t.Errorf("%v: %.9f m on %.12f°", row, float64(d), bearing)
		}
		if end := geo.Ahead(a, v[2], geo.Metres(v[5])); geo.Distance(end, b) > 1e-6 {
			t.Errorf("%v: ahead ends at %v", row, end)
		}
	}
	// JFK to SIN, GeodSolve(1): 003:18:29.9, 15347628 m.
	d, bearing := geo.Geodesic(geo.Position{LatDeg: 40 + 38./60 + 23./3600, LonDeg: -(73 + 46./60 + 44./3600)},
		geo.Position{LatDeg: 1 + 21./60 + 33./3600, LonDeg: 103 + 59./60 + 22./3600})
	if math.Abs(float64(d)-15347628) > 0.5 || math.Abs(bearing-(3+18./60+29.9/3600)) > 0.05/3600 {
		t.Errorf("JFK to SIN: %.1f m on %.6f°", float64(d), bearing)
	}
}

func TestFederalPolygons(t *testing.T) {
	for _, row := range outside.Table(t, "../testdata/geodesy/federal_areas.csv") {
		var corners []geo.Position
		for _, text := range strings.Split(row[1], "|") {
			p, err := geo.ParsePosition(text, nil)
			if err != nil {
				t.Fatal(err)
			}
			corners = append(corners, p)
		}
		frame := geo.NewFrame(corners[0])
		var perimeter, twice float64
		for i, p := range corners {
			q := corners[(i+1)%len(corners)]
			perimeter += float64(geo.Distance(p, q))
			a, b := frame.Project(p), frame.Project(q)
			twice += a.EastM*b.NorthM - a.NorthM*b.EastM
		}
		if want := outside.Figure(t, row[2]); math.Abs(perimeter-want) > 0.0006 /* printed to 1 mm */ {
			t.Errorf("area %s: perimeter %.4f m, want %.3f", row[0], perimeter, want)
		}
		if want := outside.Figure(t, row[3]); math.Abs(math.Abs(twice/2)-want) > 0.1 /* printed to 0.1 m² */ {
			t.Errorf("area %s: %.2f m², want %.1f", row[0], math.Abs(twice/2), want)
		}
	}
	// Corners of area 1 on the plane at the first: computed with GeographicLib's CartConvert.
	origin, err := geo.ParsePosition("41:19:44N 71:58:42W", nil)
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]geo.Offset{
		"41:19:30N 71:58:43W": {EastM: -23.2557, NorthM: -431.9009}, "41:19:36N 71:58:58W": {EastM: -372.0819, NorthM: -246.7910},
		"41:19:45N 71:58:56W": {EastM: -325.5592, NorthM: 30.8574},
	} {
		p, err := geo.ParsePosition(text, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := geo.NewFrame(origin).Project(p); float64(got.Sub(want).Length()) > 1e-4 {
			t.Errorf("%s: %+v, want %+v", text, got, want)
		}
	}
}

// TestAgainstGeographicLib holds distances, bearings and the plane against GeodSolve and CartConvert on lines from 1 m to 20 km between 70°
// S and 70° N, and the bounds that the core gives for its own errors.
func TestAgainstGeographicLib(t *testing.T) {
	geodSolve := outside.Program(t, "GeodSolve", "geographiclib-tools")
	cartConvert := outside.Program(t, "CartConvert", "geographiclib-tools")
	r := rand.New(rand.NewPCG(7, 7))
	type line struct{ a, b geo.Position }
	var lines []line
	var input strings.Builder
	for lat := -70.0; lat <= 70; lat += 10 {
		for _, lengthM := range []float64{1, 10, 100, 1000, 1999, 5000, 20000} {
			for range 4 {
				a := geo.Position{LatDeg: lat, LonDeg: []float64{-41.5, 0, 179.99, 174.7}[r.IntN(4)]}
				// The second end need not be exact: GeodSolve is asked about the very digits that the core is.
				b := geo.Ahead(a, r.Float64()*360, geo.Metres(lengthM))
				b = geo.Position{LatDeg: math.Round(b.LatDeg*1e12) / 1e12, LonDeg: math.Round(b.LonDeg*1e12) / 1e12}
				lines = append(lines, line{a, b})
				fmt.Fprintf(&input, "%.12f %.12f %.12f %.12f\n", a.LatDeg, a.LonDeg, b.LatDeg, b.LonDeg)
			}
		}
	}
	cmd := exec.Command(geodSolve, "-i", "-p", "9")
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	answers := bufio.NewScanner(strings.NewReader(string(out)))
	worstPair, worstFrame := 0.0, 0.0
	for _, l := range lines {
		answers.Scan()
		var azi1, azi2, s12 float64
		if _, err := fmt.Sscan(answers.Text(), &azi1, &azi2, &s12); err != nil {
			t.Fatalf("%q: %v", answers.Text(), err)
		}
		d, bearing := geo.Geodesic(l.a, l.b)
		// 1 nm of rounding in each end is an angle of 1e-9/s12.
		if math.Abs(float64(d)-s12) > 2e-8 || math.Abs(math.Remainder(bearing-azi1, 360)) > 1e-9+1e-6/s12 {
			t.Errorf("%v: %.10f m on %.10f°, GeodSolve %.10f m on %.10f°", l, float64(d), bearing, s12, azi1)
		}
		if d := float64(geo.Distance(l.a, l.b)); math.Abs(d-s12) > 1.5e-4 {
			t.Errorf("%v: distance %.6f m, GeodSolve %.6f m", l, d, s12)
		}
		pair := float64(geo.NewStation(l.a).PairDistance(geo.NewStation(l.b)))
		bound := geo.PairErrorM(s12, math.Max(math.Abs(l.a.LatDeg), math.Abs(l.b.LatDeg)))
		worstPair = max(worstPair, math.Abs(pair-s12)/bound)
		frame := geo.NewFrame(l.a)
		plane := float64(frame.Project(l.b).Length())
		worstFrame = max(worstFrame, math.Abs(plane-s12)/frame.ErrorM(s12, s12))
		if back := frame.Position(frame.Project(l.b)); geo.Distance(back, l.b) > 1e-6 {
			t.Errorf("%v: the plane gives %v back", l, back)
		}
		if station := geo.NewStation(l.b).Position(); geo.Distance(station, l.b) > 1e-6 {
			t.Errorf("%v: the station gives %v back", l, station)
		}
	}
	// A bound that is never reached by half would be no bound worth stating, and one that is passed none at all.
	for what, share := range map[string]float64{"pair": worstPair, "frame": worstFrame} {
		t.Logf("%s: the worst error is %.3f of its bound", what, share)
		if share > 1 || share < 0.05 {
			t.Errorf("%s: the worst error is %.3f of its bound", what, share)
		}
	}
	// The plane itself, against CartConvert's local coordinates.
	origin := geo.Position{LatDeg: 42.3539, LonDeg: -71.0503}
	p := geo.Ahead(origin, 45, 5000)
	cmd = exec.Command(cartConvert, "-l", "42.3539", "-71.0503", "0", "-p", "6")
	cmd.Stdin = strings.NewReader(fmt.Sprintf("%.12f %.12f 0\n", p.LatDeg, p.LonDeg))
	out, err = cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var east, north, up float64
	if _, err := fmt.Sscan(string(out), &east, &north, &up); err != nil {
		t.Fatal(err)
	}
	if got := geo.NewFrame(origin).Project(p); math.Abs(got.EastM-east) > 2e-6 || math.Abs(got.NorthM-north) > 2e-6 {
		t.Errorf("the plane has %+v, CartConvert %.6f %.6f", got, east, north)
	}
}
