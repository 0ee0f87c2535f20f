package paper_test

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
)

// These tests print a sheet with poppler, which shares no code with what made it, and put a ruler on the picture.

const (
	poppler    = "poppler-utils"
	dpi        = 300
	pixelMM    = 25.4 / dpi
	scaleRatio = 0.005 // 0.5 %, what a chart promises
)

// printed draws a PDF and puts it in a file.
func printed(t testing.TB, draw func(w io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := draw(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func output(t testing.TB, program string, args ...string) string {
	t.Helper()
	var errs bytes.Buffer
	cmd := exec.Command(outside.Program(t, program, poppler), args...)
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil || errs.Len() > 0 {
		t.Fatalf("%s: %v %s", program, err, errs.String())
	}
	return string(out)
}

// text is what can be read on the pages from first to last, 0: all, in the order in which it was written.
func text(t testing.TB, path string, first, last int) string {
	t.Helper()
	args := []string{"-raw", path, "-"}
	if first > 0 {
		args = append([]string{"-f", fmt.Sprint(first), "-l", fmt.Sprint(last)}, args...)
	}
	return output(t, "pdftotext", args...)
}

// words are the words on the pages.
func words(t testing.TB, path string, first, last int) []string {
	return strings.Fields(text(t, path, first, last))
}

// picture is a page as a picture.
type picture struct {
	grey     []byte
	wPx, hPx int
}

func page(t testing.TB, path string, n int) picture {
	t.Helper()
	base := filepath.Join(t.TempDir(), "page")
	output(t, "pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-singlefile", "-f", fmt.Sprint(n), "-l", fmt.Sprint(n), path, base)
	b, err := os.ReadFile(base + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var wPx, hPx int
	if _, err := fmt.Sscanf(string(b[:20]), "P5\n%d %d\n255\n", &wPx, &hPx); err != nil || len(b) < wPx*hPx {
		t.Fatal("no grey picture", err)
	}
	return picture{b[len(b)-wPx*hPx:], wPx, hPx}
}

func (p picture) dark(x, y int) bool {
	return x >= 0 && y >= 0 && x < p.wPx && y < p.hPx && p.grey[y*p.wPx+x] < 110
}

// bar is the length of the longest black bar that is 1.5 mm high, and where it stands; frames and rules are thinner.
func (p picture) bar() (lengthMM, yMM float64) {
	const highPx = 12
	best, row := 0, 0
	for y := 0; y+highPx < p.hPx; y += highPx / 2 {
		run := 0
		for x := range p.wPx {
			solid := true
			for dy := 0; dy < highPx && solid; dy += 3 {
				solid = p.dark(x, y+dy)
			}
			if run++; !solid {
				run = 0
			}
			if run > best {
				best, row = run, y
			}
		}
	}
	return float64(best) * pixelMM, float64(row) * pixelMM
}

// dot is the middle of a mark, in millimetres from the upper left corner.
type dot struct{ xMM, yMM float64 }

// dots are the round full marks of 1.1 mm on the chart, above the strip with the bar and the legend.
func (p picture) dots() (found []dot) {
	const stripMM = 9
	_, barMM := p.bar()
	seen := make([]bool, p.wPx*p.hPx)
	for y := range int((barMM - stripMM) / pixelMM) {
		for x := range p.wPx {
			if seen[y*p.wPx+x] || !p.dark(x, y) {
				continue
			}
			if d, ok := p.blob(x, y, seen); ok {
				found = append(found, d)
			}
		}
	}
	return found
}

// blob takes up everything dark that hangs together with a pixel, and tells whether that is a mark.
func (p picture) blob(x, y int, seen []bool) (dot, bool) {
	left, right, top, bottom, n := x, x, y, y, 0
	sumX, sumY := 0.0, 0.0
	open := []image.Point{{X: x, Y: y}}
	seen[y*p.wPx+x] = true
	for len(open) > 0 {
		q := open[len(open)-1]
		open = open[:len(open)-1]
		n++
		sumX, sumY = sumX+float64(q.X), sumY+float64(q.Y)
		left, right, top, bottom = min(left, q.X), max(right, q.X), min(top, q.Y), max(bottom, q.Y)
		for _, d := range []image.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
			if z := q.Add(d); p.dark(z.X, z.Y) && !seen[z.Y*p.wPx+z.X] {
				seen[z.Y*p.wPx+z.X] = true
				open = append(open, z)
			}
		}
	}
	w, h := float64(right-left+1)*pixelMM, float64(bottom-top+1)*pixelMM
	full := float64(n) / float64((right-left+1)*(bottom-top+1))
	is := math.Abs(w-1.1) < 0.2 && math.Abs(h-1.1) < 0.2 && full > 0.7 && full < 0.9
	return dot{(sumX/float64(n) + 0.5) * pixelMM, (sumY/float64(n) + 0.5) * pixelMM}, is
}

// diameter measures a circle round a mark across the page, between the middles of its line on both sides; about is where to look.
func (p picture) diameter(d dot, aboutMM float64) float64 {
	row := int(d.yMM / pixelMM)
	edge := func(side float64) float64 {
		at := d.xMM + side*aboutMM/2
		near, best := math.Inf(1), math.NaN()
		for x := int((at - 3) / pixelMM); float64(x)*pixelMM < at+3; x++ {
			if !p.dark(x, row) || p.dark(x-1, row) {
				continue
			}
			end := x
			for p.dark(end+1, row) {
				end++
			}
			if middle := float64(x+end+1) / 2 * pixelMM; math.Abs(middle-at) < near {
				near, best = math.Abs(middle-at), middle
			}
		}
		return best
	}
	return edge(1) - edge(-1)
}

// inked is the share of a circle's line that is drawn.
func (p picture) inked(d dot, radiusMM float64) float64 {
	const steps = 720
	n := 0
	for i := range steps {
		sin, cos := math.Sincos(float64(i) * 2 * math.Pi / steps)
		hit := false
		for off := -2; off <= 2; off++ {
			r := radiusMM + float64(off)*pixelMM
			hit = hit || p.dark(int((d.xMM+r*sin)/pixelMM), int((d.yMM-r*cos)/pixelMM))
		}
		if hit {
			n++
		}
	}
	return float64(n) / steps
}

// distances are those of all pairs, sorted.
func distances(at []dot) (all []float64) {
	for i, a := range at {
		for _, b := range at[:i] {
			all = append(all, math.Hypot(a.xMM-b.xMM, a.yMM-b.yMM))
		}
	}
	slices.Sort(all)
	return all
}
