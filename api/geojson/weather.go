package geojson

import (
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Weather is a field in a weather as one FeatureCollection: each hull as a polygon, each gap under the margin as a point in its
// middle, and each boat of which it cannot be told how she lies as a feature without a shape. Property kind says which: hull, gap or
// unknown.
func Weather(x *clearance.InWeather, field *clearance.Field) []byte {
	f := newFeatures(nil)
	for i := range x.Boats {
		b := &x.Boats[i]
		f.begin(b.Number)
		ring := make(orb.Ring, 0, len(b.Hull)+1)
		for _, at := range b.Hull {
			ring = append(ring, field.Frame().Position(at).Point())
		}
		f.multiPolygon(orb.MultiPolygon{{append(ring, ring[0])}})
		f.weathered("hull", b.Number, b.Boat)
		f.number("load_n", float64(b.Load), 1)
		f.number("load_deg", b.LoadDeg, 2)
		f.number("stern_deg", b.SternDeg, 2)
		f.number("reach_m", float64(b.Reach), 3)
		f.text("lies_to", string(b.To))
		f.text("state", string(b.State))
		f.text("nearest", b.Nearest)
		f.number("gap_m", b.GapM.Or(math.NaN()), 3)
		f.number("margin_m", math.NaN(), 3)
		f.inWords(geo.Words{})
		f.close()
	}
	for rank, g := range x.Gaps {
		f.begin("gap " + strconv.Itoa(rank+1))
		f.point(g.At)
		f.weathered("gap", g.A, "")
		f.noLie()
		f.text("state", string(g.State))
		f.text("nearest", g.B)
		f.number("gap_m", g.GapM, 3)
		f.number("margin_m", g.MarginM, 3)
		f.inWords(geo.Words{})
		f.close()
	}
	for _, u := range x.Unknown {
		f.begin("unknown " + u.Mooring)
		f.nowhere()
		f.weathered("unknown", u.Mooring, "")
		f.noLie()
		f.text("state", "")
		f.text("nearest", "")
		f.number("gap_m", math.NaN(), 3)
		f.number("margin_m", math.NaN(), 3)
		f.inWords(u.Words)
		f.close()
	}
	return f.end()
}

// weathered begins the properties of a feature of a field in a weather.
func (f *features) weathered(kind, number, boat string) {
	f.properties()
	f.text("kind", kind)
	f.text("number", number)
	f.text("boat", boat)
}

// noLie leaves empty what only a hull has.
func (f *features) noLie() {
	for _, name := range []string{"load_n", "load_deg", "stern_deg", "reach_m", "lies_to"} {
		f.text(name, "")
	}
}
