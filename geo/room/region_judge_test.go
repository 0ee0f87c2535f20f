package room_test

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
	"swingroom/geo/shape"
	"swingroom/geo/swing"
)

// asked is a question with what it was asked of.
type asked struct {
	*room.Question
	water *room.Water
	area  *geo.Area
	ask   room.Ask
}

func askedOf(t testing.TB, w *room.Water, area *geo.Area, a room.Ask) *asked {
	t.Helper()
	q, err := w.Ask(a)
	if err != nil {
		t.Fatalf("%s: %v", area.Name, err)
	}
	return &asked{q, w, area, a}
}

// ofPlace are the constraints that change with the place; what is asked of boat and tackle wherever she lies is none of a region's.
var ofPlace = []clearance.Constraint{clearance.ByNeighbour, clearance.ByShore, clearance.ByShoal, clearance.ByFairway, clearance.ByClosed,
	clearance.ByAreaEdge}

// passes asks the full check of the program, which knows nothing of how a region is followed, for a mooring laid at a place; and
// whether the rode reaches from the bed to her bow at the high level, and is what a scope that is asked makes it, which is the tackle's.
func passes(q *asked, at geo.Offset) bool {
	for _, v := range room.AgainstWater(q.Question, at) {
		if slices.Contains(ofPlace, v.Constraint) {
			return false
		}
	}
	length, _ := q.ask.Tackle.RodeLength()
	rode, known := length.Get()
	s := q.area.Rules.Swing
	if !known || q.ask.ScopeRatio > 0 {
		return s.Kind != geo.ScopeRule || q.ask.ScopeRatio == 0 || q.ask.ScopeRatio == s.ScopeRatio
	}
	depth, err := q.water.Field().Bed().Depth(at)
	if err != nil {
		return false
	}
	high := depth + q.water.Field().Harbor().Levels.Or(geo.Levels{}).High + q.ask.Boat.BowHeight.Or(0)
	if s.Kind != geo.ScopeRule {
		return rode >= high
	}
	asked := geo.Metres(s.ScopeRatio) * high
	return rode >= asked && rode <= asked+swing.ScopeRounding
}

// bandM is the width of free water that may be left out: a place outside is wrong only if she passes there and at places all
// round it so far away, beyond what the region itself says that it leaves out. Narrower water is no room.
const bandM = 0.01 // 1 cm

// tabledM is how much larger than by the check a radius is taken at a place that is looked up by the depth: in steps, and by the
// statics never smaller than in deeper water.
func tabledM(q *asked, at geo.Offset) float64 {
	const stepsM = 0.2
	fit := room.Judged(q.Question, at)
	hers := q.Try(q.water.Field().Frame().Position(at)).Radius
	return stepsM + max(0, float64(hers.Or(0)-fit.Swing.Radius.Or(0)))
}

// passesAllRound reports whether she passes at a place and at 16 places round it.
func passesAllRound(q *asked, at geo.Offset, aroundM float64) bool {
	if !passes(q, at) {
		return false
	}
	const places = 16
	for i := range places {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / places)
		if !passes(q, at.Plus(geo.Offset{EastM: aroundM * cos, NorthM: aroundM * sin})) {
			return false
		}
	}
	return true
}

// judged holds a region against the full check: so many places inside, half of them within 1 m of the edge, have to pass, and so
// many outside have to fail. It tells what is wrong, and how many places were asked inside and outside.
func judged(q *asked, r *room.Region, places int, seed uint64) (faults []string, inside, outside int) {
	random := rand.New(rand.NewPCG(seed, 1969))
	low, high := boxOf(q.water, q.area)
	size := high.Sub(low)
	sides := sidesOf(r)
	in := stripsOf(sides)
	for try := 0; try < 40*places && (inside < places || outside < places); try++ {
		at := geo.Offset{EastM: low.EastM + size.EastM*random.Float64(), NorthM: low.NorthM + size.NorthM*random.Float64()}
		if try%2 == 0 && len(sides) > 0 {
			s := sides[random.IntN(len(sides))]
			sin, cos := math.Sincos(2 * math.Pi * random.Float64())
			offM := math.Pow(random.Float64(), 3) // many within a centimetre, none beyond 1 m
			at = s[0].Plus(s[1].Sub(s[0]).Times(random.Float64())).Plus(geo.Offset{EastM: cos, NorthM: sin}.Times(offM))
		}
		switch holds := in.holds(at); {
		case holds && inside < places:
			inside++
			if !passes(q, at) {
				fit := room.Judged(q.Question, at)
				faults = append(faults, fmt.Sprintf("%v lies in it and fails: %s", at, fit.Words.Metres))
			}
		case !holds && outside < places:
			outside++
			aroundM := r.InsideM + bandM
			if kind := q.area.Rules.Swing.Kind; kind == geo.Catenary || kind == geo.TautStretch {
				aroundM += tabledM(q, at)
			}
			if passesAllRound(q, at, aroundM) && !keptBeyondTheCheck(q, at, aroundM) {
				faults = append(faults, fmt.Sprintf("%v lies outside, and she passes there with a clearance of %.3f m",
					at, q.Try(q.water.Field().Frame().Position(at)).ClearanceM))
			}
		}
	}
	return faults, inside, outside
}

// keptBeyondTheCheck reports a place that the region leaves out although she may pass there: near a boat of which the radius is not
// known, which is taken to swing as far as she may; and near boats in unison with her, from which she keeps so far that no
// heading matters.
func keptBeyondTheCheck(q *asked, at geo.Offset, aroundM float64) bool {
	limits := q.Try(q.water.Field().Frame().Position(at)).Limits
	if len(limits) == 0 || limits[0].ClearanceM > aroundM || limits[0].Kind != room.Mooring {
		return false
	}
	bound := q.area.Rules.Lying == geo.InUnison && len(q.ask.Tackle) > 1
	return bound || strings.HasSuffix(limits[0].Name, "(radius unknown)")
}

// boxOf are the corners of the box about an area, on the harbor's plane.
func boxOf(w *room.Water, area *geo.Area) (low, high geo.Offset) {
	var edges shape.Edges
	edges.AddPolygons(w.Field().Frame(), area.Shape, 0)
	low, high = geo.Offset{EastM: math.Inf(1), NorthM: math.Inf(1)}, geo.Offset{EastM: math.Inf(-1), NorthM: math.Inf(-1)}
	for _, g := range edges.All() {
		low = geo.Offset{EastM: min(low.EastM, g.A.EastM), NorthM: min(low.NorthM, g.A.NorthM)}
		high = geo.Offset{EastM: max(high.EastM, g.A.EastM), NorthM: max(high.NorthM, g.A.NorthM)}
	}
	return low, high
}

type side [2]geo.Offset

func sidesOf(r *room.Region) (sides []side) {
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				sides = append(sides, side{ring[i-1], ring[i]})
			}
		}
	}
	return sides
}

// strips are the sides of a region by strips of north, so that a place is held against few of them.
type strips struct {
	southM, heightM float64
	sides           [][]side
}

func stripsOf(sides []side) strips {
	const count = 2000
	southM, northM := math.Inf(1), math.Inf(-1)
	for _, s := range sides {
		southM, northM = min(southM, s[0].NorthM), max(northM, s[0].NorthM)
	}
	in := strips{southM: southM, heightM: max(1e-9, (northM-southM)/count), sides: make([][]side, count+1)}
	for _, s := range sides {
		to := int((max(s[0].NorthM, s[1].NorthM) - southM) / in.heightM)
		for k := int((min(s[0].NorthM, s[1].NorthM) - southM) / in.heightM); k <= min(count, to); k++ {
			in.sides[k] = append(in.sides[k], s)
		}
	}
	return in
}

// holds counts how often a ray to the east crosses the sides.
func (in *strips) holds(p geo.Offset) bool {
	k := (p.NorthM - in.southM) / in.heightM
	if !(k >= 0 && k < float64(len(in.sides))) {
		return false
	}
	odd := false
	for _, s := range in.sides[int(k)] {
		a, b := s[0], s[1]
		if (a.NorthM > p.NorthM) != (b.NorthM > p.NorthM) &&
			p.EastM < a.EastM+(p.NorthM-a.NorthM)/(b.NorthM-a.NorthM)*(b.EastM-a.EastM) {
			odd = !odd
		}
	}
	return odd
}

// numbered is a side with its place in its ring.
type numbered struct {
	side
	ring, n, of int
}

func (s *numbered) follows(o *numbered) bool { return s.ring == o.ring && (o.n+1)%o.of == s.n }

// meets reports whether two sides have a place in common: each lies on both sides of the other's line, and their boxes overlap.
func (s *numbered) meets(o *numbered) bool {
	turn := func(a, b, c geo.Offset) float64 {
		return (b.EastM-a.EastM)*(c.NorthM-a.NorthM) - (b.NorthM-a.NorthM)*(c.EastM-a.EastM)
	}
	a, b := s.side, o.side
	return turn(a[0], a[1], b[0])*turn(a[0], a[1], b[1]) <= 0 && turn(b[0], b[1], a[0])*turn(b[0], b[1], a[1]) <= 0 &&
		max(a[0].EastM, a[1].EastM) >= min(b[0].EastM, b[1].EastM) && max(b[0].EastM, b[1].EastM) >= min(a[0].EastM, a[1].EastM) &&
		max(a[0].NorthM, a[1].NorthM) >= min(b[0].NorthM, b[1].NorthM) && max(b[0].NorthM, b[1].NorthM) >= min(a[0].NorthM, a[1].NorthM)
}

// crossings counts the pairs of sides that meet and do not follow each other, among all that share a square of 1 m.
func crossings(r *room.Region) (count int) {
	squares := map[[2]int][]*numbered{}
	rings := 0
	for _, polygon := range r.Polygons {
		for _, ring := range polygon {
			rings++
			for i := 1; i < len(ring); i++ {
				s := &numbered{side{ring[i-1], ring[i]}, rings, i - 1, len(ring) - 1}
				square := func(at geo.Offset) [2]int { return [2]int{int(math.Floor(at.EastM)), int(math.Floor(at.NorthM))} }
				from, to := square(ring[i-1]), square(ring[i])
				for e := min(from[0], to[0]); e <= max(from[0], to[0]); e++ {
					for n := min(from[1], to[1]); n <= max(from[1], to[1]); n++ {
						for _, o := range squares[[2]int{e, n}] {
							if !s.follows(o) && !o.follows(s) && s.meets(o) {
								count++
							}
						}
						squares[[2]int{e, n}] = append(squares[[2]int{e, n}], s)
					}
				}
			}
		}
	}
	return count
}

// valid asks GEOS of regions: it compiles testdata/room/valid.c and tells what it finds wrong with each, or nothing.
func valid(t *testing.T, regions []room.Region) []string {
	t.Helper()
	cc := outside.Program(t, "cc", "gcc")
	program := filepath.Join(t.TempDir(), "valid")
	if out, err := exec.Command(cc, "-O2", "-o", program, "../../testdata/room/valid.c", "-lgeos_c", "-lm").CombinedOutput(); err != nil {
		outside.Missing(t, "GEOS (Debian package libgeos-dev) does not compile: "+string(out))
	}
	var in strings.Builder
	for _, r := range regions {
		for _, polygon := range r.Polygons {
			for i, ring := range polygon {
				word := "hole"
				if i == 0 {
					word = "ring"
				}
				fmt.Fprintf(&in, "%s %d", word, len(ring))
				for _, at := range ring {
					fmt.Fprintf(&in, " %.17g %.17g", at.EastM, at.NorthM)
				}
				in.WriteString("\n")
			}
		}
		in.WriteString("end\n")
	}
	cmd := exec.Command(program)
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var faults []string
	lines := bufio.NewScanner(strings.NewReader(string(out)))
	for n := 0; lines.Scan(); n++ {
		cells := strings.SplitN(lines.Text(), " ", 3)
		areaM2, err := strconv.ParseFloat(cells[0], 64)
		fault := ""
		if err != nil || cells[1] != "0" {
			fault = lines.Text()
		} else if m := regions[n].PolygonsM2; math.Abs(areaM2-m) > 1e-9*m+1e-6 /* rounding of sums */ {
			fault = fmt.Sprintf("polygons of %.6f m², by GEOS %.6f m²", m, areaM2)
		}
		faults = append(faults, fault)
	}
	if len(faults) != len(regions) {
		t.Fatalf("GEOS tells of %d of %d regions", len(faults), len(regions))
	}
	return faults
}
