package geojson

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// crosses reports whether a line jumps over the antimeridian between two of its points.
func crosses[T ~[]orb.Point](line T) bool {
	for i := 1; i < len(line); i++ {
		if math.Abs(line[i].Lon()-line[i-1].Lon()) > 180 {
			return true
		}
	}
	return false
}

// unwrapped lets longitudes run on over the antimeridian.
func unwrapped[T ~[]orb.Point](line T) T {
	flat := slices.Clone(line)
	for i := 1; i < len(flat); i++ {
		flat[i][0] = flat[i-1][0] + math.Remainder(flat[i][0]-flat[i-1][0], 360)
	}
	return flat
}

// sides are the halves of the world that an unwrapped shape may lie in, and how far each is turned back.
var sides = []struct {
	bound orb.Bound
	turn  float64
}{
	{orb.Bound{Min: orb.Point{-540, -90}, Max: orb.Point{-180, 90}}, 360},
	{orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}, 0},
	{orb.Bound{Min: orb.Point{180, -90}, Max: orb.Point{540, 90}}, -360},
}

// cutPolygons cuts those that cross the antimeridian in two there.
func cutPolygons(shape orb.MultiPolygon) orb.MultiPolygon {
	if !slices.ContainsFunc(shape, func(p orb.Polygon) bool { return len(p) > 0 && crosses(p[0]) }) {
		return shape
	}
	var all orb.MultiPolygon
	for _, polygon := range shape {
		if len(polygon) == 0 || !crosses(polygon[0]) {
			all = append(all, polygon)
			continue
		}
		flat := make(orb.Polygon, len(polygon))
		for i, ring := range polygon {
			flat[i] = unwrapped(ring)
			if i > 0 { // a hole lies in the same turn of the world as its outer ring
				by := math.Round((flat[0][0].Lon()-flat[i][0].Lon())/360) * 360
				for j := range flat[i] {
					flat[i][j][0] += by
				}
			}
		}
		for _, side := range sides {
			piece := clip.Polygon(side.bound, flat.Clone())
			if len(piece) == 0 {
				continue
			}
			for _, ring := range piece {
				for j := range ring {
					ring[j][0] += side.turn
				}
			}
			all = append(all, piece)
		}
	}
	return all
}

// cutLine cuts a line that crosses the antimeridian there.
func cutLine(line orb.LineString) orb.MultiLineString {
	if !crosses(line) {
		return orb.MultiLineString{line}
	}
	var all orb.MultiLineString
	flat := unwrapped(line)
	for _, side := range sides {
		for _, piece := range clip.LineString(side.bound, flat.Clone()) {
			for j := range piece {
				piece[j][0] += side.turn
			}
			all = append(all, piece)
		}
	}
	return all
}
