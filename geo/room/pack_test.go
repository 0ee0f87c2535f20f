package room

import (
	"math"
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
	tries := 40
	if testing.Short() {
		tries = 12
	}
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
		leastM := math.Inf(1)
		for i, a := range places {
			if c := brute(p, a); c < 0 {
				t.Errorf("%s, %d: %v lies outside by %g", row[0], n, a, -c)
			}
			for _, b := range places[:i] {
				leastM = min(leastM, lengthM(a.Sub(b)))
			}
		}
		if len(places) != n || leastM < distanceM {
			t.Errorf("%s: %d places, the nearest %g apart, told %g", row[0], len(places), leastM, distanceM)
		}
	}
	t.Logf("%d packings; the farthest from the best known reaches %.4f of it: %s", rows, worst, worstName)
	if rows < 37 {
		t.Errorf("only %d packings", rows)
	}
}
