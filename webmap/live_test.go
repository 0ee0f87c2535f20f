package webmap_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// listening waits until the page hears what others change.
func (p *tab) listening(f *fake) {
	p.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		f.records.mu.Lock()
		n := len(f.records.hearers)
		f.records.mu.Unlock()
		if n > 0 {
			return
		}
	}
	p.Fatal("the page does not listen")
}

// newsPixels counts pixels that are drawn on the layer of what others have changed.
func newsPixels(p *tab) int {
	p.Helper()
	p.drawn()
	return read[int](p, `(() => {
		const canvas = document.querySelector(".leaflet-news-pane canvas");
		if (!canvas.width) return 0;
		const copy = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d", { willReadFrequently: true });
		copy.drawImage(canvas, 0, 0);
		const { data } = copy.getImageData(0, 0, canvas.width, canvas.height);
		let n = 0;
		for (let i = 3; i < data.length; i += 4) if (data[i] > 40) n++;
		return n;
	})()`)
}

func TestWhatAnotherChangesIsMarkedToldAndGoneWhenItIsLookedAt(t *testing.T) {
	f := newFake(t, 60)
	m := f.mooring("012")
	p := desk(t).open(fmt.Sprintf("%s&at=%.6f,%.6f&zoom=17", f.address(), m["lat"], m["lon"]))
	p.listening(f)
	if n := newsPixels(p); n != 0 {
		t.Fatalf("%d pixels are marked before anything has changed", n)
	}
	start := time.Now()
	f.change("mooring", "012", "Somebody Else", "survey", map[string]any{"note": "new"})
	p.until(`document.getElementById("news").checkVisibility()`)
	p.until(`document.querySelector("#say").textContent.includes("changed")`)
	took := time.Since(start)
	t.Logf("told after %v", took)
	if took > 2*time.Second {
		t.Errorf("told after %v, want within 2 s", took)
	}
	if got := p.text("#news p"); got != "Mooring 012 changed by Somebody Else: survey" {
		t.Errorf("the line is %q", got)
	}
	if n := newsPixels(p); n == 0 {
		t.Error("nothing is marked on the map")
	}
	p.run(`document.getElementById("legend-button").click()`)
	if got := p.text("#legend-body"); !strings.Contains(got, "changed by another") {
		t.Error("the legend does not tell what the strokes mean")
	}
	p.click("#list-moorings")
	if got := p.text("#moorings"); !strings.Contains(got, "changed by another") {
		t.Error("the list does not say it")
	}
	time.Sleep(3 * time.Second) // the ring has run out; the strokes stay
	if n := newsPixels(p); n == 0 {
		t.Error("the mark is gone before anybody has looked")
	}
	p.button("Show 012")
	p.until(`document.getElementById("news").hidden`)
	if n := newsPixels(p); n != 0 {
		t.Errorf("%d pixels are marked after its sheet was opened", n)
	}
	p.quiet()
}

func TestALineThatBreaksIsTakenUpAgain(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.address())
	p.listening(f)
	f.breakLines()
	f.change("mooring", "003", "Somebody Else", "while nobody heard", map[string]any{"note": "x"})
	p.listening(f)
	f.change("mooring", "005", "Somebody Else", "again", map[string]any{"note": "y"})
	p.until(`document.querySelector("#news p").textContent.includes("Mooring 005")`)
}

func TestOnesOwnActIsNotTold(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.listening(f)
	p.typed(draftField, "1.75")
	p.typed(whoField, "B")
	p.typed(whyField, "measured")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "2"`)
	f.change("mooring", "003", "Somebody Else", "after it", map[string]any{"note": "x"})
	p.until(`document.getElementById("news").checkVisibility()`)
	if got := p.text("#news p"); got != "Mooring 003 changed by Somebody Else: after it" {
		t.Errorf("the line is %q: one's own act is told too", got)
	}
}
