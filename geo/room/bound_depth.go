package room

import (
	"context"
	"math"
	"slices"

	"swingroom/geo"
)

// How finely the water is parted by depth for a bound: cutting costs half of the cut's length over each side's distance, so that few cuts
// serve.
const (
	bandCellM   = 0.5 // coarser than [boundCellM]: each part is measured by itself
	bandCuts    = 3   // one after the other: eight parts
	bandRatio   = 1.2 // of the greatest over the least distance in a part, below which it is not cut
	bandAnchors = 15  // no part of fewer is cut
)

// depthBand is the water between two depths below chart datum.
type depthBand struct{ fromM, toM float64 }

// byBands betters a bound where the boat's radius changes with the depth: between two depth lines two boats keep the least distance of
// there, and the parts' bounds add up.
func (q *Question) byBands(ctx context.Context, y *site, b bound) bound {
	if q.plan.radius.byDepth == nil || len(q.plan.zones)+2 > maxZones {
		return b
	}
	shallow, deep := q.depths()
	maxCount, parts := q.parted(ctx, y, depthBand{float64(shallow), float64(deep)}, bandCuts, b.max)
	if maxCount >= b.max {
		return b
	}
	return bound{maxCount, geo.Tell("two boats keep at least D = %s between their anchors, and more where the radius is larger: "+
		"so the water is parted by depth (parts %d), and by the inequality of Folkman and Graham "+
		"a connected water of a part holds at most 2/√3·A/D² + P/2D + 1 - holes, with the least D of the part", geo.Metres(y.minM),
		parts)}
}

// parted is how many anchors the water of a band holds at most, when it is known to be no more than maxCount: cut again and again where
// that makes it less.
func (q *Question) parted(ctx context.Context, y *site, band depthBand, cuts, maxCount int) (less, parts int) {
	if cuts == 0 || maxCount < bandAnchors || !q.worthCutting(y, band) {
		return maxCount, 1
	}
	cutM := q.halfWay(band)
	for i, half := range [2]depthBand{{band.fromM, cutM}, {cutM, band.toM}} {
		n, ok := q.upperIn(ctx, y, half)
		if !ok {
			return maxCount, 1
		}
		n, k := q.parted(ctx, y, half, cuts-1, n)
		if less, parts = less+n, parts+k; i == 0 && less >= maxCount {
			break
		}
	}
	if less >= maxCount {
		return maxCount, 1
	}
	return less, parts
}

// worthCutting reports whether boats keep much more at one end of a band than at the other.
func (q *Question) worthCutting(y *site, band depthBand) bool {
	aM, bM := q.spacingsM(y, band)
	return !math.IsInf(aM+bM, 0) && max(aM, bM) >= bandRatio*min(aM, bM)
}

// spacingsM are how far two boats keep from each other at the two depths of a band.
func (q *Question) spacingsM(y *site, band depthBand) (fromM, toM float64) {
	r := q.plan.radius.byDepth
	return y.alikeM(r(band.fromM)), y.alikeM(r(band.toM))
}

// halfWay is the depth in a band at which the radius is half way between those of its ends.
func (q *Question) halfWay(band depthBand) float64 {
	r := q.plan.radius.byDepth
	aM, bM := r(band.fromM), r(band.toM)
	lo, hi := band.fromM, band.toM
	const halvings = 40 // to the last digit of a depth
	for range halvings {
		if middle := (lo + hi) / 2; (r(middle) < (aM+bM)/2) == (aM < bM) {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo
}

// upperIn bounds the anchors in a band.
func (q *Question) upperIn(ctx context.Context, y *site, band depthBand) (int, bool) {
	all, ok := q.between(band).waters(ctx, bandCellM, y.samples.steepRatio())
	if !ok {
		return 0, false
	}
	aM, bM := q.spacingsM(y, band)
	n, _ := upper(all, max(y.minM, min(aM, bM)))
	return n, true
}

// between is the plan of the water of a band; the shallowest and the deepest water of the area lie in the outermost.
func (q *Question) between(band depthBand) *plan {
	p := q.plan
	shallow, deep := q.depths()
	p.zones = slices.Clone(p.zones)
	if geo.Metres(band.fromM) > shallow {
		p.zones = append(p.zones, q.bandZone(geo.Metres(band.fromM), true))
	}
	if geo.Metres(band.toM) < deep {
		p.zones = append(p.zones, q.bandZone(geo.Metres(band.toM), false))
	}
	return &p
}

// bandZone is the water deeper, or not so deep, as a depth, as a zone in which the anchor stays.
func (q *Question) bandZone(depth geo.Metres, deeper bool) zone {
	edges := q.water.band(depth, deeper)
	return zone{edges: edges, slabs: newSlabs(edges), in: true}
}
