package webmap_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// gate stands before the fake and holds back what is not asked for at once. While it is shut the connections are cut, as by a radio link
// that is gone.
type gate struct {
	*httptest.Server
	shut  atomic.Bool
	slow  atomic.Int64 // nanoseconds that it takes
	asked atomic.Int64 // times that the parts were asked for
}

func newGate(t *testing.T, f *fake) *gate {
	t.Helper()
	g := &gate{}
	inner := f.Config.Handler
	g.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if isLater(r.URL.Path) {
			g.asked.Add(1)
			if g.shut.Load() {
				panic(http.ErrAbortHandler)
			}
			time.Sleep(time.Duration(g.slow.Load()))
		}
		inner.ServeHTTP(w, r)
	}))
	t.Cleanup(g.Close)
	return g
}

// isLater says that a path is that of the file which holds what is opened later.
func isLater(path string) bool { return strings.HasPrefix(path, "/app/parts-") }

func TestWhatIsFetchedLaterTellsThatItCannotBeFetchedAndIsAskedAgain(t *testing.T) {
	f := newFake(t, 60)
	openings := []struct{ name, open, told, again, there string }{
		{"how the boats lie", "#ask-lie", "#answer .refusal", "#answer .refusal button", "#lie-answer h2"},
		{"who is next", "#ask-next", "#answer .refusal", "#answer .refusal button", "#next-answer .row"},
		{"what another rule would free", "#ask-free", "#answer .refusal", "#answer .refusal button", "#free-area option"},
		{"open water", "#ask-where", "#answer .refusal", "#answer .refusal button", "#where-area option"},
		{"a sheet", "#troubles .row", "#sheet .position ~ .refusal", "#sheet .refusal button", "#sheet .radius"},
	}
	for _, each := range openings {
		t.Run(each.name, func(t *testing.T) {
			g := newGate(t, f)
			g.shut.Store(true)
			p := desk(t).open(g.URL + "/")
			p.click(each.open)
			p.until(fmt.Sprintf(`document.querySelector(%q)`, each.told))
			if got := p.text(each.told); !strings.Contains(got, "cannot be reached") || !strings.Contains(got, "Ask again") {
				t.Errorf("it says %q", got)
			}
			if read[bool](p, fmt.Sprintf(`Boolean(document.querySelector(%q))`, each.there)) {
				t.Error("it is there all the same: the test proves nothing")
			}
			g.shut.Store(false)
			p.click(each.again)
			p.until(fmt.Sprintf(`document.querySelector(%q) && !document.querySelector(%q)`, each.there, each.told))
		})
	}
}

func TestAFormOpenedOverAndOverWhileItIsFetchedIsMadeOnce(t *testing.T) {
	g := newGate(t, newFake(t, 60))
	g.slow.Store(int64(700 * time.Millisecond))
	p := desk(t).open(g.URL + "/#wind=225,20&stream=0,0&harbor=" + fakeSlug)
	for range 5 {
		p.click("#ask-lie")
	}
	if read[bool](p, `Boolean(document.querySelector("#lie-wind-dial"))`) {
		t.Fatal("the form came before it was opened five times: the test proves nothing")
	}
	p.until(`document.querySelector("#lie-answer h2")`)
	time.Sleep(500 * time.Millisecond) // whatever was to be asked once more has been
	if n := read[int](p, `document.querySelectorAll("#form-lie .movers").length`); n != 1 {
		t.Errorf("the form stands there %d times", n)
	}
	if n := read[int](p, `performance.getEntriesByType("resource").filter((e) => e.name.includes("/weather?")).length`); n != 1 {
		t.Errorf("the weather was asked for %d times", n)
	}
	if n := g.asked.Load(); n != 1 {
		t.Errorf("its script was fetched %d times", n)
	}
	if got := focused(p); got != "lie-wind-dial" {
		t.Errorf("the form came with the focus on %q, want the dial", got)
	}
	p.quiet()
}

// Whoever has gone on to something else meanwhile keeps what they do.
func TestAFormThatComesLateTakesNothingAway(t *testing.T) {
	g := newGate(t, newFake(t, 60))
	g.slow.Store(int64(700 * time.Millisecond))
	p := desk(t).open(g.URL + "/#harbor=" + fakeSlug)
	p.click("#ask-lie")
	p.do(chromedp.SendKeys(chromedp.CSS("#q"), "Boa"))
	p.until(`document.querySelector("#lie-wind-dial")`)
	if got := focused(p); got != "q" {
		t.Errorf("the focus went to %q, away from the field that is typed in", got)
	}
	p.click("#ask-lie")
	p.until(`document.getElementById("form-lie").hidden`)
	p.quiet()
}

func TestWhatIsNotOpenIsFetchedAfterTheMapCanBeUsed(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.URL + "/")
	const came = `performance.getEntriesByType("resource").find((e) => e.name.includes("/app/parts-"))`
	p.until(came)
	if read[bool](p, came+`.startTime < performance.getEntriesByName("usable")[0].startTime`) {
		t.Error("what is not open is fetched before the map can be used")
	}
	// With all of it there the service may go: a form opens all the same.
	p.until(came + `.responseEnd > 0`)
	time.Sleep(200 * time.Millisecond)
	f.CloseClientConnections()
	f.Config.Shutdown(context.Background())
	p.click("#ask-lie")
	p.until(`document.querySelector("#lie-wind-dial") && document.querySelector("#lie-answer .refusal")`)
}

// Each request is a round trip of a harbor's radio link: the page's own files are to be few. What the service is asked is counted apart, as
// it depends on the harbor.
func TestTheFirstPictureNeedsFewFiles(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.URL + "/")
	p.until(`performance.getEntriesByType("resource").some((e) => e.name.includes("/app/parts-"))`)
	own := read[[]string](p, `[...new Set(performance.getEntriesByType("resource").map((e) => new URL(e.name).pathname))]
		.filter((path) => !path.startsWith("/api/"))`)
	const maxFiles = 9 // a style sheet, an icon, the map library, the scripts of the first picture and the parts that come after it
	if len(own) > maxFiles {
		t.Errorf("%d files of the page are asked for: %v", len(own), own)
	}
}
