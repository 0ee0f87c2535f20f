package swing

import (
	"math"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// statics are the forces on a boat in the strongest gust and the strongest stream of a design, newtons, by which she lies to any share of
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

// alongN is the force along her of a share of the stream, over the square of the share. It falls as the share grows: a faster stream has
// the thinner friction for its pressure.
func (s *statics) alongN(shareRatio float64) float64 {
	const least = 1e-4 // slower, the friction has its greatest coefficient
	if s.streamAlongN == 0 {
		return 0
	}
	shareRatio = max(shareRatio, least)
	n, err := rode.StreamForce(s.stream*geo.MetresPerSecond(shareRatio), s.hull)
	if err != nil {
		return math.NaN()
	}
	return float64(n) / (shareRatio * shareRatio)
}

// weatherShares are a weather as weatherShares of the design's: the direction towards which the wind blows, radians clockwise from where the stream
// sets, and the speeds of gust and stream over the greatest.
type weatherShares struct {
	windRad                float64
	windRatio, streamRatio float64
}

// attitude is how a boat lies: where her stern points and where the load pulls, radians, and the root of the load in newtons; of a boat
// that is unsettled, of the load under which she may lie.
type attitude struct {
	sternRad, loadRad float64
	rootN             float64
	hold              stability
}

// attitudeAt is how she lies to shares of wind and stream.
func (s *statics) attitudeAt(w *weatherShares) attitude {
	sin, cos := math.Sincos(w.windRad)
	wind2, stream2 := w.windRatio*w.windRatio, w.streamRatio*w.streamRatio
	abeamN, flowN := s.windAbeamN*wind2, s.streamAbeamN*stream2
	sideX, sideY := abeamN*cos+flowN, abeamN*sin
	sideN := math.Sqrt(sideX*sideX + sideY*sideY)
	alongN := 0.0
	if stream2 > 0 {
		alongN = s.alongN(w.streamRatio) * stream2
	}
	if mostN := unsettledRatio * (abeamN + flowN); sideN < mostN {
		x, y := s.windAlongN*wind2*cos+alongN, s.windAlongN*wind2*sin
		return attitude{rootN: math.Sqrt(maxTurningLoadN(math.Sqrt(x*x+y*y), sideN)), hold: turning}
	}
	sternX, sternY := cos, sin
	if sideN > 0 {
		sternX, sternY = sideX/sideN, sideY/sideN
	}
	across := sternX*sin - sternY*cos
	windN := s.windAlongN*wind2 + (abeamN-s.windAlongN*wind2)*across*across
	streamN := alongN + (flowN-alongN)*sternY*sternY
	x, y := windN*cos+streamN, windN*sin
	a := attitude{math.Atan2(sternY, sternX), math.Atan2(y, x), math.Sqrt(math.Sqrt(x*x + y*y)), settled}
	if mostN := unsettledRatio * (windN + streamN); a.rootN*a.rootN < mostN {
		a.hold, a.rootN = drifting, math.Sqrt(mostN)
	}
	return a
}

// attitudes are how a boat may lie in the weathers of a box. The angles are radians, without the scatter; the unit of roots of loads is the
// root of a newton.
type attitudes struct {
	may         [stabilityCount]bool // what holds her in some weather of the box
	stern, load affine               // while they are held
	root        [stabilityCount]affine
	// sternOpen and loadOpen say that the box is too wide to tell where she points, or is pulled.
	sternOpen, loadOpen bool
	// frictionRatio is the part of what is open of the load that is owed to the friction of the stream, which depends on its speed.
	frictionRatio float64
}

// attitudesOver is how she may lie in all weathers of a box.
func (s *statics) attitudesOver(bx *box) (a attitudes) {
	scale, direction := bx.affine(symScale), bx.affine(symWind)
	if s.streamAbeamN == 0 {
		a.may[settled] = true
		a.stern, a.load = direction, direction
		a.root[settled] = scale.scaled(math.Sqrt(s.windAlongN))
		return a
	}
	wind, stream := bx.winds()
	cos, sin := direction.cos(), direction.sin()
	toX, toY := wind.times(&cos), wind.times(&sin)
	friction := bx.friction(s)
	x, y := toX.scaled(s.windAbeamN).addScaled(s.streamAbeamN, &stream), toY.scaled(s.windAbeamN)
	side, stern, even := polar(&x, &y)
	sides := wind.scaled(s.windAbeamN).addScaled(s.streamAbeamN, &stream)
	over := side.addScaled(-unsettledRatio, &sides)
	if over.min() < 0 {
		a.may[turning] = true
		along := stream.times(&friction)
		x, y = toX.scaled(s.windAlongN).addScaled(1, &along), toY.scaled(s.windAlongN)
		head, _, _ := polar(&x, &y)
		mostN := maxTurningLoadN(head.max(), min(side.max(), unsettledRatio*sides.max()))
		a.root[turning] = scale.scaled(math.Sqrt(mostN))
		if over.max() < 0 {
			return a
		}
	}
	if a.stern = stern; !even {
		a.stern, a.sternOpen = affine{residual: math.Pi}, true
	}
	angle := a.stern.addScaled(-1, &direction)
	broadside := sineSquared(&angle).scaled(s.windAbeamN - s.windAlongN)
	broadside.mid += s.windAlongN
	windPull := wind.times(&broadside)
	broadside = sineSquared(&a.stern)
	more := friction.scaled(-1)
	more.mid += s.streamAbeamN
	streamPull := more.times(&broadside).addScaled(1, &friction)
	streamPull = streamPull.times(&stream)
	x, y = windPull.times(&cos).addScaled(1, &streamPull), windPull.times(&sin)
	pull, load, even := polar(&x, &y)
	pulls := windPull.addScaled(1, &streamPull)
	over = pull.addScaled(-unsettledRatio, &pulls)
	if over.min() < 0 {
		a.may[drifting] = true
		a.root[drifting] = scale.scaled(math.Sqrt(unsettledRatio * pulls.max()))
		if over.max() < 0 {
			return a
		}
	}
	a.may[settled] = true
	if a.load = load; !even {
		a.load, a.loadOpen = affine{residual: math.Pi}, true
	}
	if r := x.radius() + y.radius(); r > 0 {
		a.frictionRatio = friction.residual * stream.max() / r
	}
	root := pull.root()
	a.root[settled] = root.times(&scale)
	return a
}

// friction is the force of the stream along a boat over the square of its share, for the speeds of a box.
func (bx *box) friction(s *statics) affine {
	lo, hi := bx.mid[symScale]-bx.half[symScale], bx.mid[symScale]+bx.half[symScale]
	if bx.dominant == windDominant {
		lo, hi = lo*(bx.mid[symRatio]-bx.half[symRatio]), hi*(bx.mid[symRatio]+bx.half[symRatio])
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
