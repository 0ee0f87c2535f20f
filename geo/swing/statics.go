package swing

import (
	"math"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// statics are the forces on a boat in the strongest gust and the strongest stream of a design, newtons, by which it lies to any share of
// them: the same model as [rode.PullOf], on the plane whose x axis points where the stream sets.
type statics struct {
	windAbeamN, windAlongN     float64
	streamAbeamN, streamAlongN float64
	hull                       rode.Hull
	stream                     geo.MetresPerSecond
}

// staticsOf are those of a boat. Error: geo.ErrUnknown where there is a stream and no draft.
func staticsOf(w rode.Windage, design geo.Design) (statics, error) {
	s := statics{hull: w.Hull, stream: design.Stream.Or(0)}
	drags, err := rode.DragsOf(w, s.stream)
	if err != nil {
		return s, err
	}
	f := drags.Forces()
	gust := float64(gustOf(design))
	s.windAbeamN, s.windAlongN = f.WindAbeamN*gust*gust, f.WindAlongN*gust*gust
	s.streamAbeamN, s.streamAlongN = f.StreamAbeamN, f.StreamAlongN
	return s, nil
}

func gustOf(d geo.Design) geo.MetresPerSecond {
	return d.MeanWind() * geo.MetresPerSecond(max(1, d.Gust()))
}

// alongN is the force along the boat of a share of the stream, over the square of the share. It falls as the share grows: a faster stream
// has the thinner friction for its pressure.
func (s *statics) alongN(shareRatio float64) float64 {
	const minRatio = 1e-4 // slower, the friction has its greatest coefficient
	if s.streamAlongN == 0 {
		return 0
	}
	shareRatio = max(shareRatio, minRatio)
	n, err := rode.StreamForce(s.stream*geo.MetresPerSecond(shareRatio), s.hull)
	if err != nil {
		return math.NaN()
	}
	return float64(n) / (shareRatio * shareRatio)
}

// weatherShares are a weather as shares of the design's: the direction towards which the wind blows, radians clockwise from where
// the stream sets, and the speeds of gust and stream over the greatest.
type weatherShares struct {
	windRad                float64
	windRatio, streamRatio float64
}

// attitude is how a boat lies: where its stern points and where the load pulls, radians, and the root of the load in newtons; of a boat
// that is unsettled, of the load under which it may lie.
type attitude struct {
	sternRad, loadRad float64
	rootN             float64
	stability         stability
}

// attitudeAt is how the boat lies to shares of wind and stream.
func (s *statics) attitudeAt(w *weatherShares) attitude {
	f := s.forcesAt(w)
	sideX, sideY := f.abeamN*f.cos+f.flowN, f.abeamN*f.sin
	sideN := math.Sqrt(sideX*sideX + sideY*sideY)
	if maxN := unsettledRatio * (f.abeamN + f.flowN); sideN < maxN {
		return f.turning(sideN)
	}
	sternX, sternY := f.cos, f.sin
	if sideN > 0 {
		sternX, sternY = sideX/sideN, sideY/sideN
	}
	return f.heading(sternX, sternY)
}

// forces are those on a boat at one moment, newtons, on the plane whose x axis points where the stream sets.
type forces struct {
	sin, cos       float64 // of the direction towards which the wind blows
	abeamN, alongN float64 // of the wind
	flowN, dragN   float64 // of the stream, from abeam and along the boat
}

func (s *statics) forcesAt(w *weatherShares) (f forces) {
	f.sin, f.cos = math.Sincos(w.windRad)
	wind2, stream2 := w.windRatio*w.windRatio, w.streamRatio*w.streamRatio
	f.abeamN, f.alongN, f.flowN = s.windAbeamN*wind2, s.windAlongN*wind2, s.streamAbeamN*stream2
	if stream2 > 0 {
		f.dragN = s.alongN(w.streamRatio) * stream2
	}
	return f
}

// turning is a boat that may point any way, with the sum of the side forces.
func (f *forces) turning(sideN float64) attitude {
	x, y := f.alongN*f.cos+f.dragN, f.alongN*f.sin
	return attitude{rootN: math.Sqrt(maxTurningLoadN(math.Sqrt(x*x+y*y), sideN)), stability: turning}
}

// heading is a boat whose stern points along a direction of length 1.
func (f *forces) heading(sternX, sternY float64) attitude {
	across := sternX*f.sin - sternY*f.cos
	windN := f.alongN + (f.abeamN-f.alongN)*across*across
	streamN := f.dragN + (f.flowN-f.dragN)*sternY*sternY
	x, y := windN*f.cos+streamN, windN*f.sin
	a := attitude{math.Atan2(sternY, sternX), math.Atan2(y, x), math.Sqrt(math.Sqrt(x*x + y*y)), settled}
	if maxN := unsettledRatio * (windN + streamN); a.rootN*a.rootN < maxN {
		a.stability, a.rootN = drifting, math.Sqrt(maxN)
	}
	return a
}

// attitudes are how a boat may lie in the weathers of a box. The angles are radians, without the scatter; the unit of roots of loads is the
// root of a newton.
type attitudes struct {
	may         [stabilityCount]bool // how it may be held in some weather of the box
	stern, load affine               // while it is held
	root        [stabilityCount]affine
	// sternOpen and loadOpen say that the box is too wide to tell where the stern points, or the load pulls.
	sternOpen, loadOpen bool
	// frictionRatio is the part of what is open of the load that is owed to the friction of the stream, which depends on its speed.
	frictionRatio float64
}

// attitudesOver is how the boat may lie in all weathers of a box.
func (s *statics) attitudesOver(bx *box) (a attitudes) {
	if s.streamAbeamN == 0 {
		s.windAlone(bx, &a)
		return a
	}
	f := bx.flows(s)
	if s.boundHeading(&f, &a) {
		s.boundLoad(&f, &a)
	}
	return a
}

// windAlone is a boat that lies along the wind.
func (s *statics) windAlone(bx *box, a *attitudes) {
	a.may[settled] = true
	a.stern = bx.affine(symWind)
	a.load = a.stern
	a.root[settled] = bx.affine(symScale).scaled(math.Sqrt(s.windAlongN))
}

// flows are wind and stream in the weathers of a box, as pressures over the square of its scale.
type flows struct {
	scale, direction affine // direction of the wind, radians from where the stream sets
	cos, sin         affine // of the direction
	wind, stream     affine
	windX, windY     affine
	friction         affine // force of the stream along the boat, over the square of its share
}

func (bx *box) flows(s *statics) (f flows) {
	f.scale, f.direction = bx.affine(symScale), bx.affine(symWind)
	f.wind, f.stream = bx.winds()
	f.cos, f.sin = f.direction.cos(), f.direction.sin()
	f.windX, f.windY = f.wind.times(&f.cos), f.wind.times(&f.sin)
	f.friction = bx.friction(s)
	return f
}

// boundHeading bounds where the stern points by the side forces. held is false where the boat turns in all weathers of the box.
func (s *statics) boundHeading(f *flows, a *attitudes) (held bool) {
	x, y := f.windX.scaled(s.windAbeamN).addScaled(s.streamAbeamN, &f.stream), f.windY.scaled(s.windAbeamN)
	side, stern, even := polar(&x, &y)
	sides := f.wind.scaled(s.windAbeamN).addScaled(s.streamAbeamN, &f.stream)
	if margin := side.addScaled(-unsettledRatio, &sides); margin.min() < 0 {
		a.may[turning] = true
		maxN := maxTurningLoadN(s.maxHeadN(f), min(side.max(), unsettledRatio*sides.max()))
		a.root[turning] = f.scale.scaled(math.Sqrt(maxN))
		if margin.max() < 0 {
			return false
		}
	}
	if a.stern = stern; !even {
		a.stern, a.sternOpen = affine{residual: math.Pi}, true
	}
	return true
}

// maxHeadN is the largest load on the boat while it lies along both wind and stream.
func (s *statics) maxHeadN(f *flows) float64 {
	along := f.stream.times(&f.friction)
	x, y := f.windX.scaled(s.windAlongN).addScaled(1, &along), f.windY.scaled(s.windAlongN)
	head, _, _ := polar(&x, &y)
	return head.max()
}

// pulls are what wind and stream each pull along their own direction, on a boat whose stern points within bounds.
func (s *statics) pulls(f *flows, stern *affine) (wind, stream affine) {
	angle := stern.addScaled(-1, &f.direction)
	broadside := sineSquared(&angle).scaled(s.windAbeamN - s.windAlongN)
	broadside.mid += s.windAlongN
	wind = f.wind.times(&broadside)
	broadside = sineSquared(stern)
	more := f.friction.scaled(-1)
	more.mid += s.streamAbeamN
	stream = more.times(&broadside).addScaled(1, &f.friction)
	return wind, stream.times(&f.stream)
}

// boundLoad bounds the load and where it pulls, by the heading.
func (s *statics) boundLoad(f *flows, a *attitudes) {
	windPull, streamPull := s.pulls(f, &a.stern)
	x, y := windPull.times(&f.cos).addScaled(1, &streamPull), windPull.times(&f.sin)
	pull, load, even := polar(&x, &y)
	pulls := windPull.addScaled(1, &streamPull)
	if margin := pull.addScaled(-unsettledRatio, &pulls); margin.min() < 0 {
		a.may[drifting] = true
		a.root[drifting] = f.scale.scaled(math.Sqrt(unsettledRatio * pulls.max()))
		if margin.max() < 0 {
			return
		}
	}
	a.may[settled] = true
	if a.load = load; !even {
		a.load, a.loadOpen = affine{residual: math.Pi}, true
	}
	if r := x.radius() + y.radius(); r > 0 {
		a.frictionRatio = f.friction.residual * f.stream.max() / r
	}
	root := pull.root()
	a.root[settled] = root.times(&f.scale)
}

// friction is the force of the stream along a boat over the square of its share, for the speeds of a box.
func (bx *box) friction(s *statics) affine {
	lo, hi := bx.ends(symScale)
	if bx.dominant == windDominant {
		minRatio, maxRatio := bx.ends(symRatio)
		lo, hi = lo*minRatio, hi*maxRatio
	}
	return interval(s.alongN(hi), s.alongN(lo))
}

// sineSquared is the square of the sine of an angle.
func sineSquared(x *affine) affine {
	twice := x.scaled(2)
	z := twice.cos().scaled(-0.5)
	z.mid += 0.5
	return z
}
