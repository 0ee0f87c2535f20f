package room_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// metric is a boat of so many metres on so long a rode.
func metric(loaM float64, laid geo.Tackle, area *geo.Area) room.Ask {
	known := func(v float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(v)) }
	a := room.Ask{Area: area.Name, Tackle: laid}
	a.Boat = geo.Boat{Kind: "sloop", LOA: known(loaM), Beam: known(0.33 * loaM), Draft: known(0.8), BowHeight: known(1)}
	if area.Rules.Swing.Kind == geo.Stated {
		length, _ := laid.RodeLength()
		a.Radius = geo.Known(length.Or(0) + geo.Metres(loaM))
	}
	return a
}

// The very case that was wrong: her rode of 20 m reaches the bed in North Roads, but not in the deepest water of the harbor.
func TestTheRegionHoldsWhereTheRodeIsTooShortElsewhere(t *testing.T) {
	w := demo(t)
	area, _ := w.Field().Harbor().Area("North Roads")
	q := askedOf(t, w, area, metric(8, chain(20), area))
	r, err := q.Region(context.Background())
	if err != nil || r.AreaM2 < 1000 {
		t.Fatalf("%v, %.0f m²", err, r.AreaM2)
	}
	if faults, inside, outside := judged(q, &r, 2000, 1); len(faults) > 0 || inside < 2000 || outside < 2000 {
		t.Errorf("%d of %d inside and %d outside are wrong, as %s", len(faults), inside, outside, faults[:min(3, len(faults))])
	}
}

// sums are what a test has asked.
type sums struct {
	regions         []room.Region
	names           []string
	empty           int
	inside, outside int
}

// sound holds one region against the full check, and its rings against each other.
func (s *sums) sound(t *testing.T, name string, q *asked, places int) {
	t.Helper()
	r, err := q.Region(context.Background())
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	faults, inside, outside := judged(q, &r, places, uint64(len(s.regions)))
	if len(faults) > 0 {
		t.Errorf("%s: %d of %d inside and %d outside are wrong, as %.400s", name, len(faults), inside, outside, faults[0])
	}
	if n := crossings(&r); n > 0 {
		t.Errorf("%s: %d sides cross", name, n)
	}
	if r.PolygonsM2 > r.AreaM2 {
		t.Errorf("%s: polygons of %g m² in %g m²", name, r.PolygonsM2, r.AreaM2)
	}
	s.regions, s.names = append(s.regions, r), append(s.names, name)
	s.inside, s.outside = s.inside+inside, s.outside+outside
	if len(r.Polygons) == 0 {
		s.empty++
	}
}

func (s *sums) end(t *testing.T) {
	t.Logf("%d regions, %d of them without any water; %d places inside, %d outside", len(s.regions), s.empty, s.inside, s.outside)
	for i, fault := range valid(t, s.regions) {
		if fault != "" {
			t.Errorf("%s: by GEOS %s", s.names[i], fault)
		}
	}
}

func TestEveryRegionOfTheDemoIsSound(t *testing.T) {
	if testing.Short() {
		t.Skip("every area of the demo; regions of random harbors are in the short run too")
	}
	w := demo(t)
	const places, rodes = 2000, 12
	var s sums
	for n := range w.Field().Harbor().Areas {
		area := &w.Field().Harbor().Areas[n]
		for _, loaM := range []float64{6, 8, 11} {
			for k := range rodes {
				rodeM := 10 + 27.5*float64(k)/float64(rodes-1)
				s.sound(t, fmt.Sprintf("%s, %g m on %.1f m of chain", area.Name, loaM, rodeM),
					askedOf(t, w, area, metric(loaM, chain(rodeM), area)), places)
				if area.Rules.Lying == geo.InUnison {
					// Where the sweep judges her, a check takes a hundred times as long: a tenth of the places.
					s.sound(t, fmt.Sprintf("%s, %g m on %.1f m in unison", area.Name, loaM, rodeM),
						askedOf(t, w, area, metric(loaM, tackle(rodeM), area)), places/10)
				}
			}
		}
	}
	s.end(t)
}

// A sketch is a random harbor, drawn in metres.
type sketch struct {
	*rand.Rand
	frame geo.Frame
}

func (s sketch) between(lo, hi float64) float64 { return lo + (hi-lo)*s.Float64() }

// star is a ring round a middle, counterclockwise or clockwise.
func (s sketch) star(middle geo.Offset, minM, maxM float64, corners int, hole bool) orb.Ring {
	var ring orb.Ring
	for i := range corners {
		share := float64(i) / float64(corners)
		if hole {
			share = -share
		}
		sin, cos := math.Sincos(2 * math.Pi * share)
		ring = append(ring, s.frame.Position(middle.Plus(geo.Offset{EastM: cos, NorthM: sin}.Times(s.between(minM, maxM)))).Point())
	}
	return append(ring, ring[0])
}

// bed is a slope with shoals and holes, sounded every 15 m.
func (s sketch) bed() *geom.MultiPoint {
	riseRatio, levelM := s.between(-0.015, 0.015), s.between(4, 9)
	var bumps [6][4]float64
	for i := range bumps {
		bumps[i] = [4]float64{s.between(-250, 250), s.between(-250, 250), s.between(15, 60), s.between(-5, 6)}
	}
	var flat []float64
	for e := -420.0; e <= 420; e += 15 {
		for n := -420.0; n <= 420; n += 15 {
			depthM := levelM + riseRatio*e
			for _, b := range bumps {
				depthM += b[3] * math.Exp(-((e-b[0])*(e-b[0])+(n-b[1])*(n-b[1]))/(b[2]*b[2]))
			}
			p := s.frame.Position(geo.Offset{EastM: e, NorthM: n})
			flat = append(flat, p.LonDeg, p.LatDeg, depthM)
		}
	}
	return geom.NewMultiPointFlat(geom.XYZ, flat)
}

// rules are of any kind.
func (s sketch) rules() geo.Rules {
	kinds := geo.RuleKinds()
	rules := geo.DefaultRules()
	rules.Margin = geo.Metres(s.IntN(3))
	rules.Swing = geo.SwingRule{Kind: kinds[s.IntN(len(kinds))]}
	switch rules.Swing.Kind {
	case geo.ScopeRule:
		rules.Swing.ScopeRatio = s.between(1, 3)
	case geo.Formula:
		rules.Swing.LOARatio, rules.Swing.DepthRatio, rules.Swing.Constant = s.between(1, 2), s.between(0, 1.5), geo.Metres(s.between(0, 6))
	}
	return rules
}

// moorings: scattered, in pairs whose circles touch or all but leave her a way between them, two at one anchor, and circles that
// touch the edge of the area. herM is about how far the boat swings that is placed.
func (s sketch) moorings(area *geo.Area, herM float64) (all []geo.Mooring) {
	add := func(at geo.Offset, radiusM float64) {
		draft := geo.Known(geo.Metres(1))
		all = append(all, geo.Mooring{Number: fmt.Sprint(len(all) + 1), Area: area.Name, Status: geo.Occupied,
			Position: s.frame.Position(at),
			Accuracy: geo.Known(geo.Metres(0)), StatedRadius: geo.Known(geo.Metres(radiusM)), Boat: &geo.Boat{Draft: draft}})
	}
	for range 4 + s.IntN(50) {
		at, radiusM := geo.Offset{EastM: s.between(-220, 220), NorthM: s.between(-220, 220)}, s.between(0.5, 4)
		if s.IntN(3) == 0 {
			radiusM = s.between(4, 30)
		}
		add(at, radiusM)
		sin, cos := math.Sincos(s.between(0, 2*math.Pi))
		way, otherM := geo.Offset{EastM: cos, NorthM: sin}, s.between(0.5, 12)
		switch s.IntN(5) {
		case 0:
			add(at, otherM)
		case 1:
			add(at.Plus(way.Times(radiusM+otherM)), otherM)
		case 2:
			neckM := []float64{0, 1e-6, 1e-3, 0.02, 0.3}[s.IntN(5)] // what is left to her between the two
			add(at.Plus(way.Times(radiusM+otherM+2*float64(area.Rules.Margin)+2*herM+neckM)), otherM)
		case 3:
			ring := area.Shape[0][0]
			k := s.IntN(len(ring) - 1)
			project := func(p orb.Point) geo.Offset { return s.frame.Project(geo.Position{LonDeg: p[0], LatDeg: p[1]}) }
			from, to := project(ring[k]), project(ring[k+1])
			along := to.Sub(from)
			inwards := geo.Offset{EastM: -along.NorthM, NorthM: along.EastM}.Times(1 / float64(along.Length()))
			add(from.Plus(along.Times(0.5)).Plus(inwards.Times(otherM)), otherM)
		}
	}
	return all
}

// latitudes at which harbors are drawn: on both sides of the equator, and poleward where a degree of longitude is short.
var latitudes = []float64{44.2, 60.3, -35.1, -60.4, 0.3, 69}

// sketched is a random harbor of one area, and what is asked of it.
func sketched(t *testing.T, seed uint64) *asked {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 31))
	origin := geo.Position{LatDeg: latitudes[int(seed)%len(latitudes)], LonDeg: -41.5}
	if seed%7 == 0 {
		origin.LonDeg = 179.999
	}
	s := sketch{random, geo.NewFrame(origin)}
	area := geo.Area{Name: "Drawn", Rules: s.rules()}
	outer := s.star(geo.Offset{}, 90, 230, 6+s.IntN(16), false)
	shapeOf := orb.Polygon{outer}
	if s.IntN(2) == 0 {
		shapeOf = append(shapeOf, s.star(geo.Offset{EastM: s.between(-20, 20), NorthM: s.between(-20, 20)}, 3, 40, 5+s.IntN(6), true))
	}
	area.Shape = orb.MultiPolygon{shapeOf}
	if s.IntN(2) == 0 {
		area.Shape = append(area.Shape, orb.Polygon{s.star(geo.Offset{EastM: 300, NorthM: s.between(-50, 50)}, 40, 65, 4+s.IntN(6), false)})
	}
	loaM, rodeM := s.between(4, 9), s.between(7, 18)
	h := &geo.Harbor{Name: "Drawn", Units: geo.UnitsMetres, Levels: geo.Known(geo.Levels{Datum: "chart datum", Low: -0.4, High: 1.2}),
		Defaults: geo.NewDefaults(), Areas: []geo.Area{area}, Soundings: s.bed()}
	h.Defaults.SoundingReach = 200
	for range 1 + s.IntN(3) { // without any shoreline on record the check says nothing
		at := geo.Offset{EastM: s.between(-200, 200), NorthM: s.between(-200, 200)}
		h.Shoreline.Land = append(h.Shoreline.Land, orb.Polygon{s.star(at, 1, 20, 4+s.IntN(8), false)})
	}
	if s.IntN(2) == 0 {
		h.KeepOuts = []geo.KeepOut{{Name: "Closed", Kind: geo.ClosedWater, Setback: geo.Metres(s.IntN(3)),
			Shape: orb.MultiPolygon{{s.star(geo.Offset{EastM: s.between(-150, 150), NorthM: s.between(-150, 150)}, 10, 50, 4+s.IntN(9),
				false)}}}}
	}
	h.Moorings = s.moorings(&area, rodeM+loaM)
	f, err := clearance.NewField(h)
	if err != nil {
		t.Fatal(err)
	}
	w := room.New(f)
	laid := chain(rodeM)
	if area.Rules.Swing.Kind == geo.Catenary {
		laid = tackle(rodeM)
		laid[2].Size = geo.Known(geo.Metres(1.6)) // a buoy that carries the line under the design load
	}
	return askedOf(t, w, &h.Areas[0], metric(loaM, laid, &h.Areas[0]))
}

func TestRegionsOfRandomHarborsAreSound(t *testing.T) {
	harbors, places := 50, 2000
	if testing.Short() {
		harbors, places = 10, 200
	}
	var s sums
	for n := range harbors {
		q := sketched(t, uint64(n))
		s.sound(t, fmt.Sprintf("harbor %d, %s, %d moorings", n, q.area.Rules.Swing.Kind, len(q.water.Field().Harbor().Moorings)), q, places)
	}
	if s.empty > harbors/5 {
		t.Errorf("%d of %d harbors leave no water", s.empty, harbors)
	}
	s.end(t)
}
