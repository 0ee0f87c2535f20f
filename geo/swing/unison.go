package swing

import (
	"math"

	"swingroom/geo"
)

// How finely a design is swept: directions of the wind round the compass, and speeds up to the design wind.
const (
	sweepDirections = 72
	sweepSpeeds     = 6
)

// Sweep is every weather of a design in which boats that lie in unison are tried: all directions of the wind, speeds up to the design wind with its gusts, the stream at
// slack, flood and ebb, at the low level and at the high one. At low water lines reach farthest; at high water a long and a short one differ most.
type Sweep struct {
	design     geo.Design
	levels     []geo.Metres
	shareRatio []float64 // shares of the design stream; below 0 the ebb
}

// NewSweep makes a design ready.
func NewSweep(design geo.Design, levels geo.Levels) *Sweep {
	s := &Sweep{design: design, levels: []geo.Metres{levels.Low}, shareRatio: []float64{0}}
	if levels.High > levels.Low {
		s.levels = append(s.levels, levels.High)
	}
	if design.Stream.Or(0) > 0 {
		s.shareRatio = append(s.shareRatio, 1, -1)
	}
	return s
}

// Cases is how many weathers the sweep has.
func (s *Sweep) Cases() int {
	return sweepDirections * sweepSpeeds * len(s.shareRatio) * len(s.levels)
}

// weather is that of a case: the direction of the wind runs fastest, then its speed, the stream, the level.
func (s *Sweep) weather(n int) geo.Weather {
	d, n := n%sweepDirections, n/sweepDirections
	v, n := n%sweepSpeeds, n/sweepSpeeds
	c, l := n%len(s.shareRatio), n/len(s.shareRatio)
	w := geo.Weather{
		WindFromDeg: float64(d) * 360 / sweepDirections, Wind: s.design.MeanWind() * geo.MetresPerSecond(v+1) / sweepSpeeds, GustRatio: s.design.Gust(), Level: s.levels[l],
	}
	if share := s.shareRatio[c]; share != 0 {
		w.Stream = s.design.Stream.Or(0)
		if w.StreamToDeg = s.design.StreamDeg.Or(0); share < 0 {
			w.StreamToDeg += 180
		}
	}
	return w
}

// pose is where a hull's axis lies from its anchor: bow, and from there to the stern.
type pose struct{ bow, aft geo.Offset }

func (p pose) turned(sin, cos float64) pose {
	return pose{turn(p.bow, sin, cos), turn(p.aft, sin, cos)}
}

// turn turns clockwise, as bearings do.
func turn(o geo.Offset, sin, cos float64) geo.Offset {
	return geo.Offset{EastM: o.EastM*cos + o.NorthM*sin, NorthM: o.NorthM*cos - o.EastM*sin}
}

// Closest is the smallest gap between two hulls and the case in which it is smallest.
type Closest struct {
	GapM    float64     `json:"gap_m"` // below 0 where they overlap
	Weather geo.Weather `json:"weather"`
	// ADeg and BDeg are by how much each lies turned from what the weather says, within the scatter.
	ADeg float64 `json:"a_deg"`
	BDeg float64 `json:"b_deg"`
	// A and B are the outlines, on the plane of the anchors.
	A []geo.Offset `json:"-"`
	B []geo.Offset `json:"-"`
}

// Closest finds the smallest gap between two hulls over all cases, each boat turned about her anchor by the scatter to either side or not at all, and then between the directions next
// to the worst. ok is false when no case has both of them. Errors as [Moored.Lie].
func (s *Sweep) Closest(a, b *Poses) (c Closest, ok bool, err error) {
	allA, err := a.full()
	if err != nil {
		return Closest{}, false, err
	}
	allB, err := b.full()
	if err != nil {
		return Closest{}, false, err
	}
	sin, cos := math.Sincos(s.design.Scatter() * math.Pi / 180)
	best := nearest{gapM: math.Inf(1)}
	// First how far the hulls keep apart at least along the line between the anchors. It tells with which case to begin, and which cannot be the worst.
	along := newAlong(a, b, 0, s.design.Scatter())
	leastM := make([]float64, s.Cases())
	start := -1
	for n := range leastM {
		if leastM[n] = math.Inf(1); a.none(n) || b.none(n) {
			continue
		}
		if leastM[n] = along.leastM(allA[n], allB[n]); start < 0 || leastM[n] < leastM[start] {
			start = n
		}
	}
	if start < 0 {
		return Closest{}, false, nil
	}
	for k := range leastM {
		n := (start + k) % len(leastM)
		if leastM[n] > best.gapM || math.IsInf(leastM[n], 1) {
			continue
		}
		pa, pb := allA[n], allB[n]
		as := [3]pose{pa.turned(-sin, cos), pa, pa.turned(sin, cos)}
		bs := [3]pose{pb.turned(-sin, cos), pb, pb.turned(sin, cos)}
		for i := range as {
			for j := range bs {
				best.try(a, b, as[i], bs[j], n, i-1, j-1)
			}
		}
	}
	return s.refine(a, b, best), true, nil
}

// lengthM is that of an offset of a harbor's size, which needs none of the care that math.Hypot takes.
func lengthM(o geo.Offset) float64 { return math.Sqrt(o.EastM*o.EastM + o.NorthM*o.NorthM) }

// Keep is how far two anchors have to be apart so that the hulls touch in no case, whatever the bearing between them: the farthest that a place of one hull's axis, from its own anchor, lies from one of
// the other's, and half of both beams. Errors on the large side where a stream or a long line makes one bearing worse than another; as [Sweep.Closest].
func (s *Sweep) Keep(a, b *Poses) (geo.Metres, error) {
	allA, err := a.full()
	if err != nil {
		return 0, err
	}
	allB, err := b.full()
	if err != nil {
		return 0, err
	}
	var turned [5]struct{ sin, cos float64 }
	for i := range turned {
		turned[i].sin, turned[i].cos = math.Sincos(float64(i-2) * s.design.Scatter() * math.Pi / 180)
	}
	most := 0.0
	for n, pa := range allA {
		if a.none(n) || b.none(n) {
			continue
		}
		for i := range turned { // by how much more the second is turned than the first
			pb := allB[n].turned(turned[i].sin, turned[i].cos)
			for _, v := range [2]geo.Offset{pa.bow, pa.bow.Plus(pa.aft)} {
				for _, w := range [2]geo.Offset{pb.bow, pb.bow.Plus(pb.aft)} {
					d := v.Sub(w)
					most = max(most, d.EastM*d.EastM+d.NorthM*d.NorthM)
				}
			}
		}
	}
	return geo.Metres(math.Sqrt(most)) + (a.craft.Beam+b.craft.Beam)/2, nil
}

// nearest is the smallest gap so far.
type nearest struct {
	gapM float64
	n    int
	i, j int
}

func (s *nearest) try(a, b *Poses, pa, pb pose, n, i, j int) {
	p, r := pa.bow, b.at.Sub(a.at).Plus(pb.bow)
	// Square to the line between the nearest points of the axes the hulls keep apart by its length, less what their beams add along it.
	if between := axesApart(p, pa.aft, r, pb.aft); between != (geo.Offset{}) {
		apartM := lengthM(between)
		if apartM-halfBeamAlong(a.craft, pa.aft, between)/apartM-halfBeamAlong(b.craft, pb.aft, between)/apartM > s.gapM {
			return
		}
	}
	if gap := hullGap(p, pa.aft, a.craft.Beam, r, pb.aft, b.craft.Beam); gap < s.gapM {
		s.gapM, s.n, s.i, s.j = gap, n, i, j
	}
}

// halfBeamAlong is how far half a boat's beam reaches along a vector, times its length.
func halfBeamAlong(c *Craft, aft, along geo.Offset) float64 {
	return float64(c.Beam) / 2 * math.Abs(aft.EastM*along.NorthM-aft.NorthM*along.EastM) / float64(c.Length)
}

// refine works the worst case out in full, and looks in steps of a degree at the directions of the wind next to it.
func (s *Sweep) refine(a, b *Poses, worst nearest) Closest {
	const halfStep = 2 // degrees, within halfStepDeg
	scatter := s.design.Scatter()
	c := Closest{GapM: math.Inf(1)}
	start := s.weather(worst.n)
	ma, errA := a.craft.At(start.Level)
	mb, errB := b.craft.At(start.Level)
	for off := -halfStep; off <= halfStep && errA == nil && errB == nil; off++ {
		w := start
		w.WindFromDeg = math.Mod(start.WindFromDeg+float64(off)+360, 360)
		at := Closest{Weather: w, ADeg: float64(worst.i) * scatter, BDeg: float64(worst.j) * scatter}
		la, errLA := ma.Lie(w)
		lb, errLB := mb.Lie(w)
		if errLA != nil || errLB != nil {
			continue
		}
		at.A, at.B = ma.placed(la, at.ADeg, a.at), mb.placed(lb, at.BDeg, b.at)
		if at.GapM = HullGap(at.A, at.B); at.GapM < c.GapM {
			c = at
		}
	}
	return c
}

// placed is the outline of a boat that lies turned by turnDeg, with her anchor at a place.
func (m *Moored) placed(l Lie, turnDeg float64, at geo.Offset) []geo.Offset {
	l.LoadDeg, l.SternDeg = l.LoadDeg+turnDeg, l.SternDeg+turnDeg
	return Outline(at.Plus(l.Bow()), l.SternDeg, m.Length, m.Beam)
}

// axesApart leads from one side to the other where they are nearest, each given by its beginning and what leads to its end; it is nothing where they cross.
func axesApart(p, aft, r, back geo.Offset) geo.Offset {
	q, s := p.Plus(aft), r.Plus(back)
	cross := func(o, a, b geo.Offset) float64 {
		return (a.EastM-o.EastM)*(b.NorthM-o.NorthM) - (a.NorthM-o.NorthM)*(b.EastM-o.EastM)
	}
	if cross(p, q, r) > 0 != (cross(p, q, s) > 0) && cross(r, s, p) > 0 != (cross(r, s, q) > 0) {
		return geo.Offset{}
	}
	least, leastM2 := geo.Offset{}, math.Inf(1)
	for _, v := range [4]geo.Offset{toSide(p, r, back), toSide(q, r, back), toSide(r, p, aft), toSide(s, p, aft)} {
		if m2 := v.EastM*v.EastM + v.NorthM*v.NorthM; m2 < leastM2 {
			least, leastM2 = v, m2
		}
	}
	return least
}
