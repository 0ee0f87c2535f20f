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

// alike says that two boats lie alike in every weather: their forces are in proportion.
func (s *statics) alike(o *statics) bool {
	const tolerance = 1e-12
	k := o.windAbeamN / s.windAbeamN
	near := func(aN, bN float64) bool { return math.Abs(k*aN-bN) <= tolerance*math.Abs(bN) }
	return near(s.windAlongN, o.windAlongN) && near(s.streamAbeamN, o.streamAbeamN) &&
		near(s.alongN(1), o.alongN(1)) && near(s.alongN(0.5), o.alongN(0.5))
}

// turnsAlike says that the sterns of two boats point alike in every weather.
func (s *statics) turnsAlike(o *statics) bool {
	return math.Abs(s.windAbeamN*o.streamAbeamN-o.windAbeamN*s.streamAbeamN) <= 1e-12*s.windAbeamN*o.streamAbeamN
}

// attitude is how a boat lies: where her stern points and where the load pulls, radians, and the root of the load in newtons.
type attitude struct {
	sternRad, loadRad float64
	rootN             float64
}

// vectors are the sum of the side forces, along which her stern points, and the load, in newtons.
func (s *statics) vectors(w *shares) (sideXN, sideYN, loadXN, loadYN float64) {
	sin, cos := math.Sincos(w.windRad)
	wind2, stream2 := w.windRatio*w.windRatio, w.streamRatio*w.streamRatio
	abeamN, flowN := s.windAbeamN*wind2, s.streamAbeamN*stream2
	sideXN, sideYN = abeamN*cos+flowN, abeamN*sin
	longN := math.Sqrt(sideXN*sideXN + sideYN*sideYN)
	sternX, sternY := cos, sin
	if longN > 1e-9*(abeamN+flowN) {
		sternX, sternY = sideXN/longN, sideYN/longN
	}
	across := sternX*sin - sternY*cos
	windN := s.windAlongN*wind2 + (s.windAbeamN-s.windAlongN)*wind2*across*across
	streamN := 0.0
	if stream2 > 0 {
		alongN := s.alongN(w.streamRatio) * stream2
		streamN = alongN + (flowN-alongN)*sternY*sternY
	}
	return sideXN, sideYN, windN*cos + streamN, windN * sin
}

// at is how she lies to shares of wind and stream.
func (s *statics) at(w *shares) attitude {
	sx, sy, lx, ly := s.vectors(w)
	return attitude{math.Atan2(sy, sx), math.Atan2(ly, lx), math.Sqrt(math.Sqrt(lx*lx + ly*ly))}
}

// shares are a weather as shares of the design's: the direction towards which the wind blows, radians clockwise from where the stream
// sets, and the speeds of gust and stream over the greatest.
type shares struct {
	windRad                float64
	windRatio, streamRatio float64
}

// balanceRatio is the side force of the strongest gust over that of the strongest stream.
func (s *statics) balanceRatio() float64 { return s.windAbeamN / s.streamAbeamN }

// over is how she lies in all weathers of a box. who tells what of the box is her own. ok is false where the box has no weather of its
// own: none of the design, none in which the load pulls into the sector that it is cut down to, or only such as a box round a balance
// holds too.
func (s *statics) over(bx *box, who *symbolsOf) (a attitudes, ok bool) {
	scale := bx.affine(byScale)
	if s.streamAbeamN == 0 {
		a.stern, a.load = bx.affine(byWind), bx.affine(byWind)
		a.root = scale.scaled(math.Sqrt(s.windAlongN))
		return a, true
	}
	pressure, wind, stream, ok := bx.winds()
	if !ok {
		return a, false
	}
	cos, sin := wind.cos(), wind.sin()
	if bx.chart == who.chart {
		a.stern = bx.affine(byWind)
	} else {
		x, y := pressure.times(&cos).scaled(s.windAbeamN).plus(s.streamAbeamN, &stream), pressure.times(&sin).scaled(s.windAbeamN)
		sumN := math.Hypot(x.largest(), y.largest())
		if bx.chart <= streamLed && sumN < who.nearRatio*s.streamAbeamN*stream.least() {
			return a, false
		}
		var even bool
		if _, a.stern, even = polar(&x, &y); !even {
			a.stern, a.turnsStern = affine{over: math.Pi}, true
		}
	}
	angle := a.stern.plus(-1, &wind)
	broadside := sineSquared(&angle).scaled(s.windAbeamN - s.windAlongN)
	broadside.mid += s.windAlongN
	windPull := pressure.times(&broadside)
	friction := bx.friction(s)
	broadside = sineSquared(&a.stern)
	more := friction.scaled(-1)
	more.mid += s.streamAbeamN
	streamPull := more.times(&broadside).plus(1, &friction)
	streamPull = streamPull.times(&stream)
	x, y := windPull.times(&cos).plus(1, &streamPull), windPull.times(&sin)
	pull, load, even := polar(&x, &y)
	even = even && (!bx.divided(who.load) || load.over < sharpRad)
	if a.load, ok = bx.cut(load, even, &x, &y, who.load); !ok {
		return a, false
	}
	a.turnsLoad = !even
	if r := x.radius() + y.radius(); r > 0 {
		a.frictionRatio = friction.over * stream.most() / r
	}
	root := pull.root()
	a.root = root.times(&scale)
	return a, true
}

// friction is the force of the stream along a boat over the square of its share, for the speeds of a box.
func (bx *box) friction(s *statics) affine {
	lo, hi := bx.mid[byScale]-bx.half[byScale], bx.mid[byScale]+bx.half[byScale]
	if bx.chart == windLed {
		lo, hi = lo*(bx.mid[byRatio]-bx.half[byRatio]), hi*(bx.mid[byRatio]+bx.half[byRatio])
	}
	return between(s.alongN(hi), s.alongN(lo))
}

// sineSquared is the square of the sine of an angle.
func sineSquared(x *affine) affine {
	twice := x.scaled(2)
	z := twice.cos().scaled(-0.5)
	z.mid += 0.5
	return z
}

// attitudes are how a boat lies in the weathers of a box: the angles in radians, and the root of the load, whose unit is the root of a
// newton.
type attitudes struct {
	stern, load affine
	root        affine
	// turnsStern and turnsLoad say that the box holds weathers in which she may point, or be pulled, all round.
	turnsStern, turnsLoad bool
	// frictionRatio is the part of what is open of the load that is owed to the friction of the stream, which depends on its speed.
	frictionRatio float64
}

// symbolsOf are what of a box is a boat's own: the symbols of how she is turned and where a load pulls that is all but nothing, and the
// chart round the balance of her side forces, out to a sum of them of nearRatio times that of the stream.
type symbolsOf struct {
	turn, load int
	chart      chart
	nearRatio  float64
}
