package swing

import "math"

// The unknowns of a weather over which a search divides: each has a symbol between -1 and 1 in the affine forms.
const (
	symWind  = iota // direction of the wind
	symRatio        // of the weaker to the stronger of wind and stream
	symScale        // strength of both
	symLevel        // water level
	symTurnA        // scatter of the first boat
	symTurnB        // scatter of the second
	symCount
)

// affine is a number that depends on the place in a box: mid + the sum of coef[i] times symbol i, and up to residual on
// either side of that. Two of them that depend on the same symbols keep what they have in common, which plain
// intervals lose. Source of the arithmetic: de Figueiredo and Stolfi, Numerical Algorithms 37 (2004), from memory.
type affine struct {
	mid      float64
	coef     [symCount]float64
	residual float64
}

// constant is a number that depends on nothing.
func constant(valueRatio float64) affine { return affine{mid: valueRatio} }

// interval is any number of an interval.
func interval(lo, hi float64) affine { return affine{mid: (lo + hi) / 2, residual: (hi - lo) / 2} }

// radius is how far the number is at most from its middle.
func (x *affine) radius() (sumRatio float64) {
	sumRatio = x.residual
	for _, v := range x.coef {
		sumRatio += math.Abs(v)
	}
	return sumRatio
}

// maxAbs is how large the number may be, its sign left aside.
func (x *affine) maxAbs() (absRatio float64) { return math.Abs(x.mid) + x.radius() }

func (x *affine) min() (minRatio float64) { return x.mid - x.radius() }
func (x *affine) max() (maxRatio float64) { return x.mid + x.radius() }

// addScaled is x + kRatio y.
func (x affine) addScaled(kRatio float64, y *affine) affine {
	x.mid += kRatio * y.mid
	for i, v := range y.coef {
		x.coef[i] += kRatio * v
	}
	x.residual += math.Abs(kRatio) * y.residual
	return x
}

func (x affine) scaled(kRatio float64) affine {
	x.mid *= kRatio
	for i := range x.coef {
		x.coef[i] *= kRatio
	}
	x.residual *= math.Abs(kRatio)
	return x
}

// times is the product; what is of the second order goes into the residual.
func (x *affine) times(y *affine) affine {
	var z affine
	z.mid = x.mid * y.mid
	var rx, ry float64
	for i, v := range x.coef {
		w := y.coef[i]
		z.coef[i] = x.mid*w + y.mid*v
		rx += math.Abs(v)
		ry += math.Abs(w)
	}
	z.residual = math.Abs(x.mid)*y.residual + math.Abs(y.mid)*x.residual + (rx+x.residual)*(ry+y.residual)
	return z
}

// cos is the cosine of an angle in radians: its tangent in the middle, with what the curve leaves of it at most.
func (x *affine) cos() affine {
	r := x.radius()
	sin, cos := math.Sincos(x.mid)
	if r == 0 {
		return affine{mid: cos}
	}
	lo, hi := cosOver(x.mid-r, x.mid+r)
	// The rest is -cos(t)/2 d² with t in the range and d at most r.
	down, up := -r*r/2*math.Max(hi, 0), -r*r/2*math.Min(lo, 0)
	if (up-down)/2+math.Abs(sin)*x.residual >= (hi-lo)/2 {
		return interval(lo, hi)
	}
	z := x.scaled(-sin)
	z.mid = cos + (down+up)/2
	z.residual += (up - down) / 2
	return z
}

func (x *affine) sin() affine {
	y := *x
	y.mid -= math.Pi / 2
	return y.cos()
}

// cosOver is the range of the cosine between two angles, radians.
func cosOver(fromRad, toRad float64) (lo, hi float64) {
	if toRad-fromRad >= 2*math.Pi {
		return -1, 1
	}
	lo, hi = math.Cos(fromRad), math.Cos(toRad)
	if lo > hi {
		lo, hi = hi, lo
	}
	if passesTurn(fromRad, toRad) {
		hi = 1
	}
	if passesTurn(fromRad-math.Pi, toRad-math.Pi) {
		lo = -1
	}
	return lo, hi
}

// passesTurn tells whether a whole number of turns lies between two angles.
func passesTurn(fromRad, toRad float64) bool {
	return math.Floor(toRad/(2*math.Pi)) != math.Floor(fromRad/(2*math.Pi))
}

// squared is the square; d² is never below 0, which halves its error.
func (x *affine) squared() affine {
	r := x.radius()
	half := r * r / 2
	z := x.scaled(2 * x.mid)
	z.mid = x.mid*x.mid + half
	z.residual = 2*math.Abs(x.mid)*x.residual + half
	return z
}

// root is the square root of a number that is not below 0: the best straight line over its range.
func (x *affine) root() affine {
	a, b := math.Sqrt(math.Max(0, x.min())), math.Sqrt(math.Max(0, x.max()))
	if b == 0 {
		return affine{}
	}
	slope := 1 / (a + b)
	z := x.scaled(slope)
	z.mid = slope*x.mid + (a+b)/8 + a*b*slope/2
	z.residual += (b - a) * (b - a) * slope / 8
	return z
}

// polar is the length of a vector and its direction, radians clockwise from x. even is false where the vector may be nothing or point
// away from its middle: then the direction is not told.
//
// Along the vector in the middle it is p, across it c. Its length is p and c²/(length + p) more; its direction is the angle whose tangent
// is c/p, which is off c over the middle of p by what p is off there, and by less than the third of the tangent's cube.
func polar(x, y *affine) (length, direction affine, even bool) {
	long := math.Hypot(x.mid, y.mid)
	if long == 0 {
		return interval(0, radii(x, y)), affine{}, false
	}
	ux, uy := x.mid/long, y.mid/long
	p, c := x.scaled(ux).addScaled(uy, y), y.scaled(ux).addScaled(-uy, x)
	rc, near := c.radius(), p.min()
	if near <= 0 {
		off := radii(x, y)
		return interval(math.Max(0, long-off), long+off), affine{}, false
	}
	t := rc / near
	direction = c.scaled(1 / long)
	direction.residual += t*p.radius()/long + t*t*t/3
	if side := math.Atan(t); direction.radius() > side {
		direction = affine{residual: side}
	}
	direction.mid = math.Atan2(y.mid, x.mid)
	return lengthOf(&p, rc, near), direction, true
}

// radii is how far a vector is at most from its middle.
func radii(x, y *affine) float64 { return math.Hypot(x.radius(), y.radius()) }

// lengthOf is the length of a vector that is p along its middle, near at the least, and no more than rc across it.
func lengthOf(p *affine, rc, near float64) affine {
	bend := rc * rc / near / 4
	length := *p
	length.mid += bend
	length.residual += bend
	if far := math.Hypot(p.max(), rc); length.radius() > (far-near)/2 {
		return interval(near, far)
	}
	return length
}
