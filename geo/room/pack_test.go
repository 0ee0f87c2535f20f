package room

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// circleOf is a polygon of so many corners that lies in a circle.
func circleOf(radiusM float64, corners int) (edges []edge) {
	at := func(i int) geo.Offset { return geo.Toward(-float64(i)*360/float64(corners), geo.Metres(radiusM)) }
	for i := range corners {
		edges = append(edges, edge{at(i), at(i + 1)})
	}
	return edges
}

// Points spread in a square and in a circle are the middles of equal circles in a larger one: with the least distance m between points in a
// square of side s circles of m/2 lie in one of side s + m, and in a circle likewise. The circle is a polygon of 720 corners in it, nowhere
// more than 1 - cos(pi/720) = 1e-5 of its radius short, which is far below what is asked.
func TestSpreadComesNearTheBestKnownPackings(t *testing.T) {
	if testing.Short() {
		t.Skip("many layouts, which the race detector makes long; run without -short")
	}
	const (
		sizeM  = 100.0
		wanted = 0.98
	)
	const tries = 40
	worst, worstName, rows := 2.0, "", 0
	for _, row := range outside.Table(t, "../../testdata/room/packings.csv")[1:] {
		n, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		edges, acrossM := ringOf(0, 0, sizeM, 0, sizeM, sizeM, 0, sizeM), sizeM
		if row[0] == "circle" {
			edges, acrossM = circleOf(sizeM, 720), 2*sizeM
		}
		container := zoneOf(true, 0, edges)
		p := boxed(&plan{zones: []zone{container}})
		places, distanceM := spread(p, n, tries, 1)
		rows++
		reached := distanceM / (acrossM + distanceM) // radius over the side, or over the radius
		if row[0] == "square" {
			reached /= 2
		}
		share := reached / outside.Figure(t, row[2])
		if share < worst {
			worst, worstName = share, row[0]+" "+row[1]
		}
		// nobody has a better one; the figures of a circle have four digits, and a layout is a little too wide by its tolerance
		const best = 1 + 1e-4
		if share < wanted || share > best {
			t.Errorf("%s, %d: %.6f, which is %.4f of the best known", row[0], n, reached, share)
		}
		minM := math.Inf(1)
		for i, a := range places {
			if c := brute(p, a); c < 0 {
				t.Errorf("%s, %d: %v lies outside by %g", row[0], n, a, -c)
			}
			for _, b := range places[:i] {
				minM = min(minM, lengthM(a.Sub(b)))
			}
		}
		if len(places) != n || minM < distanceM {
			t.Errorf("%s: %d places, the nearest %g apart, told %g", row[0], len(places), minM, distanceM)
		}
	}
	t.Logf("%d packings; the farthest from the best known reaches %.4f of it: %s", rows, worst, worstName)
	if rows < 37 {
		t.Errorf("only %d packings", rows)
	}
}

// spread lays n anchors in the water of a plan so that the least distance between any two is large, and gives that distance: from random
// places the anchors are pushed apart to a distance that is halved in towards the greatest at which they still find room, tries times.
func spread(p *plan, n, tries int, seed uint64) (best []geo.Offset, distanceM float64) {
	random := rand.New(rand.NewPCG(seed, 1))
	y := &site{classes: []boatClass{{chart: newChart(p, p.diagonalM()/64)}}}
	var l chartReader
	for range tries {
		layout := make([]anchor, 0, n)
		for len(layout) < n {
			a := y.lay(0, geo.Offset{EastM: p.low.EastM + random.Float64()*(p.high.EastM-p.low.EastM),
				NorthM: p.low.NorthM + random.Float64()*(p.high.NorthM-p.low.NorthM)})
			if l.fits(y.classes[0].chart, a.at, a.radiusM, 0) {
				layout = append(layout, a)
			}
		}
		r := relaxation{site: y}
		var good []anchor
		lo, hi := 0.0, 2*p.diagonalM()/math.Sqrt(float64(n)) // no layout reaches so much
		if distanceM > 0 {
			hi = min(hi, distanceM*1.1) // what beats the best so far will not beat it by more
		}
		for hi > distanceM && hi-lo > 2e-5*hi {
			middle := (lo + hi) / 2
			if lo == 0 {
				middle = hi * 0.9
			}
			y.classes[0].marginM, y.minM, y.maxM = middle, middle, middle
			if r.relax(context.Background(), layout, 1500) {
				good, lo = append(good[:0], layout...), middle
			} else { // what the push has come to is a better start for a smaller distance than where it began
				hi = middle
			}
		}
		y.classes[0].marginM = lo
		if kept, _ := y.valid(good); lo > distanceM && len(kept) == n {
			distanceM, best = lo, places(kept)
		}
	}
	return best, distanceM
}

func places(layout []anchor) []geo.Offset {
	at := make([]geo.Offset, len(layout))
	for i := range layout {
		at[i] = layout[i].at
	}
	return at
}
