package swing

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/interp"

	"swingroom/geo"
	"swingroom/geo/rode"
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

// Poses are how one boat lies in each case of a sweep; none at a level for which her line is too short.
type Poses struct {
	craft *Craft
	at    geo.Offset // her anchor
	all   []pose
	none  []bool // by level
}

// Poses works out how a boat with her anchor at a place lies in each case. Errors: as [Moored.Lie], and geo.ErrShortRode where her line is too short at
// every level.
func (s *Sweep) Poses(c *Craft, at geo.Offset) (*Poses, error) {
	p := &Poses{craft: c, at: at, all: make([]pose, s.Cases()), none: make([]bool, len(s.levels))}
	pulls, err := s.pulls(c)
	if err != nil {
		return nil, err
	}
	perLevel, fit := len(p.all)/len(s.levels), 0
	var short error
	for l, level := range s.levels {
		m, err := c.At(level)
		if err != nil {
			if !errors.Is(err, geo.ErrShortRode) {
				return nil, err
			}
			p.none[l], short = true, err
			continue
		}
		if err := s.posesAt(m, pulls, p.all[l*perLevel:(l+1)*perLevel]); err != nil {
			return nil, err
		}
		fit++
	}
	if fit == 0 {
		return nil, short
	}
	return p, nil
}

// pulls are those of the cases of one level, as far as they do not follow from each other: with no stream a wind from the north, at each speed, for another direction only turns it;
// with the flood every direction. The ebb is the flood turned right round, wind and all.
func (s *Sweep) pulls(c *Craft) ([]rode.Pull, error) {
	pulls := make([]rode.Pull, min(2, len(s.shareRatio))*sweepDirections*sweepSpeeds)
	for n := range pulls {
		if n < sweepDirections*sweepSpeeds && n%sweepDirections != 0 {
			continue
		}
		var err error
		if pulls[n], err = rode.PullOf(c.Windage, s.weather(n)); err != nil {
			return nil, c.noDraft()
		}
	}
	return pulls, nil
}

func (s *Sweep) posesAt(m *Moored, pulls []rode.Pull, poses []pose) error {
	reach, err := s.reaches(m, pulls)
	if err != nil {
		return err
	}
	const still = sweepDirections * sweepSpeeds // cases without a stream come first
	for n := range poses {
		switch d := n % sweepDirections; {
		case n < still && d != 0:
			sin, cos := math.Sincos(float64(d) * 2 * math.Pi / sweepDirections)
			poses[n] = poses[n-d].turned(sin, cos)
		case n >= 2*still:
			flood := poses[n-still-d+(d+sweepDirections/2)%sweepDirections]
			poses[n] = pose{flood.bow.Times(-1), flood.aft.Times(-1)}
		default:
			p := &pulls[n]
			poses[n] = pose{geo.Toward(p.LoadDeg, geo.Metres(reach(float64(p.Load)))), geo.Toward(p.SternDeg, m.Length)}
		}
	}
	return nil
}

// reaches gives the reach by the load. With the wind alone there are but few loads. With a stream there are hundreds, and a monotone curve through some of them will do: what is found
// is worked out again in full.
func (s *Sweep) reaches(m *Moored, pulls []rode.Pull) (func(loadN float64) float64, error) {
	if len(s.shareRatio) == 1 {
		at := make(map[float64]float64, sweepSpeeds)
		for n := 0; n < len(pulls); n += sweepDirections {
			r, err := m.Rode.Reach(pulls[n].Load)
			if err != nil {
				return nil, err
			}
			at[float64(pulls[n].Load)] = float64(r)
		}
		return func(loadN float64) float64 { return at[loadN] }, nil
	}
	const points = 18
	top := 0.0
	for _, p := range pulls {
		top = max(top, float64(p.Load))
	}
	// Points lie close together at small loads, where the line still hangs; the curve runs over the square root of the load.
	xs, ys := make([]float64, points+1), make([]float64, points+1)
	for i := range xs {
		share := float64(i) / points
		xs[i] = math.Sqrt(top) * share * (0.35 + 0.65*share)
		r, err := m.Rode.Reach(geo.Newtons(xs[i] * xs[i]))
		if err != nil {
			return nil, err
		}
		ys[i] = float64(r)
	}
	var curve interp.FritschButland
	if err := curve.Fit(xs, ys); err != nil {
		return nil, err
	}
	return func(loadN float64) float64 { return curve.Predict(math.Sqrt(loadN)) }, nil
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
// to the worst. ok is false when no case has both of them.
func (s *Sweep) Closest(a, b *Poses) (c Closest, ok bool) {
	sin, cos := math.Sincos(s.design.Scatter() * math.Pi / 180)
	perLevel := s.Cases() / len(s.levels)
	best := nearest{gapM: math.Inf(1), slackM: float64(a.craft.Beam+b.craft.Beam) / 2}
	// First how far apart the axes are with no scatter. It tells with which case to begin, and which cannot be the worst however the boats turn.
	apart := b.at.Sub(a.at)
	axes := make([]float64, s.Cases())
	start := -1
	for n := range axes {
		if a.none[n/perLevel] || b.none[n/perLevel] {
			axes[n] = math.Inf(1)
			continue
		}
		axes[n] = lengthM(axesApart(a.all[n].bow, a.all[n].aft, apart.Plus(b.all[n].bow), b.all[n].aft))
		if start < 0 || axes[n] < axes[start] {
			start = n
		}
	}
	if start < 0 {
		return Closest{}, false
	}
	half := math.Sin(s.design.Scatter() * math.Pi / 360)
	for k := range axes {
		n := (start + k) % len(axes)
		// Turned by the scatter a point moves by twice its distance from the anchor times the sine of half the angle.
		moved := 2 * half * (far(a.all[n]) + far(b.all[n]))
		// Axes that cross, or may when turned, say nothing of how deep the hulls overlap.
		if axes[n] > moved && axes[n]-moved-best.slackM > best.gapM || math.IsInf(axes[n], 1) {
			continue
		}
		pa, pb := a.all[n], b.all[n]
		as := [3]pose{pa.turned(-sin, cos), pa, pa.turned(sin, cos)}
		bs := [3]pose{pb.turned(-sin, cos), pb, pb.turned(sin, cos)}
		for i := range as {
			for j := range bs {
				best.try(a, b, as[i], bs[j], n, i-1, j-1)
			}
		}
	}
	return s.refine(a, b, best), true
}

// far is how far the farther end of a hull's axis lies from the anchor; at most by the sum of its two parts.
func far(p pose) float64 { return lengthM(p.bow) + lengthM(p.aft) }

// lengthM is that of an offset of a harbor's size, which needs none of the care that math.Hypot takes.
func lengthM(o geo.Offset) float64 { return math.Sqrt(o.EastM*o.EastM + o.NorthM*o.NorthM) }

// Keep is how far two anchors have to be apart so that the hulls touch in no case, whatever the bearing between them: the farthest that a place of one hull's axis, from its own anchor, lies from one of
// the other's, and half of both beams. Errors on the large side where a stream or a long line makes one bearing worse than another.
func (s *Sweep) Keep(a, b *Poses) geo.Metres {
	perLevel := s.Cases() / len(s.levels)
	var turned [5]struct{ sin, cos float64 }
	for i := range turned {
		turned[i].sin, turned[i].cos = math.Sincos(float64(i-2) * s.design.Scatter() * math.Pi / 180)
	}
	most := 0.0
	for n := range a.all {
		if a.none[n/perLevel] || b.none[n/perLevel] {
			continue
		}
		pa := a.all[n]
		for i := range turned { // by how much more the second is turned than the first
			pb := b.all[n].turned(turned[i].sin, turned[i].cos)
			for _, v := range [2]geo.Offset{pa.bow, pa.bow.Plus(pa.aft)} {
				for _, w := range [2]geo.Offset{pb.bow, pb.bow.Plus(pb.aft)} {
					d := v.Sub(w)
					most = max(most, d.EastM*d.EastM+d.NorthM*d.NorthM)
				}
			}
		}
	}
	return geo.Metres(math.Sqrt(most)) + (a.craft.Beam+b.craft.Beam)/2
}

// nearest is the smallest gap so far.
type nearest struct {
	gapM   float64
	slackM float64 // half of both beams: two hulls are no closer than their axes less this
	n      int
	i, j   int
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
	const halfStep = 360 / sweepDirections / 2
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
