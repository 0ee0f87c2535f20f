package geo

import (
	"fmt"

	"github.com/paulmach/orb"
)

// KeepOutKind tells a fairway from closed water.
type KeepOutKind string

// The kinds of water that swing circles must keep out of.
const (
	Fairway     KeepOutKind = "fairway"
	ClosedWater KeepOutKind = "closed_water"
)

// KeepOut is water that swing circles must keep out of, by a setback in metres.
type KeepOut struct {
	Name    string           `json:"name"`
	Kind    KeepOutKind      `json:"kind"`
	Reason  string           `json:"reason"` // "eelgrass", "cable", ...
	Shape   orb.MultiPolygon `json:"-"`
	Setback Metres           `json:"setback_m"`
}

// Validate returns every FieldError, joined.
func (k KeepOut) Validate() error {
	pr := problems{noun: "fairway or closed water", name: k.Name}
	oneOf(&pr, "kind", k.Kind, Fairway, ClosedWater)
	pr.within("setback_m", Known(k.Setback), 0, 1000)
	pr.join(validShape("fairway or closed water", k.Name, k.Shape))
	return pr.err()
}

// validShape checks what every reader of polygons relies on: closed rings of at least three corners with real positions. It stops at the
// first position that is none: a file with its axes swapped has thousands. Rings that cross themselves are found where shapes come in
// (api/exchange).
func validShape(noun, name string, shape orb.MultiPolygon) error {
	pr := problems{noun: noun, name: name}
	if len(shape) == 0 {
		pr.add("geometry", "empty", "expected a polygon")
	}
	for _, polygon := range shape {
		for _, ring := range polygon {
			if !pr.ring(ring) {
				return pr.err()
			}
		}
	}
	return pr.err()
}

// ring notes what is wrong with a ring; ok is false where it has a position that is none.
func (p *problems) ring(ring orb.Ring) (ok bool) {
	if len(ring) < 4 || !ring.Closed() {
		p.add("geometry", fmt.Sprintf("a ring of %d positions", len(ring)), "expected a closed ring of at least four")
	}
	for _, pt := range ring {
		if PositionOf(pt).Validate() != nil {
			p.add("geometry", fmt.Sprint(pt), "expected a position, longitude first; "+wantLat)
			return false
		}
	}
	return true
}
