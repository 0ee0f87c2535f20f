package webmap_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swingroom/geo"
)

// takeWith types into fields of the form by which a place is taken.
func takeWith(p *tab, values map[string]string) {
	p.Helper()
	for name, value := range values {
		p.run(fmt.Sprintf(
			`const e = document.getElementById("take-%s"); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true}))`, name,
			value))
	}
}

func taking(p *tab, f *fake) *tab {
	p.Helper()
	wanting(p, f, place(30, 20), "8.5", "12")
	p.click("#where-best")
	p.until(`document.querySelectorAll("#spots .row").length === 3`)
	p.click("#spots li:first-child .row")
	p.click("#spots .todo .primary")
	p.until(`!document.getElementById("form-take").hidden`)
	return p
}

func TestTakingAPlaceSetsTheMooringAndOpensIt(t *testing.T) {
	f := newFake(t, 60)
	p := taking(desk(t), f)
	if got := focused(p); got != "take-boat" {
		t.Errorf("the form opened with the focus on %q, want its first field", got)
	}
	// Without who and why nothing is sent.
	p.press("Wren", kb.Enter)
	p.until(`document.getElementById("take-who").getAttribute("aria-invalid") === "true"`)
	if _, n := f.acts.last(); n != 0 {
		t.Fatalf("%d were posted without who and why", n)
	}
	takeWith(p, map[string]string{"who": "harbormaster", "why": "first on the list"})
	p.click("#take-send")
	p.until(`document.querySelector("#sheet .radius") && document.getElementById("sheet-number").textContent === "N1"`)
	body, _ := f.acts.last()
	for name, want := range map[string]any{"boat": "Wren", "who": "harbormaster", "why": "first on the list", "area": "West",
		"loa_m": "8.5", "rode_m": "12", "if_match": `"r1"`} {
		if body[name] != want {
			t.Errorf("%s was sent as %v, want %v", name, body[name], want)
		}
	}
	at, err := geo.ParsePosition(body["position"].(string), nil)
	if err != nil || geo.Distance(at, fakeSpots()[0]) > 0.002 {
		t.Errorf("%v: sent %v, want the first place", err, body["position"])
	}
	if got := p.text("#moorings-count"); got != "61" {
		t.Errorf("%s moorings are counted, want 61", got)
	}
	if !read[bool](p, `document.getElementById("form-take").hidden && localStorage.getItem("swingroom.who") === "harbormaster" && `+
		`document.getElementById("take-boat").value === ""`) {
		t.Error("the form is still there, or who wrote is not remembered")
	}
	if q := query(p); q.Get("mooring") != "N1" || q.Get("answer") != "" {
		t.Errorf("the address holds %v", q)
	}
	p.quiet()
}

func TestTakingAPlaceWhereSheDoesNotFitAsksForAReason(t *testing.T) {
	f := newFake(t, 60)
	p := taking(desk(t), f)
	if read[bool](p, `document.getElementById("take-despite").checkVisibility()`) {
		t.Error("a reason for what does not fit is asked before it is known not to fit")
	}
	takeWith(p, map[string]string{"owner": fakeTaken, "who": "A", "why": "B"})
	p.click("#take-send")
	p.until(`document.getElementById("take-despite").checkVisibility()`)
	told := p.text("#take-told")
	for _, want := range []string{"This does not fit:", "N1: touches 040: the swing circles overlap by 1.5 m.", "N1: too shallow."} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is missing from %q", want, told)
		}
	}
	p.click("#take-send")
	p.until(`document.getElementById("take-despite").getAttribute("aria-invalid") === "true"`)
	takeWith(p, map[string]string{"despite": "one night in a calm"})
	p.click("#take-send")
	p.until(`document.getElementById("sheet-number").textContent === "N1"`)
	if body, n := f.acts.last(); n != 2 || body["despite"] != "one night in a calm" {
		t.Errorf("posted %d times, at last %v", n, body)
	}
}

func TestTakingAPlaceInAHarborThatHasChangedKeepsWhatIsTyped(t *testing.T) {
	f := newFake(t, 60)
	p := taking(desk(t), f)
	takeWith(p, map[string]string{"owner": fakeNewer, "who": "A", "why": "B"})
	p.click("#take-send")
	p.until(`document.getElementById("take-told").textContent.includes("The map shows it as it is now")`)
	if got := read[string](p, `document.getElementById("take-owner").value + document.getElementById("take-why").value`); got != fakeNewer+
		"B" {
		t.Errorf("what was typed became %q", got)
	}
	p.click("#take-send")
	p.until(`document.getElementById("sheet-number").textContent === "N1"`)
	if body, _ := f.acts.last(); body["if_match"] != `"r2"` {
		t.Errorf("sent once more from %v, want r2", body["if_match"])
	}
}

func TestTakingAPlaceWhereTheServiceOnlyShowsIsToldPlainly(t *testing.T) {
	f := newFake(t, 60)
	p := taking(desk(t), f)
	takeWith(p, map[string]string{"owner": fakeShown, "who": "A", "why": "B"})
	p.click("#take-send")
	p.until(`document.getElementById("take-told").textContent.includes("only shows")`)
	p.press(kb.Escape)
	p.until(`document.getElementById("form-take").hidden`)
	p.click("#spots .todo .primary")
	p.until(`!document.getElementById("form-take").hidden`)
	if got := read[string](p, `document.getElementById("take-owner").value`); got != fakeShown {
		t.Errorf("what was typed became %q", got)
	}
}

func TestTakingTheTrialCircleByKeysFollowsIt(t *testing.T) {
	f := newFake(t, 60)
	p := wanting(desk(t), f, place(4.5, 3.5), "8.5", "12")
	p.run(`document.getElementById("where-circle").focus()`)
	p.press(kb.Enter)
	p.until(`document.activeElement.id === "trial-grasp"`)
	start := asked(p)
	p.run(`document.getElementById("trial-take").focus()`)
	p.press(kb.Enter)
	p.until(`document.activeElement.id === "take-boat"`)
	p.run(`document.getElementById("trial-grasp").focus()`)
	p.press(kb.ArrowRight, kb.ArrowRight)
	takeWith(p, map[string]string{"who": "A", "why": "B"})
	p.run(`document.getElementById("take-send").focus()`)
	p.press(kb.Enter)
	p.until(`document.getElementById("sheet-number").textContent === "N1"`)
	body, _ := f.acts.last()
	at, err := geo.ParsePosition(body["position"].(string), nil)
	if want := geo.Ahead(start, 90, 2); err != nil || geo.Distance(at, want) > 0.05 {
		t.Errorf("%v: sent %v, want where the keys moved it, %v", err, at, want)
	}
	if !read[bool](p, `document.getElementById("trialbar").hidden`) {
		t.Error("the circle stays when its place is taken")
	}
	p.quiet()
}

func TestWhoIsNextIsToldAndAPlaceIsTakenForThem(t *testing.T) {
	f := newFake(t, 200)
	p := taking(desk(t), f)
	p.click("#spots .todo .plain")
	p.until(`document.querySelector(".opening .primary")`)
	answer := p.text("#next-answer")
	for _, want := range []string{"1 of the 2 boats that wait gets a place", "Early Bird", "first who fits at the place asked for",
		"Late Bird", "nobody fits", "waiting since 5 July 2015", "to 12.3 m"} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	p.run(`document.querySelector("#next-answer .rows details").open = true`)
	if got := p.text("#next-answer .rows .passed"); !strings.Contains(got, "Early Bird Comes 1.5 m too near 040.") {
		t.Errorf("who was passed over is told as %q", got)
	}
	p.click("#next-by-people")
	if got := p.text("#next-answer .rows"); !strings.Contains(got, "1. Early Bird") || !strings.Contains(got, "Fits on none of them.") ||
		!strings.Contains(got, "1.3 m of length to spare") {
		t.Errorf("the whole list is %q", got)
	}
	p.click(".opening .primary")
	p.until(`document.getElementById("take-listed").textContent.includes("Early Bird")`)
	takeWith(p, map[string]string{"who": "A", "why": "B"})
	p.click("#take-send")
	p.until(`document.getElementById("sheet-number").textContent === "N1"`)
	if body, _ := f.acts.last(); body["waiting"] != "Early Bird" || body["loa_m"] != nil || body["rode_m"] != "12" {
		t.Errorf("sent %v", body)
	}
	p.open(f.URL + "/#harbor=" + fakeSlug + "&ask=next")
	p.until(`document.querySelectorAll("#next-answer .rows .row").length === 2`)
	p.do(chromedp.Click(chromedp.CSS("#next-answer .rows .row")))
	p.until(`!document.getElementById("sheet").hidden`)
	p.quiet()
}
