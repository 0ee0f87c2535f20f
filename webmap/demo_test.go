package webmap_test

import (
	"context"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swingroom/api"
	"swingroom/api/exchange"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// demoService is the real service with the demo harbor, taken in as a user's files are.
func demoService(t testing.TB) (address string, field *clearance.Field) {
	t.Helper()
	inShort(t)
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if _, err := db.Save(context.Background(), "tarrowick-harbor", 0, in.Harbor, store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	service, err := api.New(api.Options{Store: db, Local: true})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(service.Handler())
	t.Cleanup(server.Close)
	if field, err = clearance.NewField(in.Harbor); err != nil {
		t.Fatal(err)
	}
	return server.URL, field
}

// TestTheDemoHarborFromSearchToWorking does a newcomer's first minutes with the real service on a desk screen.
func TestTheDemoHarborFromSearchToWorking(t *testing.T) {
	address, field := demoService(t)
	report := field.Report()
	p := desk(t).open(address + "/")
	if got, want := p.text("#moorings-count"), fmt.Sprint(len(field.Harbor().Moorings)); got != want {
		t.Errorf("%s moorings on the page, want %s", got, want)
	}
	if got, want := p.text("#troubles-count"),
		read[string](p, `fetch("api/check").then((r) => r.json()).then((r) => String(r.conflicts.length + r.hazards.length + `+
			`r.troubles.length))`); got != want || want == "0" {
		t.Errorf("%s troubles on the page, want %s", got, want)
	}
	p.click("#troubles .row")
	p.until(`document.querySelector("#sheet .working")`)
	i, _ := field.Index(report.Conflicts[0].A)
	if got, want := read[int](p, `document.querySelectorAll("#sheet .working tbody tr").length`), len(field.Swing(i).Working); got != want {
		t.Errorf("%d lines of working, want %d", got, want)
	}
	if watch, known := field.Watch(i).Radius.Get(); !known ||
		!strings.Contains(p.text("#sheet-body"), fmt.Sprintf("%.1f ft", watch.Feet())) {
		t.Errorf("the watch circle of %.1f ft is not on the sheet", watch.Feet())
	}
	radius, _ := field.Swing(i).Radius.Get()
	if sheet := p.text("#sheet-body"); !strings.Contains(sheet, fmt.Sprintf("%.2f ft", radius.Feet())) ||
		!strings.Contains(sheet, fmt.Sprintf("%.1f ft", geo.Metres(report.Conflicts[0].OverlapM).Feet())) {
		t.Errorf("radius or overlap is missing from\n%s", sheet)
	}
	p.run(`document.getElementById("units-metres").click()`)
	if sheet := p.text("#sheet-body"); !strings.Contains(sheet, fmt.Sprintf("%.2f m", float64(radius))) {
		t.Errorf("the radius in metres is missing from\n%s", sheet)
	}
	// Which buoy is this: 5 m north of one.
	at := geo.Ahead(field.Harbor().Moorings[40].Position, 0, 5)
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), at.DDM()+kb.Enter))
	p.until(`document.querySelector("#answer .understood")`)
	if answer := p.text("#answer"); !strings.Contains(answer, "Nearest: "+field.Harbor().Moorings[40].Number) ||
		!strings.Contains(answer, "180° true") {
		t.Errorf("the nearest is not %s: %s", field.Harbor().Moorings[40].Number, answer)
	}
	// Will this boat fit: one of 80 ft never does.
	p.click("#ask-fit")
	p.do(chromedp.SendKeys(chromedp.CSS("#fit-number"), "310"), chromedp.SendKeys(chromedp.CSS("#fit-loa"), "24"+kb.Enter))
	p.until(`document.querySelector("#answer h2")?.textContent === "The boat does not fit on mooring 310"`)
	// Where boats lie in unison she is tried by her hull, if her beam is told.
	p.run(`for (const [id, value] of Object.entries({ number: "432", loa: "8", beam: "2.6", draft: "0.8", bow: "1", kind: "work boat" ` +
		`})) document.getElementById("fit-" + id).value = value`)
	p.do(chromedp.SendKeys(chromedp.CSS("#fit-bow"), kb.Enter))
	p.until(`document.querySelector("#answer h2")?.textContent.endsWith("on mooring 432")`)
	if answer := p.text("#answer"); strings.Contains(answer, "judged by circles") {
		t.Errorf("her beam is told, and she is tried by her circle: %s", answer)
	}
	// Where can this boat go: a small one somewhere.
	p.click("#ask-where")
	p.do(chromedp.SendKeys(chromedp.CSS("#where-loa"), "5"+kb.Enter))
	p.until(`document.querySelector("#answer h2")?.textContent.startsWith("The boat fits on")`)
	p.quiet()
}

// TestTheDemoHarborOnAPhone opens the real service in one hand, and asks axe of both sizes.
func TestTheDemoHarborOnAPhone(t *testing.T) {
	address, _ := demoService(t)
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	for name, p := range map[string]*tab{"phone": phone(t), "desk": desk(t)} {
		p.open(address + "/#harbor=tarrowick-harbor&mooring=301")
		p.until(`document.querySelector("#sheet .working")`)
		if found := axe(p, string(source)); len(found) > 0 {
			t.Errorf("%s: %s", name, strings.Join(found, "\n"))
		}
		p.quiet()
	}
}

// TestTheDemoHarborTakesAPlace finds a place with the real service, takes it, and finds it on file as it was taken.
func TestTheDemoHarborTakesAPlace(t *testing.T) {
	address, field := demoService(t)
	p := desk(t).open(address + "/#harbor=tarrowick-harbor&ask=where&answer=room&in=Landing+Reach&loa_m=8&draft_m=1.2&bow_height_m=1&" +
		"beam_m=2.6&rode_m=22")
	p.until(`document.querySelector("#spots .row")`)
	p.click("#spots .row")
	p.click("#spots .todo .primary")
	p.until(`!document.getElementById("form-take").hidden`)
	takeWith(p, map[string]string{"boat": "Wren", "owner": "N. N.", "who": "harbormaster", "why": "first on the list"})
	wanted := strings.Join(strings.Fields(p.text("#take-at")), " ")
	p.click("#take-send")
	number := field.Harbor().NextNumber("Landing Reach")
	p.until(fmt.Sprintf(`document.getElementById("sheet-number").textContent === %q && document.querySelector("#sheet .working")`, number))
	sheet := strings.Join(strings.Fields(p.text("#sheet-body")), " ")
	for _, want := range []string{wanted, "Wren", "26.2 ft", "None was found, and not everything could be checked.",
		"The anchor cannot be checked"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("%q is missing from the new mooring's sheet %q", want, sheet)
		}
	}
	if got, want := p.text("#moorings-count"), fmt.Sprint(len(field.Harbor().Moorings)+1); got != want {
		t.Errorf("%s moorings are counted, want %s", got, want)
	}
	p.quiet()
	// The same water again is refused, with the new neighbour's name.
	p.open(address + "/#harbor=tarrowick-harbor&ask=where&in=Landing+Reach&loa_m=8&answer=room&rode_m=22&draft_m=1.2&bow_height_m=1")
	p.until(`document.querySelector("#spots .row")`)
	p.click("#where-circle")
	p.until(`!document.getElementById("trialbar").hidden`)
	p.run(fmt.Sprintf(`const e = document.getElementById("trial-position"); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: `+
		`true})); e.dispatchEvent(new Event("change", {bubbles: true}))`, wanted))
	p.until(fmt.Sprintf(`document.getElementById("trial-words").textContent.includes("to %s")`, number))
	p.click("#trial-take")
	p.until(`!document.getElementById("form-take").hidden`)
	takeWith(p, map[string]string{"why": "again"})
	if got := read[string](p, `document.getElementById("take-who").value`); got != "harbormaster" {
		t.Errorf("who writes is remembered as %q", got)
	}
	p.click("#take-send")
	p.until(`document.getElementById("take-despite").checkVisibility()`)
	if told := p.text("#take-told"); !strings.Contains(told, "touches "+number) {
		t.Errorf("it is refused with %q", told)
	}
}
