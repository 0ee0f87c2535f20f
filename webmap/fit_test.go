package webmap_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// tryOn asks the second question: the boat by the names of the form's fields, as they are typed.
func tryOn(p *tab, values map[string]string) *tab {
	p.Helper()
	p.click("#ask-fit")
	for name, value := range values {
		p.run(fmt.Sprintf(`const e = document.getElementById("fit-%s"); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true}))`,
			name, value))
	}
	// On a phone the drawer is still rising: a click would go where the button was.
	p.until(`(() => { const { top } = document.querySelector("#form-fit button[type=submit]").getBoundingClientRect(), rests = top === ` +
		`window.topBefore; window.topBefore = top; return rests })()`)
	p.click("#form-fit button[type=submit]")
	p.until(`document.querySelector("#answer .lead")`)
	return p
}

var largerBoat = map[string]string{"number": "301", "loa": "31 ft", "beam": "10 ft", "draft": "5 ft", "bow": "4 ft"}

// TestALargerBoatIsCheckedAndAWayOutTaken does with the real service what the yard does when somebody buys a larger boat: the check, the
// sheet, a way out, the map.
func TestALargerBoatIsCheckedAndAWayOutTaken(t *testing.T) {
	address, _ := demoService(t)
	p := tryOn(desk(t).open(address+"/"), largerBoat)
	if got := p.text("#answer h2"); !strings.HasPrefix(got, "The boat does not fit on mooring 301") {
		t.Errorf("the answer is %q", got)
	}
	table := p.text("#answer")
	for _, want := range []string{"Swings into the 30 ft kept clear beside the fairway Town Channel", "What fails",
		" ft into the 30 ft kept clear beside the fairway Town Channel: ", " ft left", "Rule for pennant", "things that are kept"} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is not among the verdicts\n%s", want, table)
		}
	}
	if !read[bool](p, `(async () => { const r = await fetch(document.getElementById("fit-sheet").href); return r.ok && `+
		`r.headers.get("content-type") === "application/pdf" && (await r.arrayBuffer()).byteLength > 10000 })()`) {
		t.Error("the sheet to sign is no PDF")
	}
	p.run(`[...document.querySelectorAll(".remedies li")].find((li) => li.textContent.includes("vacant mooring ` +
		`332")).querySelector("button[aria-expanded]").click()`)
	p.until(`document.activeElement?.name === "boat" && document.activeElement.closest(".act")`)
	// Without who and why nothing is done, and what is typed stays.
	p.press("Wren", kb.Enter)
	p.until(`document.querySelector(".act [name=who]").getAttribute("aria-invalid") === "true"`)
	p.run(`for (const [name, value] of [["who", "harbormaster"], ["why", "bought a larger boat"]]) { const e = ` +
		`document.querySelector(".act [name=" + name + "]"); e.value = value; e.dispatchEvent(new Event("input", {bubbles: true})) }`)
	p.click(".act button[type=submit]")
	p.until(`document.getElementById("sheet-number").textContent === "332" && document.querySelector("#sheet .working")`)
	if sheet := p.text("#sheet-body"); !strings.Contains(sheet, "Wren") {
		t.Errorf("the new boat is not on the sheet\n%s", sheet)
	}
	p.quiet()
}

func TestABoatThatFitsIsGivenTheMooring(t *testing.T) {
	f := newFake(t, 60)
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	for name, open := range map[string]func(testing.TB) *tab{"desk": desk, "phone": phone} {
		p := open(t).open(f.URL + "/")
		tryOn(p, map[string]string{"number": "007", "loa": "26 ft", "draft": "4 ft"})
		if got := p.text("#answer h2"); got != "The boat fits on mooring 007" {
			t.Errorf("%s: %q", name, got)
		}
		if wide := read[int](p, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
			t.Errorf("%s: the page is %d px too wide", name, wide)
		}
		if found := axe(p, string(source)); len(found) > 0 {
			t.Errorf("%s: %s", name, strings.Join(found, "\n"))
		}
		// A larger one does not, and is told what would do.
		p.run(`const e = document.getElementById("fit-loa"); e.value = "33 ft"; e.dispatchEvent(new Event("input", {bubbles: true}))`)
		p.click("#form-fit button[type=submit]")
		p.until(`document.querySelector(".remedies li")`)
		if got := p.text(".remedies"); !strings.Contains(got, "A vacant mooring") || !strings.Contains(got, "Show 002") {
			t.Errorf("%s: ways %q", name, got)
		}
		p.quiet()
	}
}

// TestAMooringIsVacatedMovedAndRetiredOnItsSheet does with the real service what is done to a mooring on record.
func TestAMooringIsVacatedMovedAndRetiredOnItsSheet(t *testing.T) {
	address, field := demoService(t)
	p := desk(t).open(address + "/#harbor=tarrowick-harbor&mooring=301")
	act := func(label string, more map[string]string) {
		t.Helper()
		p.until(fmt.Sprintf(`[...document.querySelectorAll("#sheet button")].some((b) => b.textContent === %q)`, label))
		p.run(fmt.Sprintf(`[...document.querySelectorAll("#sheet button")].find((b) => b.textContent === %q).click()`, label))
		values := map[string]string{"who": "harbormaster", "why": "as asked"}
		for name, value := range more {
			values[name] = value
		}
		for name, value := range values {
			p.run(fmt.Sprintf(`{ const e = [...document.querySelectorAll("#sheet .act [name=%s]")].find((e) => e.checkVisibility()); `+
				`e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})) }`, name, value))
		}
		p.run(`[...document.querySelectorAll("#sheet .act button[type=submit]")].find((e) => e.checkVisibility()).click()`)
	}
	act("The boat leaves", nil)
	p.until(`document.getElementById("sheet-body").innerText.includes("Vacant.") && ` +
		`document.getElementById("answer").innerText.includes("leaves 301") && !document.querySelector("#sheet .act")`)
	i, _ := field.Index("301")
	act("Move the anchor", map[string]string{"position": geo.Ahead(field.Harbor().Moorings[i].Position, 250, 4).DD()})
	p.until(`document.getElementById("answer").innerText.includes("is moved 13") && !document.querySelector("#sheet .act")`) // feet
	// the sheet, which is asked for again, has to come before the mooring goes
	p.run(`new Promise((done) => setTimeout(done, 500))`)
	act("Retire the mooring", nil)
	p.until(`document.getElementById("sheet").hidden`)
	p.until(fmt.Sprintf(`document.getElementById("moorings-count").textContent === "%d"`, len(field.Harbor().Moorings)-1))
	p.quiet()
}
