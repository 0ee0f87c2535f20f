package webmap_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// The promised figures, 1 s and 33 ms, are those of the benchmarks on a quiet machine. A test that shares its cores with others cannot
// judge them, so the tests here only tell what they measured, and fail where the page hangs.
const (
	usableHangsMS = 15000 // 500 moorings, from navigation until they are drawn and listed
	frameHangsMS  = 500   // median between frames while 5,000 moorings are panned
)

// usableMS is the time from the start of the navigation until moorings and troubles are drawn and listed.
func usableMS(p *tab, address string) float64 {
	p.Helper()
	p.open(address)
	return read[float64](p, `performance.getEntriesByName("usable")[0].startTime`)
}

func TestPageWith500MooringsBecomesUsable(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t)
	all := []float64{usableMS(p, f.URL+"/"), usableMS(p, f.URL+"/"), usableMS(p, f.URL+"/")}
	best := slices.Min(all)
	t.Logf("usable with 500 moorings after %.0f ms at best; all: %.0f", best, all)
	if best > usableHangsMS {
		t.Errorf("usable after %.0f ms", best)
	}
}

// panMS drags the map to and fro and gives the times between the frames that the browser showed meanwhile.
func panMS(p *tab) []float64 {
	p.Helper()
	p.run(`const watch = window.watch = {frames: [], on: true};
		requestAnimationFrame(function look(t) { watch.frames.push(t); if (watch.on) requestAnimationFrame(look); })`)
	mouse := func(kind input.DispatchMouseEventType, x, y float64) {
		p.do(chromedp.MouseEvent(kind, x, y, chromedp.ButtonLeft, func(m *input.DispatchMouseEventParams) {
			m.Buttons = 1
			m.ClickCount = 1
		}))
	}
	x, y := 900.0, 450.0
	mouse(input.DispatchMouseEventTypeMousePressed, x, y)
	for i := range 120 {
		x += 6
		if i >= 60 {
			x -= 12
		}
		mouse(input.DispatchMouseEventTypeMouseMoved, x, y+float64(i%9))
		time.Sleep(8 * time.Millisecond)
	}
	mouse(input.DispatchMouseEventTypeMouseReleased, x, y)
	frames := read[[]float64](p, `(window.watch.on = false, window.watch.frames)`)
	var between []float64
	for i := 1; i < len(frames); i++ {
		between = append(between, frames[i]-frames[i-1])
	}
	slices.Sort(between)
	return between
}

func median(sorted []float64) float64 { return sorted[len(sorted)/2] }

// fieldOf5000 opens 5,000 moorings, all of them in sight.
func fieldOf5000(t testing.TB) *tab {
	f := newFake(t, 5000)
	p := desk(t).open(f.URL + "/")
	p.click("#zoom-all")
	time.Sleep(600 * time.Millisecond) // the zoom comes to rest
	return p
}

func TestPanningFiveThousandMooringsMovesTheMap(t *testing.T) {
	p := fieldOf5000(t)
	before := read[string](p, "location.hash")
	frames := panMS(p)
	p.until(fmt.Sprintf("location.hash !== %q", before)) // else the map did not move, and the frames prove nothing
	t.Logf("panning 5,000 moorings: %d frames, median %.1f ms, 95 in 100 within %.1f ms, longest %.1f ms", len(frames), median(frames),
		frames[len(frames)*95/100], frames[len(frames)-1])
	if median(frames) > frameHangsMS {
		t.Errorf("median frame of %.1f ms", median(frames))
	}
}

// fleetOf500 opens a field of some more than 500 hulls, all of them drawn in their shape at the scale where they just fill the map, and
// plays a shift of wind.
func fleetOf500(t testing.TB) *tab {
	f := newFake(t, 540)
	boats, _, _ := f.lying(nil)
	if len(boats) < 500 {
		t.Fatalf("only %d hulls", len(boats))
	}
	middle := place(14, 9)
	p := laidWith(desk(t), f, fmt.Sprintf("wind=225,20&stream=0,0&at=%.6f,%.6f&zoom=17", middle.LatDeg, middle.LonDeg))
	p.click("#play-shift")
	p.until(`!document.getElementById("player").hidden`)
	return p
}

// playMS plays for three seconds and gives the times between the frames that the browser showed meanwhile.
func playMS(p *tab) []float64 {
	p.Helper()
	p.run(`const s = document.getElementById("play-moment"); s.value = "2"; s.dispatchEvent(new Event("input")); ` +
		`document.getElementById("play-pause").click()`)
	frames := read[[]float64](p, `new Promise((done) => {
		const frames = [], began = performance.now();
		requestAnimationFrame(function look(t) { frames.push(t); if (t - began < 3000) requestAnimationFrame(look); else done(frames); });
	})`)
	if moment := read[float64](p, `Number(document.getElementById("play-moment").value)`); moment < 3 {
		p.Fatalf("after three seconds it stands at frame %v: it did not play, and the frames prove nothing", moment)
	}
	var between []float64
	for i := 1; i < len(frames); i++ {
		between = append(between, frames[i]-frames[i-1])
	}
	slices.Sort(between)
	return between
}

func TestFiveHundredHullsPlay(t *testing.T) {
	frames := playMS(fleetOf500(t))
	t.Logf("playing 500 hulls: %d frames, median %.1f ms, 95 in 100 within %.1f ms, longest %.1f ms", len(frames), median(frames),
		frames[len(frames)*95/100], frames[len(frames)-1])
	if median(frames) > frameHangsMS {
		t.Errorf("median frame of %.1f ms", median(frames))
	}
}

func BenchmarkPlay500(b *testing.B) {
	p := fleetOf500(b)
	var all []float64
	for b.Loop() {
		all = append(all, playMS(p)...)
	}
	slices.Sort(all)
	b.ReportMetric(median(all), "median-frame-ms")
	b.ReportMetric(all[len(all)*95/100], "p95-frame-ms")
	b.ReportMetric(all[len(all)-1], "worst-frame-ms")
}

func BenchmarkUsable500(b *testing.B) {
	f := newFake(b, 500)
	p := desk(b)
	var all []float64
	for b.Loop() {
		all = append(all, usableMS(p, f.URL+"/"))
	}
	slices.Sort(all)
	b.ReportMetric(all[0], "best-ms")
	b.ReportMetric(median(all), "median-ms")
}

func BenchmarkPan5000(b *testing.B) {
	p := fieldOf5000(b)
	var medians []float64
	for b.Loop() {
		medians = append(medians, median(panMS(p)))
	}
	slices.Sort(medians)
	b.ReportMetric(median(medians), "median-frame-ms")
}
