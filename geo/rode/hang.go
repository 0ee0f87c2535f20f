package rode

import "math"

// hung is how a length of line hangs: up and along from its lower end.
type hung struct{ riseM, reachM float64 }

// hang works out a length of one part between the vertical pulls at its ends. along is false where only the rise is asked for, which needs
// no logarithm.
func (p *Part) hang(lengthM, lowN, highN, loadN float64, along bool) hung {
	if len(p.Stretch) == 0 {
		return bare(lengthM, lowN, highN, loadN, along)
	}
	// The curve bends at a pull: V² = T² - H². Between the bends the stretch has a closed form.
	var out hung
	from := lowN
	for {
		to := p.nextBend(from, highN, loadN)
		share := 1.0
		if highN != lowN {
			share = (to - from) / (highN - lowN)
		}
		piece := bare(lengthM*share, from, to, loadN, along)
		middle := alongN(loadN, (from+to)/2)
		offset, slope := p.Stretch.piece(middle)
		// dx = (1 + offset + slope T) H/T ds and dz = (1 + offset + slope T) V/T ds.
		out.reachM += piece.reachM*(1+offset) + slope*loadN*lengthM*share
		out.riseM += piece.riseM*(1+offset) + slope*(from+to)/2*lengthM*share
		if to == highN {
			return out
		}
		from = to
	}
}

// alongN is the pull along the line, of its horizontal and vertical parts: forces on a mooring need none of the care that math.Hypot takes
// of the largest and least of numbers.
func alongN(loadN, verticalN float64) float64 { return math.Sqrt(loadN*loadN + verticalN*verticalN) }

// nextBend is the next vertical pull on the way from one to another where the pull crosses a point of the stiffness curve.
func (p *Part) nextBend(fromN, toN, loadN float64) float64 {
	next := toN
	for _, point := range p.Stretch {
		if point.PullN <= loadN {
			continue
		}
		v := math.Sqrt((point.PullN - loadN) * (point.PullN + loadN))
		for _, bend := range [2]float64{-v, v} {
			if (bend-fromN)*(toN-bend) > 0 && (bend-fromN)*(next-bend) > 0 {
				next = bend
			}
		}
	}
	return next
}

// bare is a length that does not stretch. Differences of nearly equal pulls are written as products, so that weight may go to nothing.
func bare(lengthM, lowN, highN, loadN float64, along bool) hung {
	low, high := alongN(loadN, lowN), alongN(loadN, highN)
	slope := (lowN + highN) / (low + high)
	riseM := lengthM * slope
	if !along {
		return hung{riseM: riseM}
	}
	// asinh(Vu/H) - asinh(Vl/H) = log((Vu + Tu) / (Vl + Tl)) = log1p(w L (1 + slope) / (Vl + Tl)); mirrored where the middle hangs
	// downwards, so that V + T never cancels.
	base, step := sumWithPull(lowN, low, loadN), (highN-lowN)*(1+slope)
	if slope < 0 {
		base, step = sumWithPull(-highN, high, loadN), (highN-lowN)*(1-slope)
	}
	u := step / base
	reachM := lengthM * loadN * (1 + math.Abs(slope)) / base * log1pOver(u)
	return hung{riseM, reachM}
}

// sumWithPull is V + T, with its digits kept where V is below 0.
func sumWithPull(verticalN, pullN, loadN float64) float64 {
	if verticalN < 0 {
		return loadN * loadN / (pullN - verticalN)
	}
	return verticalN + pullN
}

// log1pOver is log(1+uRatio)/uRatio, 1 at 0.
func log1pOver(uRatio float64) float64 {
	if math.Abs(uRatio) < 1e-5 {
		return 1 - uRatio/2 + uRatio*uRatio/3
	}
	return math.Log1p(uRatio) / uRatio
}
