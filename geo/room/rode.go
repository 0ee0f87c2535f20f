package room

import (
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// minScope is the shortest rode that is proposed, over the water's depth at the high level: the least of a town's chain rule (Falmouth
// MA, s.269-5 B: twice the depth at mean high tide).
const minScope = 2.0

// shortestRode is that length at a depth below chart datum.
func shortestRode(f *clearance.Field, depth geo.Metres) geo.Metres {
	return geo.Metres(minScope) * max(0, depth+levelsOf(f.Harbor()).High)
}

// mooringRode is the rode of a mooring, of which another length is tried.
type mooringRode struct {
	mooring                 geo.Mooring
	depth, length, shortest geo.Metres
}

// rodeOf is the rode of a mooring at a depth; false where its length or the depth is not known, or a stated radius holds whatever the rode.
func rodeOf(f *clearance.Field, m *geo.Mooring, depth geo.Maybe[geo.Metres]) (mooringRode, bool) {
	total, _ := m.Tackle.RodeLength()
	l, lengthKnown := total.Get()
	d, depthKnown := depth.Get()
	return mooringRode{*m, d, l, shortestRode(f, d)}, lengthKnown && depthKnown && !m.StatedRadius.IsKnown()
}

// on is the mooring on a rode of another length.
func (r *mooringRode) on(l geo.Metres) geo.Mooring {
	m := r.mooring
	m.Tackle = shortened(m.Tackle, r.length-l)
	return m
}

// radiusOn is the swing radius on a rode of another length, all else being as in an input.
func (r *mooringRode) radiusOn(in swing.Input, l geo.Metres) geo.Maybe[geo.Metres] {
	changed := r.on(l)
	in.Mooring = &changed
	return swing.Radius(in).Radius
}

// longest halves in, to 5 cm, on the longest length that fits; lo fits, and hi does not.
func longest(lo, hi geo.Metres, fits func(geo.Metres) bool) geo.Metres {
	const close = 0.05 // nobody measures a chain more closely
	for hi-lo > close {
		if middle := (lo + hi) / 2; fits(middle) {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo
}

// shortened takes a length off a tackle: off its longest part.
func shortened(t geo.Tackle, by geo.Metres) geo.Tackle {
	t = slices.Clone(t)
	longest := -1
	for i, p := range t {
		if p.Kind.OfRode() && p.Length.IsKnown() && (longest < 0 || p.Length.Or(0) > t[longest].Length.Or(0)) {
			longest = i
		}
	}
	if longest >= 0 {
		t[longest].Length = geo.Known(max(0, t[longest].Length.Or(0)-by))
	}
	return t
}
