package webmap_test

import (
	"fmt"
	"math"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swingroom/geo"
)

const deskWidth, deskHeight = 1440, 900

func desk(t testing.TB) *tab { return newTab(t, deskWidth, deskHeight) }

func phone(t testing.TB) *tab {
	return newTab(t, 390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait, chromedp.EmulateScale(2))
}

func TestPageShowsEveryMooringAndTroubleAndComplainsOfNothing(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	if got, want := p.text("#moorings-count"), "500"; got != want {
		t.Errorf("%s moorings on the page, want %s", got, want)
	}
	if got, want := p.text("#troubles-count"), fmt.Sprint(len(f.conflicts)+len(f.hazards)+len(f.unknown)); got != want {
		t.Errorf("%s troubles on the page, want %s", got, want)
	}
	if got := p.text("#harbor"); got != "Grid Sound" {
		t.Errorf("the harbor is called %q", got)
	}
	if got := p.text("#caution"); got != "planning aid, not for navigation" {
		t.Errorf("the caution is %q", got)
	}
	first := p.text("#troubles .row")
	if !strings.Contains(first, fmt.Sprint(f.conflicts[0]["a"])) ||
		!strings.Contains(first, fmt.Sprintf("%.1f m", f.conflicts[0]["overlap_m"])) || !strings.Contains(first, "touching") {
		t.Errorf("the worst trouble is not first: %q", first)
	}
	p.click("#list-moorings")
	for more := `document.querySelector("#moorings .more")`; read[bool](p, more+" !== null"); {
		p.run(more + ".click()")
	}
	if got := read[int](p, `document.querySelectorAll("#moorings .row").length`); got != 500 {
		t.Errorf("%d moorings in the list, want 500", got)
	}
	p.quiet()
}

// The worst conflict is in the middle of what is seen, and nothing has to be dismissed.
func TestFirstVisitGreetsWithTheWorstConflict(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	lat, lon := centre(p)
	a, b := at(f.mooring(f.conflicts[0]["a"].(string))), at(f.mooring(f.conflicts[0]["b"].(string)))
	if away := geo.Distance(geo.Position{LatDeg: lat, LonDeg: lon}, a) +
		geo.Distance(geo.Position{LatDeg: lat, LonDeg: lon}, b); away > geo.Distance(a, b)+1 {
		t.Errorf("the middle of the map is %.1f m from the two, which lie %.1f m apart", float64(away), float64(geo.Distance(a, b)))
	}
	if !read[bool](p, `document.getElementById("sheet").hidden && document.getElementById("legend").hidden && `+
		`document.getElementById("notice").hidden`) {
		t.Error("something lies over the map on the first visit")
	}
}

func centre(p *tab) (latDeg, lonDeg float64) {
	p.Helper()
	p.until(`location.hash.includes("at=")`)
	q := query(p)
	if n, err := fmt.Sscanf(q.Get("at"), "%f,%f", &latDeg, &lonDeg); n != 2 {
		p.Fatalf("at=%q: %v", q.Get("at"), err)
	}
	return latDeg, lonDeg
}

func query(p *tab) url.Values {
	p.Helper()
	q, err := url.ParseQuery(strings.TrimPrefix(read[string](p, "location.hash"), "#"))
	if err != nil {
		p.Fatal(err)
	}
	return q
}

// A ring is found on the canvas as many pixels from its anchor as the core says that the radius is long.
func TestCircleIsDrawnToScale(t *testing.T) {
	f := newFake(t, 500)
	m := f.moorings[100]
	here := at(m)
	const zoom = 20
	p := desk(t).open(fmt.Sprintf("%s/#harbor=%s&at=%.9f,%.9f&zoom=%d&contrast=1", f.URL, fakeSlug, here.LatDeg, here.LonDeg, zoom))
	// West is clear of the hull, which lies to the north-east. The world is 256·2^zoom pixels wide in Web Mercator (EPSG:3857, OGC
	// 17-083r4, annex D).
	west := geo.Ahead(here, 270, geo.Metres(m["radius_m"].(float64)))
	wantPx := (here.LonDeg - west.LonDeg) / 360 * 256 * math.Pow(2, zoom)
	south := geo.Ahead(here, 180, geo.Metres(m["radius_m"].(float64)))
	mercator := func(latDeg float64) float64 { return math.Log(math.Tan(math.Pi/4 + latDeg*math.Pi/360)) }
	wantDownPx := (mercator(here.LatDeg) - mercator(south.LatDeg)) / (2 * math.Pi) * 256 * math.Pow(2, zoom)
	gotPx, gotDownPx := ringAt(p, -1, 0), ringAt(p, 0, 1)
	const tol = 1.0 // half the width of the line, and a pixel's rounding of the anchor
	if math.Abs(gotPx-wantPx) > tol || math.Abs(gotDownPx-wantDownPx) > tol {
		t.Errorf("the ring is %.1f px west and %.1f px south of its anchor, want %.2f and %.2f", gotPx, gotDownPx, wantPx, wantDownPx)
	}
}

// ringAt is the distance in pixels from the middle of the map to the middle of the first line beyond the number.
func ringAt(p *tab, dx, dy int) float64 {
	p.Helper()
	return read[float64](p, fmt.Sprintf(`(() => {
		const canvas = document.querySelectorAll("#map canvas")[1], map = document.getElementById("map").getBoundingClientRect(),
			box = canvas.getBoundingClientRect();
		const x0 = map.x + map.width / 2 - box.x, y0 = map.y + map.height / 2 - box.y, ctx = canvas.getContext("2d");
		let sum = 0, weight = 0;
		for (let d = 40; d < 400; d++) {
			const [r, g, b, a] = ctx.getImageData(Math.floor(x0 + d * %d), Math.floor(y0 + d * %d), 1, 1).data;
			const dark = r + g + b < 380 ? a : 0;
			if (dark > 40) { sum += d * dark; weight += dark; } else if (weight) break;
		}
		return weight ? sum / weight + 0.5 * %d : -1;
	})()`, dx, dy, dx+dy))
}

func TestSearchOpensAMooringByItsNumberAndFindsABoat(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), "217"+kb.Enter))
	p.until(`document.querySelector("#sheet .radius")`)
	if got := p.text("#sheet-number"); got != "217" {
		t.Errorf("the sheet is of %q, want 217", got)
	}
	if got := p.text("#sheet .position"); got != f.mooring("217")["position_ddm"] {
		t.Errorf("the position is %q, want %q", got, f.mooring("217")["position_ddm"])
	}
	p.run(`const q = document.getElementById("q"); q.value = ""`)
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), "boat 030"))
	p.until(`document.querySelector("#answer .title")?.textContent.startsWith("030")`)
	p.quiet()
}

func TestSearchShowsBackAPositionAndTheNearestMoorings(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	here := geo.Ahead(at(f.mooring("100")), 45, 10)
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), here.DD()+kb.Enter))
	p.until(`document.querySelector("#answer .understood")`)
	answer := p.text("#answer")
	for _, want := range []string{here.DD(), here.DDM(), here.DMS(), "Nearest: 100", "10.0 m", "225° true"} {
		if !strings.Contains(strings.Join(strings.Fields(answer), " "), strings.Join(strings.Fields(want), " ")) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	p.quiet()
}

func TestRefusedPositionStaysTypedAndOffersItsReadings(t *testing.T) {
	f := newFake(t, 100)
	p := desk(t).open(f.URL + "/")
	const typed = "442900N 0684500W"
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), typed+kb.Enter))
	p.until(`document.querySelectorAll("#answer .reading").length === 2`)
	if got := read[string](p, `document.getElementById("q").value`); got != typed {
		t.Errorf("the text became %q", got)
	}
	if got := p.text("#answer"); !strings.Contains(got, "can be read in two ways") {
		t.Errorf("the reason is missing: %q", got)
	}
	p.click("#answer .reading")
	p.until(`document.querySelector("#answer .understood")`)
}

func TestConflictOpensAndItsWorkingIsRead(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	worst := f.conflicts[0]
	p.click("#troubles .row")
	p.until(`document.querySelector("#sheet .working")`)
	q := query(p)
	if q.Get("mooring") != worst["a"] || q.Get("with") != worst["b"] {
		t.Errorf("the address holds %v, want %v and %v", q, worst["a"], worst["b"])
	}
	m := f.mooring(worst["a"].(string))
	working := swingOf(m)["working"].([]any)
	if got := read[int](p, `document.querySelectorAll("#sheet .working tbody tr").length`); got != len(working) {
		t.Errorf("%d lines of working, want %d", got, len(working))
	}
	sheet := p.text("#sheet-body")
	for _, want := range []string{"touching", "X = sqrt(L² - h²)", "R = X + o", fmt.Sprintf("%.2f m", m["radius_m"]), "on record",
		fmt.Sprintf("%.1f m", worst["overlap_m"]), "Boat " + worst["a"].(string)} {
		if !strings.Contains(sheet, want) {
			t.Errorf("%q is missing from the sheet:\n%s", want, sheet)
		}
	}
	if read[int](p, `document.querySelectorAll("#sheet svg.section .hull").length`) != 2 {
		t.Error("the section does not show the hull at low and at high level")
	}
	p.quiet()
}

func TestUnitSwitchConvertsEveryFigure(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/#mooring=012&ask=where&harbor=" + fakeSlug)
	p.until(`document.querySelector("#sheet .radius")`)
	p.do(chromedp.SendKeys(chromedp.CSS("#where-loa"), "10"))
	p.click("#legend-button")
	metres := regexp.MustCompile(`\d m\b`)
	if !metres.MatchString(p.text("body")) {
		t.Fatal("no metres to begin with: the test would prove nothing")
	}
	p.run(`document.getElementById("units-feet").click()`)
	if got := metres.FindAllString(p.text("body"), -1); len(got) > 0 {
		t.Errorf("metres are left after the switch: %q in\n%s", got, p.text("body"))
	}
	// 15 m are 49.2 ft, 0.62 m are 2.03 ft, told as 2, 10 m are 32.8 ft: from 0.3048 m to the foot (24 FR 5348).
	sheet := p.text("#sheet-body")
	for _, want := range []string{"49.2 ft", "The water is 2 ft too shallow"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("%q is missing from\n%s", want, sheet)
		}
	}
	if got := read[string](p, `document.getElementById("where-loa").value`); got != "32.8" {
		t.Errorf("10 m typed became %q, want 32.8 (ft)", got)
	}
	p.run(`document.getElementById("units-metres").click()`)
	if got := read[string](p, `document.getElementById("where-loa").value`); got != "10" {
		t.Errorf("what was typed became %q, want 10", got)
	}
	p.quiet()
}

func TestAddressBringsBackTheViewOnReloadAndBack(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	p.click("#units-feet")
	p.click("#level-high")
	p.click("#contrast")
	p.click("#list-moorings")
	p.click("#ask-fit")
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), "217"+kb.Enter))
	p.until(`document.querySelector("#sheet .radius")`)
	read[bool](p, `new Promise((done) => setTimeout(() => done(true), 800))`) // the map comes to rest
	before := read[string](p, "location.href")
	state := `[document.getElementById("sheet-number").textContent, document.querySelector("#sheet .radius strong").textContent,
		document.getElementById("units-feet").ariaPressed, document.getElementById("level-high").ariaPressed,
		document.documentElement.className, document.getElementById("form-fit").hidden,
		document.getElementById("moorings").hidden].join()`
	want := read[string](p, state)
	p.open(before)
	p.until(`document.querySelector("#sheet .radius")`)
	if got := read[string](p, state); got != want {
		t.Errorf("after reload %q, want %q", got, want)
	}
	if after := read[string](p, "location.href"); after != before {
		t.Errorf("the address became\n%s, want\n%s", after, before)
	}
	p.click("#moorings li:nth-child(3) .row")
	p.until(`document.getElementById("sheet-number").textContent === "003"`)
	p.run("history.back()")
	p.until(`document.getElementById("sheet-number").textContent === "217"`)
	p.quiet()
}
