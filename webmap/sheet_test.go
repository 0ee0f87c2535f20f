package webmap_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/swing"
)

// sheetOf opens a mooring's sheet.
func (p *tab) sheetOf(f *fake, number, more string) *tab {
	p.Helper()
	p.open(f.URL + "/#harbor=" + fakeSlug + "&mooring=" + number + more)
	p.until(`document.querySelector("#sheet .radius")`)
	return p
}

// unfold opens a fold and waits for what is in it.
func (p *tab) unfold(name, awaited string) {
	p.Helper()
	p.run(fmt.Sprintf(`document.querySelector('[data-fold="%s"] summary').click()`, name))
	p.until(fmt.Sprintf(`document.querySelector('[data-fold="%s"] %s')`, name, awaited))
}

// all reads the texts of everything that a selector finds, with plain blanks and minus.
func (p *tab) all(selector string) []string {
	p.Helper()
	texts := read[[]string](p, fmt.Sprintf(`[...document.querySelectorAll(%q)].map((e) => e.textContent)`, selector))
	for i := range texts {
		texts[i] = plain(texts[i])
	}
	return texts
}

func plain(text string) string {
	return strings.TrimSpace(strings.NewReplacer("\u00a0", " ", "−", "-").Replace(text))
}

func contains(t *testing.T, text string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(plain(text), want) {
			t.Errorf("%q is missing from\n%s", want, text)
		}
	}
}

func TestSheetShowsBothGapsAndWhichDecides(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).sheetOf(f, "030", "&with=031")
	contains(t, p.text("#sheet-body"), "the hulls decide",
		"Hulls are checked in every wind up to 42 kn, gusts 1.3 times as strong (assumed), a stream of up to 1.2 kn to 020° and back, "+
			"each boat within 15°",
		// What the trouble says: the hulls, their weather and level, and beside them the circles.
		"hulls overlap 1.7 m, wind 201° 7 kn, stream 1.2 kn",
		"In unison the hulls overlap 1.7 m in a wind from 201° at 7 kn against a stream of 1.2 kn, at low water.",
		"the circles share 9.0 m, which does not count here")
	rows := p.all("#sheet .neighbour")
	if len(rows) != 4 {
		t.Fatalf("%d neighbours, want 4", len(rows))
	}
	contains(t, rows[0], "031", "circles -9.0 m", "hulls -1.7 m", "touching",
		"hulls overlap 1.7 m in a wind from 201° at 7 kn against a stream of 1.2 kn")
	contains(t, rows[1], "circles +12.0 m", "hulls +1.4 m", "hulls come to 1.4 m in a wind from 196° at 7 kn against a stream of 1.2 kn")
	decides := p.all("#sheet .neighbour .gap.decides")
	contains(t, decides[0], "hulls -1.7 m")
	contains(t, decides[1], "circles +12.0 m") // that neighbour's pair is judged by its circles, whatever the area says
	if got := p.all("#sheet .gaps-head .decides"); len(got) != 1 || got[0] != "hulls" {
		t.Errorf("%q decide, want the hulls", got)
	}

	p.sheetOf(f, "100", "")
	contains(t, p.text("#sheet-body"), "the circles decide", "hulls come to 1.4 m in a wind from 196°")
	if got := p.all("#sheet .gaps-head .decides"); len(got) != 1 || got[0] != "circles" {
		t.Errorf("%q decide, want the circles", got)
	}
	if got := p.text("#sheet-body"); strings.Contains(got, "in unison") {
		t.Errorf("a mooring whose boats lie as they will is told to lie in unison:\n%s", got)
	}

	// The list says what the figure is of.
	p.run(`for (let more; (more = document.querySelector("#troubles .more"));) more.click()`)
	var found bool
	for _, row := range p.all("#troubles .row") {
		if strings.HasPrefix(row, "030 and 031") {
			found = true
			contains(t, row, "1.7 m", "touching", "hulls overlap 1.7 m, wind 201° 7 kn, stream 1.2 kn")
		}
	}
	if !found {
		t.Error("the pair in unison is not in the list")
	}
	p.quiet()
}

func TestThreeRulesStandBesideEachOtherWithTheirWorking(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).sheetOf(f, "100", "")
	titles, figures := p.all("#sheet .fold[data-fold^=rule] .title"), p.all("#sheet .fold[data-fold^=rule] .figure")
	if got, want := strings.Join(titles, ", "), "Stretched, Catenary, Tautthe area's rule"; got != want {
		t.Fatalf("the rules are %q, want %q", got, want)
	}
	if got, want := strings.Join(figures, ", "), "16.0 m, 15.4 m, 15.0 m"; got != want {
		t.Errorf("the radii are %q, want %q", got, want)
	}
	contains(t, p.text("#sheet-body"), "stretched: what it gives up in 0.4 m", "catenary: what it gives up in 0.4 m")
	if read[int](p, `document.querySelectorAll("#sheet .working").length`) != 1 {
		t.Error("more than the area's own working is shown before it is asked for")
	}
	p.unfold("rule catenary", ".working")
	contains(t, p.text(`[data-fold="rule catenary"]`), "42 kn", "5.63 m²", "2714 N", "15.40 m", "F_w = 0.5 · 1.221 · (0.5144 · G · V)² · A")
	// Other units write the sheet again; what was unfolded stays so.
	p.click("#units-feet")
	contains(t, p.text(`[data-fold="rule catenary"]`), "42 kn", "60.6 ft²", "610.1 lbf", "50.52 ft", "catenary: what it gives up in 1.3 ft",
		"2714 N, as the formula counts")
	p.unfold("rule stretched", ".working")
	contains(t, p.text(`[data-fold="rule stretched"]`), "52.5 ft", "R = X + o")
	// Another mooring is folded again.
	p.click("#sheet .neighbour")
	p.until(`document.getElementById("sheet-number").textContent !== "100" && document.querySelector('[data-fold="rule catenary"]')`)
	if read[bool](p, `document.querySelector('[data-fold="rule catenary"]').open`) {
		t.Error("what was unfolded for one mooring is unfolded for another")
	}
	// Of one without a rode all three say what is missing.
	p.sheetOf(f, "024", "")
	p.unfold("rule catenary", ".missing")
	contains(t, p.text(`[data-fold="rule catenary"]`), "unknown", "Missing: the rode's length.")
	p.quiet()
}

func TestWinterMarkerIsListedApartAndItsWaterTold(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).sheetOf(f, "100", "")
	lists := p.all("#sheet .tackle")
	if len(lists) != 2 || strings.Contains(lists[0], "marker") {
		t.Fatalf("the lists of tackle are %q; the marker belongs in one of its own", lists)
	}
	contains(t, lists[1], "marker line", "8.0 m", "slim stick")
	contains(t, p.text("#sheet-body"), "In winter\n", "Marker lies within, low level\n14.4 m", "Marker under water, level over\n2.6 m")
	// It holds no boat: the section is drawn of chain and pennant, at two levels.
	if got := read[int](p, `document.querySelectorAll("#sheet .section .lying line").length`); got != 4 {
		t.Errorf("%d lines in the section, want chain and pennant twice", got)
	}
	p.sheetOf(f, "018", "") // vacant, without a marker
	contains(t, p.text("#sheet-body"), "No winter marker is on record.")
	p.quiet()
}

func TestReachTableIsAskedForWhenItIsUnfolded(t *testing.T) {
	f := newFake(t, 500)
	metres := regexp.MustCompile(`\d (m|N|N/m)\b`)
	for _, screen := range []struct {
		name string
		tab  func(testing.TB) *tab
	}{{"desk", desk}, {"phone", phone}} {
		t.Run(screen.name, func(t *testing.T) {
			p := screen.tab(t).sheetOf(f, "100", "")
			asked := `performance.getEntriesByType("resource").filter((e) => e.name.endsWith("/reach")).length`
			if read[int](p, asked) != 0 {
				t.Error("the table is asked for before it is unfolded")
			}
			p.unfold("reach", ".reach-table")
			rows := p.all("#sheet .reach-table tbody tr")
			if len(rows) != 2*4+1 {
				t.Fatalf("%d rows, want two levels of three winds with a heading each, and one that says what is wrong:\n%s", len(rows),
					strings.Join(rows, "\n"))
			}
			contains(t, rows[0], "Low level, 0.40 m above datum")
			contains(t, rows[4], "High level, 3.2 m above datum")
			cells := p.all("#sheet .reach-table tbody:nth-of-type(2) tr:nth-child(4) > *")
			// Wind, load by formula and by table, radius by both, on the bed, pull, its angle, the buoy: as the service said.
			if got, want := strings.Join(cells, "|"), "42|2646|5998|14.8|15.8|0.6|2822|14|under"; got != want {
				t.Errorf("the last row is %q, want %q", got, want)
			}
			contains(t, rows[8], "In a wind of 42 kn the buoy goes under: the line asks for 642 N and it lifts 453 N; a ball of 0.52 m "+
				"would carry it.")
			contains(t, p.text(".reach"), "Assumed: The pennant is of nylon.", "gusts 1.3 times the mean wind, no stream",
				"top chain 9.0 m at 31.7 N/m; pennant 3.0 m at 2.2 N/m, which stretches", "The buoy carries at most 453 N.")
			if w := read[[]int](p, `[document.documentElement.scrollWidth - innerWidth, `+
				`document.getElementById("sheet-body").scrollWidth - document.getElementById("sheet-body").clientWidth]`); w[0] > 0 ||
				w[1] > 0 {
				t.Errorf("the page is %d px too wide, the sheet %d px", w[0], w[1])
			}
			p.run(`document.getElementById("units-feet").click()`)
			p.until(`document.querySelector(".reach-table")`)
			contains(t, p.text(".reach"), "595", "48.7", "144 lbf", "102 lbf", "1.8 ft", "2.2 lbf/ft")
			if got := metres.FindAllString(p.text(".reach"), -1); len(got) > 0 {
				t.Errorf("metres or newtons are left: %q", got)
			}
			if n := read[int](p, asked); n != 1 {
				t.Errorf("the table was asked for %d times, want once", n)
			}
			p.quiet()
		})
	}
}

func TestReachWithoutABeamSaysWhatIsMissing(t *testing.T) {
	f := newFake(t, 30)
	p := desk(t).sheetOf(f, "002", "")
	p.unfold("reach", ".missing")
	if got, want := plain(p.text(".reach")),
		"Mooring 002: the boat's beam is not on record; without it there is no telling how the boat lies."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	// A service that is gone is another matter: it can be asked again.
	p.sheetOf(f, "001", "")
	f.CloseClientConnections()
	f.Close()
	p.unfold("reach", "button")
	contains(t, p.text(".reach"), "cannot be reached", "Ask again")
}

// fieldPixels looks at a rectangle of the field's canvas, in metres east and north of the middle of the map: how much of it is of a colour,
// and how many of its rows have a pixel of that colour, as shares.
func fieldPixels(p *tab, westM, eastM, southM, northM, pxPerM float64, colour string) (area, rows float64) {
	p.Helper()
	is := map[string]string{"vermilion": "r > 180 && g > 60 && g < 150 && b < 90", "blue": "r < 90 && g > 80 && g < 150 && b > 140"}[colour]
	shares := read[[]float64](p, fmt.Sprintf(`(() => {
		const canvas = document.querySelectorAll("#map canvas")[1], map = document.getElementById("map").getBoundingClientRect(),
			box = canvas.getBoundingClientRect(), fine = canvas.width / box.width;
		const x = map.x + map.width / 2 - box.x, y = map.y + map.height / 2 - box.y, m = %f;
		const {data, width, height} = canvas.getContext("2d").getImageData(Math.round((x + %f * m) * fine),
			Math.round((y - %f * m) * fine), Math.round(%f * m * fine), Math.round(%f * m * fine));
		let n = 0;
		const rows = new Set();
		for (let i = 0; i < data.length; i += 4) {
			const [r, g, b, a] = data.slice(i, i + 4);
			if (a > 120 && %s) { n++; rows.add(Math.floor(i / 4 / width)); }
		}
		return [n / (width * height), rows.size / height];
	})()`, pxPerM, westM, northM, eastM-westM, northM-southM, is))
	return shares[0], shares[1]
}

// Of a pair in unison the hulls are drawn where they come closest, and no lens; of another pair the lens.
func TestHullsAreDrawnOfAPairInUnison(t *testing.T) {
	f := newFake(t, 500)
	const zoom = 20
	p := desk(t)
	between := func(a string) float64 {
		for _, k := range f.conflicts {
			if k["a"] == a {
				where := k["at"].(map[string]any)
				lat := where["lat_deg"].(float64)
				p.open(fmt.Sprintf("%s/#harbor=%s&at=%.9f,%.9f&zoom=%d", f.URL, fakeSlug, lat, where["lon_deg"], zoom))
				p.until(`document.querySelectorAll("#map canvas").length >= 2`)
				return 256 * math.Pow(2, zoom) / (40075017 /* m, the equator of WGS 84 */ * math.Cos(lat*math.Pi/180))
			}
		}
		t.Fatalf("there is no conflict of %s", a)
		return 0
	}
	amount := func(what string, m, westM, eastM, southM, northM float64, colour string, least, most float64) {
		t.Helper()
		got, _ := fieldPixels(p, westM, eastM, southM, northM, m, colour)
		if got < least || got > most {
			t.Errorf("%s: %.2f of it, want %.2f to %.2f", what, got, least, most)
		}
	}
	m := between("030")
	amount("vermilion where the hulls overlap", m, -0.25, 0.25, -0.5, 0.2, "vermilion", 0.95, 1)
	amount("vermilion within a touching hull, hatched", m, -0.9, 0.9, 2, 4, "vermilion", 0.15, 0.7)
	amount("vermilion beside the hulls, within the lens", m, -3.6, -2.4, -0.5, 0.5, "vermilion", 0, 0)
	m = between("070")
	amount("vermilion within a tight hull", m, -0.9, 0.9, 2, 4, "vermilion", 0, 0)
	if _, rows := fieldPixels(p, 1.3, 1.8, 1.5, 5, m, "blue"); rows < 0.3 || rows > 0.8 {
		t.Errorf("blue along %.2f of the side of a tight hull, want a dashed line", rows)
	}
	m = between("004")
	amount("vermilion within a lens", m, -1, 1, -3.5, -2, "vermilion", 0.15, 0.9)
}

func TestAxeFindsNothingSeriousInAnUnfoldedSheet(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	f := newFake(t, 120)
	for name, p := range map[string]*tab{"desk": desk(t), "phone": phone(t), "in contrast": desk(t)} {
		more := "&with=031"
		if name == "in contrast" {
			more += "&contrast=1"
		}
		p.sheetOf(f, "030", more)
		p.run(`for (const each of document.querySelectorAll("#sheet .fold:not([open]) summary")) each.click()`)
		p.until(`document.querySelector(".reach-table") && document.querySelectorAll("#sheet .working").length === 3`)
		for _, each := range axe(p, string(source)) {
			t.Errorf("%s: %s", name, each)
		}
		p.quiet()
	}
}

// The real service says the same on the page as the core does when it is asked.
func TestTheDemoHarborsSheetInUnison(t *testing.T) {
	address, field := demoService(t)
	const number = "432"
	i, _ := field.Index(number)
	p := desk(t).open(address + "/#harbor=tarrowick-harbor&units=metres&mooring=" + number)
	p.until(`document.querySelector("#sheet .neighbour")`)
	p.run(`document.querySelector('[data-fold="neighbours"] summary')?.click()`)
	neighbours := field.Neighbours(i, 8)
	p.until(fmt.Sprintf(`document.querySelectorAll("#sheet .neighbour").length === %d`, len(neighbours)))
	figure := func(m float64) string {
		if math.Abs(m) < 0.995 {
			return fmt.Sprintf("%+.2f m", m)
		}
		return fmt.Sprintf("%+.1f m", m)
	}
	inUnison := 0
	for n, row := range p.all("#sheet .neighbour") {
		gap, _ := neighbours[n].GapM.Get()
		contains(t, row, neighbours[n].Number, "circles "+figure(gap))
		u := neighbours[n].Unison
		if u == nil {
			continue
		}
		hulls, _ := u.GapM.Get()
		contains(t, row, "hulls "+figure(hulls), fmt.Sprintf("in a wind from %03.0f° at %.0f kn", math.Floor(u.Weather.WindFromDeg+0.5),
			u.Weather.Wind.Knots()))
		if neighbours[n].Lying == geo.InUnison {
			inUnison++
		}
	}
	if inUnison == 0 {
		t.Error("no neighbour is judged in unison: the test proves nothing")
	}
	radii := map[string]string{}
	for _, each := range field.ByRules(i) {
		radius, _ := each.Radius.Get()
		radii[string(each.Rule)] = fmt.Sprintf("%.1f m", float64(radius))
	}
	for rule, want := range radii {
		if got := plain(p.text(fmt.Sprintf(`[data-fold="rule %s"] .figure`, rule))); got != want {
			t.Errorf("%s: %s on the page, want %s", rule, got, want)
		}
	}
	p.unfold("reach", ".reach-table")
	levels := field.Harbor().Levels.Or(geo.Levels{})
	table, err := swing.ReachTable(field.Input(i), []geo.Metres{levels.High}, []geo.MetresPerSecond{geo.Knots(42)},
		field.Harbor().Rules(&field.Harbor().Moorings[i]).Design.Gust(), 0)
	if err != nil {
		t.Fatal(err)
	}
	row := table.Rows[0]
	load, _ := row.TableLoad.Get()
	radius, _ := row.Radius.Get()
	want := fmt.Sprintf("42|%.0f|%.0f|%.1f|", float64(row.Load), float64(load), float64(radius))
	if got := strings.Join(p.all("#sheet .reach-table tbody:last-of-type tr:nth-child(7) > *"), "|"); !strings.HasPrefix(got, want) {
		t.Errorf("the row of 42 kn at the high level is %q, want %q", got, want)
	}
	if watch, known := field.WinterWatch(i).Radius.Get(); !known ||
		!strings.Contains(plain(p.text("#sheet-body")), fmt.Sprintf("Marker lies within, low level\n%.1f m", float64(watch))) {
		t.Errorf("the winter marker's circle of %.1f m is not on the sheet", float64(watch))
	}
	p.quiet()
}
