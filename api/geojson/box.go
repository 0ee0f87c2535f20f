package geojson

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swingroom/geo"
)

// Box is a box in degrees; West is greater than East when it crosses the antimeridian (RFC 7946, section 5.2).
type Box struct{ West, South, East, North float64 }

// ParseBox reads west,south,east,north in degrees; an empty text is no box. Errors: geo.ErrInvalid.
func ParseBox(text string) (*Box, error) {
	if text == "" {
		return nil, nil
	}
	parts := strings.Split(text, ",")
	var v [4]float64
	bad := len(parts) != 4
	for i := 0; i < 4 && !bad; i++ {
		var err error
		v[i], err = strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		bad = err != nil || math.IsNaN(v[i]) || math.IsInf(v[i], 0)
	}
	b := Box{v[0], v[1], v[2], v[3]}
	if bad || !b.onEarth() {
		return nil, fmt.Errorf("%w: bbox=%q; west,south,east,north in degrees are expected", geo.ErrInvalid, text)
	}
	return &b, nil
}

func (b *Box) onEarth() bool {
	return b.South <= b.North && max(math.Abs(b.West), math.Abs(b.East)) <= 180 && max(math.Abs(b.South), math.Abs(b.North)) <= 90
}

// holds reports whether a position lies in the box; a nil box holds everything.
func (b *Box) holds(p geo.Position) bool {
	return b == nil || b.touches(p.Point().Bound())
}

// touches reports whether a shape's own box, which does not cross the antimeridian, touches this one.
func (b *Box) touches(shape orb.Bound) bool {
	if shape.Max.Lat() < b.South || shape.Min.Lat() > b.North {
		return false
	}
	if b.West <= b.East {
		return shape.Max.Lon() >= b.West && shape.Min.Lon() <= b.East
	}
	return shape.Max.Lon() >= b.West || shape.Min.Lon() <= b.East
}
