package webmap_test

import (
	"os"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
)

// Each kind of trouble has a chip with its count; what is chosen is listed, stands in the address and outlasts a reload. What cannot be
// said is listed when somebody asks for it.
func TestEachKindOfTroubleHasItsOwnFilter(t *testing.T) {
	f := newFake(t, 200)
	p := desk(t).open(f.URL + "/#harbor=" + fakeSlug)
	p.until(`document.querySelectorAll("#troubles .row").length > 3`)
	chip := func(kind string) string { return p.text("#kind-" + kind) }
	headings := func() string {
		return read[string](p, `[...document.querySelectorAll("#troubles .heading")].map((e) => e.textContent).join("; ")`)
	}
	if got := headings(); !strings.Contains(got, "Conflicts · ") || strings.Contains(got, "Cannot be said") {
		t.Errorf("at first %q is listed", got)
	}
	if got := chip("tackle"); !strings.HasPrefix(got, "Tackle ") || got == "Tackle 0" {
		t.Errorf("the chip of the tackle says %q", got)
	}
	for _, kind := range []string{"conflict", "hazard", "limit", "record"} {
		p.click("#kind-" + kind)
	}
	if got := headings(); !strings.HasPrefix(got, "Tackle · ") || strings.Contains(got, ";") {
		t.Errorf("of the tackle alone %q is listed", got)
	}
	if got := p.text("#troubles"); !strings.Contains(got, "The rode of 20 m is too short: 24 m are needed at high water") ||
		!strings.Contains(got, "−4.0 m") {
		t.Errorf("the list says %q", got)
	}
	if got := query(p).Get("kinds"); got != "tackle" {
		t.Errorf("the address says %q", got)
	}
	p.click("#kind-unsaid")
	p.until(`[...document.querySelectorAll("#troubles .heading")].some((e) => e.textContent.startsWith("Cannot be said · "))`)
	if got := p.text("#troubles"); !strings.Contains(got, "The swing radius is not known: length of the rode is not on record") {
		t.Errorf("what cannot be said is not: %q", got)
	}
	p.run(`window.before = true; location.reload()`)
	p.until(`!window.before && document.querySelector("#kind-unsaid")?.getAttribute("aria-pressed") === "true" && ` +
		`document.querySelectorAll("#troubles .row").length`)
	if got := headings(); !strings.HasPrefix(got, "Tackle · ") || !strings.Contains(got, "Cannot be said · ") ||
		strings.Contains(got, "Conflicts") {
		t.Errorf("after a reload %q is listed", got)
	}
	p.click("#kind-unsaid")
	p.click("#kind-tackle")
	p.until(`document.querySelector("#troubles .empty")?.textContent.startsWith("Nothing of the kinds that are chosen")`)
	if got := query(p).Get("kinds"); got != "none" {
		t.Errorf("with nothing chosen the address says %q", got)
	}
	p.quiet()
}

func TestTheKindsCanBeReachedByAThumb(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	f := newFake(t, 60)
	p := phone(t).open(f.URL + "/#harbor=" + fakeSlug + "&kinds=hazard,unsaid")
	p.until(`document.querySelectorAll("#troubles .row").length`)
	if least := read[float64](
		p, `Math.min(...[...document.querySelectorAll(".chip")].map((e) => e.getBoundingClientRect().height))`); least < 48 {
		t.Errorf("a chip is %.0f px high", least)
	}
	if wide := read[int](p, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
		t.Errorf("the page is %d px too wide", wide)
	}
	if found := axe(p, string(source)); len(found) > 0 {
		t.Error(strings.Join(found, "\n"))
	}
	p.quiet()
}
