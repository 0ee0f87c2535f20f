package webmap_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// counting opens the first question and asks how many more go in by a layout.
func counting(p *tab, f *fake, layout, move string) *tab {
	p.Helper()
	wanting(p, f, place(30, 20), "8.5", "12")
	p.run(fmt.Sprintf(`document.getElementById("where-more").open = true; const e = document.getElementById("where-layout"); e.value = `+
		`%q; e.dispatchEvent(new Event("change", {bubbles: true})); document.getElementById("where-move").value = %q`, layout, move))
	p.click("#where-count")
	return p
}

func TestCapacityIsCountedListedDrawnAndKeptInTheAddress(t *testing.T) {
	f := newFake(t, 200)
	p := counting(desk(t), f, "as_is", "")
	p.until(`document.querySelectorAll("#spots .row").length === 3`)
	answer := strings.Join(strings.Fields(p.text("#answer")), " ")
	for _, want := range []string{"3 more boats like this fit in West", "All moorings stay where they are", "No layout takes more than 5",
		strings.Join(strings.Fields(fakeSpots()[0].DDM()), " ")} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	if got := p.text("#answer details"); !strings.Contains(got, "Why no layout takes more than 5") {
		t.Errorf("the bound is told as %q", got)
	}
	p.click("#spots li:first-child .row")
	p.until(fmt.Sprintf(`Math.abs(Number(location.hash.match(/at=[^,]+,([^&]+)/)[1]) - %.7f) < 2e-6`, fakeSpots()[0].LonDeg))
	if got := inkAt(p, placesCanvas, fakeSpots()[0]); got < 200 {
		t.Errorf("the first place is not drawn: ink %d", got)
	}
	// The file is made in the page; what it holds is told by what the link is given.
	p.run(`window.blobs = []; const make = URL.createObjectURL; URL.createObjectURL = (blob) => { blobs.push(blob); return make(blob) ` +
		`}; HTMLAnchorElement.prototype.click = function () { window.named = this.download }`)
	p.click("#answer > .buttons button")
	p.until(`window.named`)
	file := read[string](p, `blobs[0].text()`)
	if rows := strings.Split(strings.TrimSpace(file), "\r\n"); len(rows) != 4 ||
		!strings.HasPrefix(rows[0], "place,area,lat_deg,lon_deg,") ||
		!strings.Contains(rows[1], fmt.Sprintf("%.7f,%.7f", fakeSpots()[0].LatDeg, fakeSpots()[0].LonDeg)) {
		t.Errorf("the file is %q", file)
	}
	if got := read[string](p, `window.named`); got != "West 3 places.csv" {
		t.Errorf("the file is called %q", got)
	}
	// Reload brings it back, at the same view of the map.
	before := read[string](p, "location.href")
	p.open(before)
	p.until(`document.querySelectorAll("#spots .row").length === 3 && document.getElementById("where-loa").value === "8.5"`)
	if after := read[string](p, "location.href"); after != before {
		t.Errorf("the address became\n%s, want\n%s", after, before)
	}
	p.press(kb.Escape)
	p.until(`document.getElementById("answer").hidden && !location.hash.includes("answer=")`)
	p.quiet()
}

func TestCapacityIsStoppedAndSaysThatItIsTheBestSoFar(t *testing.T) {
	f := newFake(t, 200)
	p := counting(desk(t), f, "moved", "017")
	p.until(`document.querySelector("#answer progress")?.value === 30`)
	if read[bool](p, `Boolean(document.querySelector("#spots"))`) {
		t.Fatal("it is done already: the test proves nothing")
	}
	p.click("#answer .stop")
	p.until(`document.querySelectorAll("#spots .row").length === 3`)
	answer := p.text("#answer")
	for _, want := range []string{"Stopped.", "best that had been found until then", "017 is moved", "12.5 m"} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	p.quiet()
}

func TestCapacityThatCannotBeCountedIsToldAndTheFormKept(t *testing.T) {
	f := newFake(t, 60)
	p := counting(desk(t), f, "moved", "999")
	p.until(`document.getElementById("answer").textContent.includes("Mooring 999: not found")`)
	p.run(`document.getElementById("where-rode").value = ""`)
	p.click("#where-count")
	p.until(`document.getElementById("where-told").textContent.includes("the rode's length is not known")`)
	if got := read[string](p, `document.getElementById("where-move").value`); got != "999" {
		t.Errorf("what was typed became %q", got)
	}
}

func TestCapacityLaidOutAnewOffersNoPlaceToTake(t *testing.T) {
	f := newFake(t, 60)
	p := counting(desk(t), f, "hexagonal", "")
	p.until(`document.querySelectorAll("#spots .row").length === 3`)
	for _, want := range []string{"laid out anew", "40.0 m", "032° true"} {
		if answer := p.text("#answer"); !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	p.click("#spots .row")
	p.until(`document.querySelector("#spots .row").getAttribute("aria-current") === "true"`)
	if read[bool](p, `Boolean(document.querySelector("#spots .todo"))`) {
		t.Error("a place can be taken that only an area laid out anew would have")
	}
	p.quiet()
}

// The canvas on which a change is drawn, and its picture when there is nothing on it.
const changeCanvas, blank = 5, 1

func TestWhatIfIsHeldAgainstWhatIs(t *testing.T) {
	f := newFake(t, 200)
	p := desk(t).open(f.URL + "/#harbor=" + fakeSlug)
	p.click("#ask-free")
	p.until(`document.activeElement.id === "free-area"`)
	p.run(`document.getElementById("free-scope").value = "3"`)
	p.click("#form-free .primary")
	p.until(`document.querySelector(".sides")`)
	answer := strings.Join(strings.Fields(p.text("#free-answer")), " ")
	for _, want := range []string{"West at a scope of 3", "Nothing of it is saved", "Conflicts 3 7", "of them certain 2 6",
		"4.05 ha 8.09 ha", "New conflicts: 1", "001 and 002", "Conflicts that would be gone: 1"} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	if picture(p, changeCanvas) <= blank {
		t.Error("the circles as they would be are not drawn")
	}
	p.click("#free-is")
	p.until(`document.getElementById("free-is").getAttribute("aria-pressed") === "true"`)
	p.run(`await new Promise((r) => setTimeout(r, 200))`)
	if picture(p, changeCanvas) > blank {
		t.Error("they are drawn although it is shown as it is")
	}
	// A new conflict is seen with the change only.
	p.click("#free-answer .rows .row")
	p.until(`document.getElementById("free-both").getAttribute("aria-pressed") === "true"`)
	p.click("#free-count")
	p.until(`document.getElementById("free-gained")`)
	if got := p.text("#free-gained"); !strings.Contains(got,
		"3 more boats like that of 001 (9.9 m) find a place with the change, 0 without it") {
		t.Errorf("what is gained is told as %q", got)
	}
	before := read[string](p, "location.hash")
	if !strings.Contains(before, "answer=what_if&in=West&scope=3&like=001") {
		t.Errorf("the address is %s", before)
	}
	p.open(read[string](p, "location.href"))
	p.until(`document.getElementById("free-gained") && document.getElementById("free-scope").value === "3"`)
	p.click("#units-feet")
	p.until(`document.querySelector(".sides").textContent.includes("10.00\u00a0acres")`)
	p.click("#ask-free")
	p.until(`document.getElementById("form-free").hidden && !location.hash.includes("answer=")`)
	if picture(p, changeCanvas) != 0 {
		t.Error("the change stays on the map when its question is closed")
	}
	p.quiet()
}

func TestWhatIfTellsWhatIsNotKnownOfARope(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.URL + "/#harbor=" + fakeSlug + "&ask=free&answer=what_if&in=West&elastic=rubber&elastic_ratio=1.3")
	p.until(`document.getElementById("free-answer").textContent.includes("lines.ropes of harbor.json can say it")`)
	if got := read[string](
		p, `document.getElementById("free-kind").value + document.getElementById("free-elastic").value`); got != "elasticrubber" {
		t.Errorf("the form holds %q", got)
	}
}

func TestTheNewAnswersOnAPhone(t *testing.T) {
	f := newFake(t, 200)
	wanted := "/#harbor=" + fakeSlug + "&in=West&loa_m=8.5&rode_m=12&ask=where&answer="
	for name, view := range map[string]struct{ hash, there, act string }{
		"capacity": {wanted + "capacity&layout=as_is", `document.querySelector("#spots .row")`,
			`document.querySelector("#spots .row").click()`},
		"taking": {wanted + "room", `document.querySelector("#spots .row")`,
			`document.querySelector("#spots .row").click(); document.querySelector("#spots .todo .primary").click(); await new ` +
				`Promise((r) => setTimeout(r, 400))`},
		"waiting": {"/#ask=next&harbor=" + fakeSlug, `document.querySelector("#next-answer .row")`, ``},
		"change": {"/#ask=free&answer=what_if&in=West&scope=3&harbor=" + fakeSlug, `document.querySelector(".sides")`,
			`document.querySelector(".sides").scrollIntoView()`},
	} {
		t.Run(name, func(t *testing.T) {
			p := phone(t).open(f.URL + view.hash)
			p.until(view.there)
			p.run(view.act)
			p.until(
				`document.getElementById("column").dataset.rise === "half" && !document.getElementById("column").getAnimations().length`)
			if read[bool](p, `document.documentElement.scrollWidth > innerWidth || [...document.querySelectorAll("#column `+
				`.scroll")].some((e) => e.scrollWidth > e.clientWidth)`) {
				t.Error("it is wider than the phone")
			}
			for _, each := range untouchable(p) {
				t.Error(each)
			}
			p.quiet()
		})
	}
}
