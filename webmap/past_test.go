package webmap_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

func TestTheFieldAsItStoodIsInTheAddressSaysSoAndTakesNoActs(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.address() + "&mooring=012")
	p.click("#as-of-button")
	p.until(`document.activeElement.id === "as-of"`)
	p.typed("#as-of", "2026-03-01")
	p.until(`document.documentElement.dataset.usable === "yes" && document.getElementById("pastbar").checkVisibility() && ` +
		`document.querySelector("#record")`)
	if got := p.text("#pastbar"); !strings.Contains(got, "As it stood on") || !strings.Contains(got, "March 2026") {
		t.Errorf("the bar says %q", got)
	}
	if q := query(p); q.Get("on") != "2026-03-01" || q.Get("harbor") != fakeSlug || q.Get("mooring") != "012" {
		t.Errorf("the address holds %v", q)
	}
	for _, words := range []string{"The boat leaves", "Move the anchor", "Change the record", "Write a note"} {
		if read[bool](p, `[...document.querySelectorAll("button")].some((b) => b.textContent === "`+words+`")`) {
			t.Errorf("%q is offered in a past", words)
		}
	}
	f.records.mu.Lock()
	asked := strings.Join(f.records.asked, "\n")
	listened := f.records.listened
	f.records.mu.Unlock()
	for _, want := range []string{"@2026-03-01/moorings", "@2026-03-01/check", "@2026-03-01/moorings/012"} {
		if !strings.Contains(asked, want) {
			t.Errorf("%s was not asked for; asked was\n%s", want, asked)
		}
	}
	p.click("#past-back")
	p.until(`document.documentElement.dataset.usable === "yes" && !document.getElementById("pastbar").checkVisibility() && ` +
		`[...document.querySelectorAll("button")].some((b) => b.textContent === "Change the record")`)
	if q := query(p); q.Get("on") != "" || q.Get("mooring") != "012" {
		t.Errorf("back from it the address holds %v", q)
	}
	p.listening(f)
	if f.records.listened <= listened {
		t.Error("today's changes are not listened to")
	}
	p.quiet()
}

func TestAPastBeforeTheHistoryIsToldWithAWayBack(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t)
	p.do(chromedp.Navigate(f.address() + "&on=1999-01-01"))
	p.until(`document.getElementById("notice").checkVisibility()`)
	if got := p.text("#notice"); !strings.Contains(got, "its history begins") {
		t.Errorf("told is %q", got)
	}
	p.button("Back to today")
	p.until(`document.documentElement.dataset.usable === "yes"`)
}
