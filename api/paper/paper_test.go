package paper_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"swingroom/api/exchange"
	"swingroom/api/paper"
	"swingroom/fixtures"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

var at = time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)

func demo(t testing.TB) *clearance.Field {
	t.Helper()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return field(t, in.Harbor)
}

func field(t testing.TB, h *geo.Harbor) *clearance.Field {
	t.Helper()
	f, err := clearance.NewField(h)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func sheetOf(f *clearance.Field, number string, o paper.SheetOptions) func(w io.Writer) error {
	o.At = at
	return func(w io.Writer) error { return paper.MooringSheet(w, f, number, o) }
}

func chartOf(f *clearance.Field, area string, o paper.Options) func(w io.Writer) error {
	o.At = at
	return func(w io.Writer) error { return paper.AreaChart(w, f, area, o) }
}

// small is a harbor of moorings with stated radii, at distances along geodesics from the first.
func small(units geo.Units, middle geo.Position, places ...place) *geo.Harbor {
	h := &geo.Harbor{Name: "Small", Units: units, Defaults: geo.NewDefaults()}
	for i, p := range places {
		m := geo.Mooring{Number: "n" + strconv.Itoa(i+1), Status: geo.Occupied, Position: geo.Ahead(middle, p.bearingTrueDeg, p.distance),
			StatedRadius: geo.Known(p.radius), Boat: &geo.Boat{Name: "B"}}
		if p.vacant {
			m.Status, m.Boat = geo.Vacant, nil
		}
		h.Moorings = append(h.Moorings, m)
	}
	return h
}

type place struct {
	bearingTrueDeg   float64
	distance, radius geo.Metres
	vacant           bool
}

var somewhere = geo.Position{LatDeg: 44.2, LonDeg: -41.5}

// triangle is three moorings a known way apart, without anything that could be taken for their marks.
func triangle(scale int) (h *geo.Harbor, mm []float64) {
	// 110 and 120 mm on the paper, whatever the scale.
	unit := geo.Metres(float64(scale) / 1000)
	h = small(geo.UnitsMetres, somewhere, place{0, 0, 20 * unit, false}, place{90, 110 * unit, 18 * unit, false},
		place{0, 120 * unit, 15 * unit, false})
	var all []float64
	for i := range h.Moorings {
		for j := range i {
			all = append(all, float64(geo.Distance(h.Moorings[i].Position, h.Moorings[j].Position))/float64(unit))
		}
	}
	slices.Sort(all)
	return h, all
}

func off(got, want float64) float64 { return math.Abs(got-want) / want }

func TestChartsAreTrueToScale(t *testing.T) {
	worst := 0.0
	for _, p := range []paper.Paper{paper.A4, paper.Tabloid} {
		for _, scale := range paper.Chart.Scales() {
			h, want := triangle(scale)
			img := page(t, printed(t, chartOf(field(t, h), "", paper.Options{Paper: p, Scale: scale})), 1)
			marks := img.dots()
			if len(marks) != 3 {
				t.Fatalf("%s 1:%d: %d anchors are seen", p, scale, len(marks))
			}
			for i, got := range distances(marks) {
				if worst = max(worst, off(got, want[i])); off(got, want[i]) > scaleRatio {
					t.Errorf("%s 1:%d: anchors %.2f mm apart on the paper, want %.2f", p, scale, got, want[i])
				}
			}
			slices.SortFunc(marks, func(a, b dot) int { return int(a.yMM*10 + a.xMM - b.yMM*10 - b.xMM) })
			for i, wantMM := range []float64{30, 40, 36} { // north, middle, east
				got := img.diameter(marks[i], wantMM)
				if worst = max(worst, off(got, wantMM)); !(off(got, wantMM) <= scaleRatio) {
					t.Errorf("%s 1:%d: a circle of %.2f mm across, want %.2f", p, scale, got, wantMM)
				}
			}
			if up := marks[1].xMM - marks[0].xMM; math.Abs(up) > 0.2 {
				t.Errorf("%s 1:%d: the mooring due north stands %.2f mm to the side", p, scale, up)
			}
		}
	}
	t.Logf("at most %.3f %% off", worst*100)
}

func TestSheetsAreTrueToScale(t *testing.T) {
	worst := 0.0
	for _, scale := range paper.Sheet.Scales() {
		radius := geo.Metres(50 * float64(scale) / 1000) // 100 mm across
		h := small(geo.UnitsMetres, somewhere, place{0, 0, radius, false}, place{120, 6 * radius, radius, false})
		img := page(t, printed(t, sheetOf(field(t, h), "n1", paper.SheetOptions{Options: paper.Options{Scale: scale}})), 1)
		marks := img.dots()
		if len(marks) != 1 {
			t.Fatalf("1:%d: %d anchors are seen", scale, len(marks))
		}
		got := img.diameter(marks[0], 100)
		if worst = max(worst, off(got, 100)); !(off(got, 100) <= scaleRatio) {
			t.Errorf("1:%d: the swing circle is %.2f mm across, want 100", scale, got)
		}
	}
	t.Logf("at most %.3f %% off", worst*100)
}

func TestTheCheckBarIsAsLongAsItSays(t *testing.T) {
	h, _ := triangle(1000)
	f := field(t, h)
	for _, tc := range []struct {
		units geo.Units
		says  string
		want  float64 // mm
	}{{geo.UnitsMetres, "has to be 50 mm long", 50}, {geo.UnitsFeet, "has to be 2 in long", 50.8}} {
		for name, draw := range map[string]func(io.Writer) error{
			"sheet": sheetOf(f, "n1", paper.SheetOptions{Options: paper.Options{Units: tc.units}}),
			"chart": chartOf(f, "", paper.Options{Units: tc.units}),
		} {
			path := printed(t, draw)
			if got, _ := page(t, path, 1).bar(); off(got, tc.want) > scaleRatio {
				t.Errorf("%s in %s: the bar is %.2f mm long, want %.1f", name, tc.units, got, tc.want)
			}
			if read := strings.Join(words(t, path, 1, 1), " "); !strings.Contains(read, tc.says) {
				t.Errorf("%s in %s does not say %q", name, tc.units, tc.says)
			}
		}
	}
}

func TestPapersHaveTheirSize(t *testing.T) {
	h, _ := triangle(1000)
	f := field(t, h)
	for p, want := range map[paper.Paper]string{ // points; ISO 216, and 8.5 x 11 and 11 x 17 inches
		paper.A4: "595.28 x 841.89 pts (A4)", paper.Letter: "612 x 792 pts (letter)", paper.A3: "841.89 x 1190.55 pts (A3)",
		paper.Tabloid: "792 x 1224 pts",
	} {
		draws := map[string]func(io.Writer) error{"chart": chartOf(f, "", paper.Options{Paper: p, Scale: 1000})}
		if slices.Contains(paper.Sheet.Papers(), p) {
			draws["sheet"] = sheetOf(f, "n1", paper.SheetOptions{Options: paper.Options{Paper: p}})
		}
		for name, draw := range draws {
			if info := output(t, "pdfinfo", printed(t, draw)); !strings.Contains(info, want) {
				t.Errorf("%s on %s: %s", name, p, info)
			}
		}
	}
	for units, want := range map[geo.Units]string{geo.UnitsFeet: "letter", geo.UnitsMetres: "A4"} {
		if info := output(t, "pdfinfo", printed(t, sheetOf(f, "n1",
			paper.SheetOptions{Options: paper.Options{Units: units}}))); !strings.Contains(info, want) {
			t.Errorf("in %s: %s", units, info)
		}
	}
}

// TestVacantMooringsAreToldWithoutColour looks at the line: full round a boat, broken round a vacant place.
func TestVacantMooringsAreToldWithoutColour(t *testing.T) {
	h := small(geo.UnitsMetres, somewhere, place{0, 0, 30, false}, place{90, 80, 30, true})
	path := printed(t, chartOf(field(t, h), "", paper.Options{Scale: 1000}))
	img := page(t, path, 1)
	marks := img.dots()
	if len(marks) != 1 {
		t.Fatalf("%d full marks, want that of the boat only", len(marks))
	}
	if share := img.inked(marks[0], 30); share < 0.99 {
		t.Errorf("a boat's circle is drawn over %.0f %%", share*100)
	}
	if share := img.inked(dot{marks[0].xMM + 80, marks[0].yMM}, 30); share < 0.4 || share > 0.85 {
		t.Errorf("a vacant circle is drawn over %.0f %%, want a broken line", share*100)
	}
	if !strings.Contains(strings.Join(words(t, path, 0, 0), " "), "2 moorings, 1 of them vacant") {
		t.Error("the count of vacant moorings is missing")
	}
}

func TestEveryMooringOfAnAreaIsOnItsChart(t *testing.T) {
	f := demo(t)
	for _, area := range f.Harbor().Areas {
		for _, scale := range []int{0, 2500} {
			path := printed(t, chartOf(f, area.Name, paper.Options{Scale: scale, Paper: paper.A3}))
			first, last := 1, 1
			if pages := pageCount(t, path); pages > 1 { // the overview has no numbers
				first, last = 2, pages
			}
			read := words(t, path, first, last)
			n := 0
			for _, m := range f.Harbor().Moorings {
				if m.Area == area.Name {
					if n++; !slices.Contains(read, m.Number) {
						t.Errorf("%s at scale %d: %s is missing", area.Name, scale, m.Number)
					}
				}
			}
			if want := fmt.Sprintf("%d moorings,", n); !strings.Contains(strings.Join(read, " "), want) {
				t.Errorf("%s does not say %q", area.Name, want)
			}
		}
	}
}

// pageCount is the number of pages.
func pageCount(t testing.TB, path string) int {
	t.Helper()
	_, rest, _ := strings.Cut(output(t, "pdfinfo", path), "Pages:")
	n, err := strconv.Atoi(strings.Fields(rest)[0])
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func TestAnAreaThatDoesNotFitIsLaidOutInTiles(t *testing.T) {
	f := demo(t)
	path := printed(t, chartOf(f, "Town Cove", paper.Options{Scale: 2500, Paper: paper.Letter}))
	if pages := pageCount(t, path); pages != 5 {
		t.Fatalf("%d pages, want an overview and 4 tiles", pages)
	}
	first := words(t, path, 1, 1)
	for n, tile := range []string{"A1", "A2", "B1", "B2"} {
		if !slices.Contains(first, tile) {
			t.Errorf("the overview does not show %s", tile)
		}
		read := strings.Join(words(t, path, n+2, n+2), " ")
		for _, want := range []string{"Town Cove, tile " + tile, "Scale 1:2,500", "true north", paper.Caution[:30],
			fmt.Sprintf("page %d of 5", n+2)} {
			if !strings.Contains(read, want) {
				t.Errorf("tile %s does not say %q", tile, want)
			}
		}
	}
	if read := strings.Join(words(t, path, 2, 2), " "); !strings.Contains(read, "north: –, east: A2, south: B1, west: –") {
		t.Error("tile A1 does not name its neighbours")
	}
}

func TestErrorsSayWhatIsExpected(t *testing.T) {
	f := demo(t)
	h := small(geo.UnitsMetres, somewhere, place{0, 0, 40, false}, place{0, 10, 40, false}, place{0, 80e3, 40, false})
	astray := field(t, h)
	wide := small(geo.UnitsMetres, somewhere, place{0, 0, 40, false})
	for n := range 45 {
		wide.Moorings = append(wide.Moorings, small(geo.UnitsMetres, somewhere, place{90, geo.Metres(700 * n), 40, false}).Moorings...)
		wide.Moorings[n+1].Number = "w" + strconv.Itoa(n)
	}
	for _, tc := range []struct {
		name string
		draw func(io.Writer) error
		kind error
		want string
	}{
		{"no such mooring", sheetOf(f, "9999", paper.SheetOptions{}), geo.ErrNotFound, "mooring 9999"},
		{"no such area", chartOf(f, "Moon", paper.Options{}), geo.ErrNotFound, "there is Town Cove"},
		{"no moorings without an area", chartOf(f, "", paper.Options{}), geo.ErrInvalid, "Town Cove, Landing Reach"},
		{"a scale for ants", sheetOf(f, "301", paper.SheetOptions{Options: paper.Options{Scale: 99}}), geo.ErrInvalid,
			"1:250, 1:500, 1:1,000, 1:2,500, 1:5,000"},
		{"a sheet's scale on a chart", chartOf(f, "Town Cove", paper.Options{Scale: 250}), geo.ErrInvalid,
			"1:1,000, 1:2,500, 1:5,000"},
		{"a large sheet", sheetOf(f, "301", paper.SheetOptions{Options: paper.Options{Paper: paper.A3}}), geo.ErrInvalid, "a4, letter"},
		{"paper of another sort", chartOf(f, "Town Cove", paper.Options{Paper: "vellum"}), geo.ErrInvalid, "a4, letter, a3, tabloid"},
		{"a circle wider than the paper", sheetOf(f, "301", paper.SheetOptions{Options: paper.Options{Scale: 250}}), geo.ErrInvalid,
			"a smaller one"},
		{"a position far off", sheetOf(astray, "n3", paper.SheetOptions{}), geo.ErrInvalid, "is a sign wrong"},
		{"more pages than anybody prints", chartOf(field(t, wide), "", paper.Options{Scale: 1000}), geo.ErrInvalid,
			"more than 40 pages"},
	} {
		var b bytes.Buffer
		err := tc.draw(&b)
		if !errors.Is(err, tc.kind) || !strings.Contains(fmt.Sprint(err), tc.want) || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes written", tc.name, err, b.Len())
		}
	}
	path := printed(t, chartOf(astray, "", paper.Options{}))
	if read := strings.Join(words(t, path, 0, 0), " "); !strings.Contains(read, "Not drawn, for they lie too far from the field: n3") {
		t.Error("a mooring that is not drawn is not told")
	}
}

func TestScalesAreRead(t *testing.T) {
	for text, want := range map[string]int{"": 0, " ": 0, "2500": 2500, "2,500": 2500, "1:2,500": 2500, "1 : 500": 500, "1:": -1, "0": -1,
		"-5": -1, "large": -1, "2.5": -1} {
		got, err := paper.ParseScale(text)
		if (want < 0) != errors.Is(err, geo.ErrInvalid) || want >= 0 && (got != want || err != nil) {
			t.Errorf("%q: %d, %v", text, got, err)
		}
	}
}

func BenchmarkSheet(b *testing.B) {
	f := demo(b)
	f.Report()
	n := len(f.Harbor().Moorings)
	i := 0
	for b.Loop() {
		i++
		if err := paper.MooringSheet(io.Discard, f, f.Harbor().Moorings[i*7%n].Number,
			paper.SheetOptions{Options: paper.Options{At: at}}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1e3, "ms/sheet")
}
