package clearance_test

import (
	"fmt"
	"math/rand/v2"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
)

// randomHarbor is a small harbor with all that the judge looks at: two areas of different margins and rules, a shore, a fairway with a setback, closed water, a bed, and moorings that are occupied, vacant or incomplete, wide among
// small. About half of the boats fit.
func randomHarbor(r *rand.Rand) *geo.Harbor {
	origins := []geo.Position{places["north"], places["south"], places["high north"]}
	frame := geo.NewFrame(origins[r.IntN(len(origins))])
	box := func(west, south, east, north float64) orb.MultiPolygon {
		var ring orb.Ring
		for _, o := range []geo.Offset{{EastM: west, NorthM: south}, {EastM: east, NorthM: south}, {EastM: east, NorthM: north}, {EastM: west, NorthM: north}, {EastM: west, NorthM: south}} {
			ring = append(ring, frame.Position(o).Point())
		}
		return orb.MultiPolygon{{ring}}
	}
	var flat []float64
	for east := -40.0; east <= 340; east += 20 {
		for north := -40.0; north <= 340; north += 20 {
			depth := 3 + 4*r.Float64()
			if r.IntN(60) == 0 {
				depth = 1
			}
			p := frame.Position(geo.Offset{EastM: east + r.Float64(), NorthM: north + r.Float64()})
			flat = append(flat, p.LonDeg, p.LatDeg, depth)
		}
	}
	rules := func() geo.Rules {
		out := geo.DefaultRules()
		out.Swing = geo.SwingRule{Kind: []geo.RuleKind{geo.Taut, geo.Stretched, geo.DefaultRules().Swing.Kind, geo.Catenary}[r.IntN(4)]}
		if r.IntN(6) == 0 {
			out.Swing = geo.SwingRule{Kind: geo.Formula, LOARatio: 1.5, DepthRatio: 2, Constant: 6}
		}
		out.Margin = geo.Metres(r.IntN(6))
		if r.IntN(2) == 0 {
			out.LargestLOA = geo.Known(geo.Metres(8 + 8*r.Float64()))
		}
		if r.IntN(3) == 0 {
			out.LargestDraft = geo.Known(geo.Metres(1 + 1.5*r.Float64()))
		}
		out.Design.Wind = geo.Known(geo.Knots(15 + 20*r.Float64()))
		if r.IntN(3) == 0 {
			out.Design.Stream, out.Design.StreamDeg = geo.Known(geo.Knots(1.5*r.Float64())), geo.Known(360*r.Float64())
		}
		return out
	}
	h := &geo.Harbor{
		Name: "Random", Units: geo.UnitsMetres, Levels: geo.Known(geo.Levels{Datum: "chart datum", Low: -0.3, High: 2.5}), Defaults: geo.NewDefaults(), Day: "2026-06-01",
		Shoreline: geo.Shoreline{Land: box(-200, -100, -30, 500)},
		KeepOuts: []geo.KeepOut{
			{Name: "Main", Kind: geo.Fairway, Shape: box(310, -50, 330, 350), Setback: geo.Metres(r.IntN(8))}, {Name: "Main", Kind: geo.Fairway, Shape: box(-20, 310, 300, 330), Setback: geo.Metres(r.IntN(8))},
			{Name: "Grass", Kind: geo.ClosedWater, Shape: box(140, -50, 150, -20)},
		},
		Areas:     []geo.Area{{Name: "West", Shape: box(-30, -40, 150, 310), Rules: rules()}, {Name: "East", Shape: box(150, -40, 310, 310), Rules: rules()}},
		Soundings: geom.NewMultiPointFlat(geom.XYZ, flat),
	}
	h.Defaults.ShoreSetback = geo.Metres(r.IntN(5))
	h.Defaults.Lines.HardwareUnrecorded = true
	h.Defaults.Lines.Holding = []geo.AnchorHolding{{Anchor: "block", WeightRatio: 3}}
	n := 2 + r.IntN(9)
	for i := range n {
		h.Moorings = append(h.Moorings, randomMooring(r, frame, fmt.Sprint(100+i)))
	}
	return h
}

// randomMooring is one of them.
func randomMooring(r *rand.Rand, frame geo.Frame, number string) geo.Mooring {
	at := geo.Offset{EastM: 280 * r.Float64(), NorthM: 280 * r.Float64()}
	loa := geo.Metres(5 + 5*r.Float64())
	if r.IntN(8) == 0 {
		loa *= 2
	}
	m := geo.Mooring{
		Number: number, Area: "West", Status: geo.Occupied, Position: frame.Position(at), Accuracy: geo.Known(geo.Metres(2 * r.Float64())),
		Boat:   &geo.Boat{Name: "Boat " + number, Kind: []string{"sloop", "launch"}[r.IntN(2)], LOA: geo.Known(loa), Beam: geo.Known(loa / 3), Draft: geo.Known(loa / 8), BowHeight: geo.Known(loa / 10)},
		Tackle: strongTackle(r), Permit: geo.Permit{Year: 2026, Expires: "2026-12-31"},
	}
	if at.EastM > 150 {
		m.Area = "East"
	}
	if r.IntN(12) == 0 {
		m.Permit.Expires = "2026-05-31"
	}
	if r.IntN(6) == 0 {
		m.LargestLOA = geo.Known(loa + geo.Metres(4*r.Float64()-1))
	}
	if r.IntN(6) == 0 {
		m.StatedRadius = geo.Known(2*loa + geo.Metres(20*r.Float64()))
	}
	switch r.IntN(12) {
	case 0:
		m.Boat, m.Status = nil, geo.Vacant
		if r.IntN(2) == 0 {
			m.LargestLOA, m.LargestDraft = geo.Known(loa), geo.Known(loa/8)
		}
	case 1:
		m.Boat = nil // occupied, and nothing of the boat is on record
	case 2:
		m.Boat.LOA = geo.Maybe[geo.Metres]{}
	case 3:
		m.Tackle = nil
	case 4:
		m.Area = []string{"", "East", "West"}[r.IntN(3)]
	}
	return m
}

// strongTackle is complete, and mostly strong enough.
func strongTackle(r *rand.Rand) geo.Tackle {
	length := func(lo, span float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(lo + span*r.Float64())) }
	part := func(kind geo.PartKind, length geo.Maybe[geo.Metres], sizeM geo.Metres, material string) geo.Part {
		return geo.Part{Kind: kind, Length: length, Size: geo.Known(sizeM), Material: material, LeftRatio: geo.Known(0.82 + 0.18*r.Float64())}
	}
	anchor := geo.Part{Kind: geo.Anchor, Material: "concrete block", Weight: geo.Known(geo.Kilograms(600 + 3000*r.Float64()))}
	return geo.Tackle{
		anchor, part(geo.GroundChain, length(4, 8), 0.025, "grade 30"), part(geo.TopChain, length(3, 4), 0.019, "grade 30"),
		{Kind: geo.Buoy, Size: geo.Known(geo.Metres(0.6))}, part(geo.Pennant, length(2, 3), 0.032, []string{"nylon", "polyester"}[r.IntN(2)]),
	}
}
