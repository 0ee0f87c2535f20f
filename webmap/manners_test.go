package webmap_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

func TestThreeQuestionsAreAnsweredAsLists(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")

	p.click("#ask-where")
	p.do(chromedp.SendKeys(chromedp.CSS("#where-loa"), "32 ft"))
	p.click("#form-where .primary")
	p.until(`document.querySelector("#answer h2")?.textContent.startsWith("The boat fits on")`)
	vacant, fit := 0, 0
	for i, m := range f.moorings {
		if m["status"] == "vacant" {
			vacant++
			if i%80 <= 40 {
				fit++
			}
		}
	}
	if got, want := p.text("#answer h2"), fmt.Sprintf("The boat fits on %d of %d vacant moorings", fit, vacant); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := p.text("#answer .rows"); !strings.Contains(got, "Cannot be said: depth is not on record") {
		t.Errorf("what is not known is not said: %q", got)
	}

	p.run(`document.getElementById("where-position").closest("details").open = true; document.getElementById("where-position").value = ` +
		`"-38.41, -21.70"`)
	p.click("#form-where button[value=try]")
	p.until(`document.querySelector("#answer h2")?.textContent === "The boat fits there"`)

	p.click("#ask-fit")
	p.do(chromedp.SendKeys(chromedp.CSS("#fit-number"), "100"), chromedp.SendKeys(chromedp.CSS("#fit-loa"), "14.5"+kb.Enter))
	p.until(`document.querySelector("#answer h2")?.textContent === "The boat does not fit on mooring 100"`)
	if got := p.text("#answer"); !strings.Contains(got, "What fails") || !strings.Contains(got, "Beside 001") ||
		!strings.Contains(got, "overlap by 1.5 m") || !strings.Contains(got, "−2.5 m") {
		t.Errorf("the neighbour and the metres are missing: %q", got)
	}

	p.click("#ask-which")
	here := at(f.mooring("100"))
	p.do(chromedp.SendKeys(chromedp.CSS("#which-position"), here.DD()+kb.Enter))
	p.until(`document.querySelector("#answer h2")?.textContent === "Nearest: 100"`)
	p.quiet()
}

func TestAPlaceIsPickedOnTheMap(t *testing.T) {
	f := newFake(t, 500)
	m := f.mooring("300")
	p := desk(t).open(fmt.Sprintf("%s/#harbor=%s&at=%.6f,%.6f&zoom=18&ask=which", f.URL, fakeSlug, m["lat"], m["lon"]))
	p.click("#form-which [data-pick]")
	p.until(`!document.getElementById("pickbar").hidden`)
	p.press(kb.Escape)
	p.until(`document.getElementById("pickbar").hidden`)
	p.click("#form-which [data-pick]")
	p.press(kb.Enter) // the cross stands on mooring 300
	p.until(`document.getElementById("which-position").value !== ""`)
	if !read[bool](p, `document.getElementById("sheet").hidden`) {
		t.Error("picking a place opened the mooring under it")
	}
	p.click("#form-which .primary")
	p.until(`document.querySelector("#answer h2")?.textContent === "Nearest: 300"`)
	p.quiet()
}

func TestListIsFilteredByAreaAndSaysWhatToDoWhenEmpty(t *testing.T) {
	f := newFake(t, 30)
	p := desk(t).open(f.URL + "/")
	all := read[int](p, `document.querySelectorAll("#troubles .row").length`)
	p.do(chromedp.SetValue(chromedp.CSS("#area"), "East"))
	p.run(`document.getElementById("area").dispatchEvent(new Event("change"))`)
	p.until(fmt.Sprintf(`document.querySelectorAll("#troubles .row").length < %d`, all))
	for _, words := range read[[]string](p, `[...document.querySelectorAll("#troubles .row")].map((row) => row.textContent)`) {
		if !strings.Contains(words, "East") {
			t.Errorf("%q is not in East", words)
		}
	}
	empty := newFake(t, 0)
	p.open(empty.URL + "/")
	if got := p.text("#troubles"); !strings.Contains(got, "swingroom import") {
		t.Errorf("an empty harbor does not say what to do next: %q", got)
	}
	p.quiet()
}

func TestSeveralHarborsAreOffered(t *testing.T) {
	f := newFake(t, 30, "inner-bay", "outer-bay")
	p := desk(t)
	p.do(chromedp.Navigate(f.URL + "/"))
	p.until(`document.querySelectorAll("#notice a").length === 2`)
	p.click("#notice li:first-child a")
	p.until(`document.documentElement.dataset.usable === "yes" && location.hash.includes("harbor=inner-bay")`)
	if read[bool](p, `document.getElementById("other-harbors").hidden`) {
		t.Error("there is no way back to the other harbors")
	}
	p.quiet()
}

func TestLostServiceIsSaidAndNothingTypedIsLost(t *testing.T) {
	f := newFake(t, 100)
	p := desk(t).open(f.URL + "/#ask=fit&harbor=" + fakeSlug)
	p.do(chromedp.SendKeys(chromedp.CSS("#fit-number"), "050"), chromedp.SendKeys(chromedp.CSS("#fit-loa"), "11"))
	f.CloseClientConnections()
	f.Close()
	p.press(kb.Enter)
	p.until(`document.querySelector("#answer .refusal")`)
	if got := p.text("#answer"); !strings.Contains(got, "cannot be reached") || !strings.Contains(got, "is kept") ||
		!strings.Contains(got, "Ask again") {
		t.Errorf("it does not say what happened, what was kept and what to do: %q", got)
	}
	if got := read[string](p, `document.getElementById("fit-number").value + document.getElementById("fit-loa").value`); got != "05011" {
		t.Errorf("what was typed became %q", got)
	}
	// What the map knows is still there.
	p.click("#troubles .row")
	p.until(`document.querySelector("#sheet .position") && document.querySelector("#sheet .refusal")`)
}

func TestALengthThatIsNoneIsRefusedWhereItStands(t *testing.T) {
	f := newFake(t, 30)
	p := desk(t).open(f.URL + "/#ask=where&harbor=" + fakeSlug)
	p.do(chromedp.SendKeys(chromedp.CSS("#where-loa"), "long"+kb.Enter))
	p.until(`document.getElementById("where-loa-fault")`)
	if got := read[string](p, `document.getElementById("where-loa").getAttribute("aria-invalid")`); got != "true" {
		t.Errorf("aria-invalid is %q", got)
	}
	p.quiet()
}

func TestPrintIsAChartWithoutChrome(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")
	p.run(`dispatchEvent(new Event("beforeprint"))`)
	for _, id := range []string{"column", "top", "zoom"} {
		if read[bool](p, fmt.Sprintf(`document.getElementById(%q).checkVisibility()`, id)) {
			t.Errorf("#%s is printed", id)
		}
	}
	for _, want := range []string{"Grid Sound", "low water, +0.40 m", "planning aid, not for navigation", "printed ", "1 : ", "may touch"} {
		if got := p.text("#chart"); !strings.Contains(got, want) {
			t.Errorf("%q is missing from the print:\n%s", want, got)
		}
	}
	p.run(`dispatchEvent(new Event("afterprint"))`)
	if !read[bool](p, `document.getElementById("column").checkVisibility()`) {
		t.Error("the page does not come back after printing")
	}
	pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF())
	if err != nil || len(pdf) < 10000 {
		t.Errorf("the PDF has %d bytes: %v", len(pdf), err)
	}
	p.quiet()
}
