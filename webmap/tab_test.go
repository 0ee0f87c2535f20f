package webmap_test

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"swingroom/fixtures/outside"
)

// tab is one tab of a real browser, and what it wrote to its console.
type tab struct {
	testing.TB
	ctx context.Context

	mu   sync.Mutex
	said []string
}

const patience = 20 * time.Second

// browser is started by the first test that needs it and stopped after the last one; a start takes longer than most tests.
type browser struct {
	once sync.Once
	ctx  context.Context
	stop func()
	err  error
}

func (b *browser) start(path string) (context.Context, error) {
	b.once.Do(func() {
		options := []chromedp.ExecAllocatorOption{
			chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
			chromedp.NoDefaultBrowserCheck,
		}
		for _, flag := range []string{"disable-quic", "disable-background-networking", "disable-component-update", "disable-sync"} {
			options = append(options, chromedp.Flag(flag, true))
		}
		allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
		b.stop = stop
		b.ctx, _ = chromedp.NewContext(allocator)
		b.err = chromedp.Do(b.ctx)
	})
	return b.ctx, b.err
}

var shared browser

// smoke are the tests of the page that the short run keeps: it comes up, and the three jobs are done on the real service. The others take
// minutes.
var smoke = []string{"TestPageShowsEveryMooringAndTroubleAndComplainsOfNothing", "TestTheDemoHarborFromSearchToWorking",
	"TestTheDemoHarborTakesAPlace", "TestALargerBoatIsCheckedAndAWayOutTaken"}

func TestMain(m *testing.M) {
	code := m.Run()
	if shared.stop != nil {
		shared.stop()
	}
	os.Exit(code)
}

// inShort skips what the short run leaves out.
func inShort(t testing.TB) {
	t.Helper()
	if testing.Short() && !slices.Contains(smoke, t.Name()) {
		t.Skip("drives a browser; run without -short")
	}
}

// newTab opens a tab of that size in pixels, which shares no cache and no storage with any other.
func newTab(t testing.TB, width, height int64, how ...chromedp.EmulateViewportOption) *tab {
	t.Helper()
	inShort(t)
	running, err := shared.start(outside.Program(t, "chromium", "chromium"))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := chromedp.NewContext(running, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	p := &tab{TB: t, ctx: ctx}
	// The tab lives as long as the context of its first step, so that one has no time limit.
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, height, how...)); err != nil {
		t.Fatal(err)
	}
	// Among several tabs only one has the keyboard; this one is to believe that it is always this one.
	if _, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled,
		emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if m.IsException() || m.Type == "error" || m.Type == "warning" {
				p.mu.Lock()
				p.said = append(p.said, m.String())
				p.mu.Unlock()
			}
		}
	}()
	return p
}

// open goes to an address and waits until the page can be used.
func (p *tab) open(address string) *tab {
	p.Helper()
	p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	p.until(`document.documentElement.dataset.usable === "yes"`)
	return p
}

func (p *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.Fatal(err)
	}
}

// read gives the value of an expression in the page.
func read[T any](p *tab, expression string) T {
	p.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.Fatalf("%s: %v", expression, err)
	}
	return value
}

// run does something in the page.
func (p *tab) run(script string) {
	p.Helper()
	read[bool](p, "(async () => {"+script+"; return true})()")
}

// until waits for an expression to become true.
func (p *tab) until(expression string) {
	p.Helper()
	for n, end := 1, time.Now().Add(patience); time.Now().Before(end); n++ {
		time.Sleep(time.Duration(min(n-1, 1)) * 20 * time.Millisecond)
		// While the page changes there may be nothing to ask, which is no yes.
		yes, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool]("(() => { try { return Boolean("+expression+
			") } catch { return false } })()"))
		if err == nil && yes {
			return
		}
		if n%10 == 0 {
			p.drawn()
		}
	}
	p.Fatalf("never became true: %s\nconsole: %s", expression, strings.Join(p.complaints(), "\n"))
}

// drawn lets the page draw what it has to draw. After a key a browser without a screen may draw no frame of its own until it is asked for a
// picture, and what moves stands still.
func (p *tab) drawn() {
	p.Helper()
	if _, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot()); err != nil {
		p.Fatal(err)
	}
}

func (p *tab) text(selector string) string {
	p.Helper()
	return strings.ReplaceAll(read[string](p, "document.querySelector('"+selector+"').innerText"), "\u00a0", " ")
}

// click clicks in the middle of an element. It waits until that stands still: on a busy machine a drawer that rises would carry it from
// under the pointer.
func (p *tab) click(selector string) {
	p.Helper()
	p.until(fmt.Sprintf(`(() => {
		const {x, y} = document.querySelector(%q).getBoundingClientRect(), was = window.stoodAt
		window.stoodAt = %q + x + " " + y
		return was === window.stoodAt })()`, selector, selector))
	p.do(chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

func (p *tab) press(keys ...string) {
	p.Helper()
	for _, key := range keys {
		p.do(chromedp.KeyEvent(key))
	}
}

// complaints are the errors and warnings that the console has heard so far.
func (p *tab) complaints() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.said...)
}

func (p *tab) quiet() {
	p.Helper()
	for _, each := range p.complaints() {
		p.Errorf("console: %s", each)
	}
}
