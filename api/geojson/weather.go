package geojson

import (
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Weather is a field in a weather as one FeatureCollection: each hull as a polygon, each gap under the margin as a point in its middle, and
// each boat of which it cannot be told how it lies as a feature without a shape. Property kind says which: hull, gap or unknown.
func Weather(x *clearance.InWeather, field *clearance.Field) []byte {
	f := newFeatures(nil)
	for i := range x.Boats {
		f.hull(&x.Boats[i], field.Frame())
	}
	for rank := range x.Gaps {
		f.gap(&x.Gaps[rank], rank+1)
	}
	for i := range x.Unknown {
		f.notDrawn(&x.Unknown[i])
	}
	return f.end()
}

// hull writes a boat as it lies.
func (f *features) hull(b *clearance.LyingBoat, frame geo.Frame) {
	ring := make(orb.Ring, 0, len(b.Hull)+1)
	for _, at := range b.Hull {
		ring = append(ring, frame.Position(at).Point())
	}
	f.begin(b.Number)
	f.multiPolygon(orb.MultiPolygon{{append(ring, ring[0])}})
	f.weathered("hull", b.Number, b.Boat)
	f.number("load_n", float64(b.Load), 1)
	f.number("load_deg", b.LoadDeg, 2)
	f.number("stern_deg", b.SternDeg, 2)
	f.number("reach_m", float64(b.Reach), 3)
	f.text("lies_to", string(b.To))
	f.nearest(string(b.State), b.Nearest, b.GapM.Or(math.NaN()), math.NaN())
	f.inWords(geo.Words{})
	f.close()
}

// gap writes two hulls that come nearer than the margin.
func (f *features) gap(g *clearance.HullGap, rank int) {
	f.begin("gap " + strconv.Itoa(rank))
	f.point(g.At)
	f.weathered("gap", g.A, "")
	f.noLie()
	f.nearest(string(g.State), g.B, g.GapM, g.MarginM)
	f.inWords(geo.Words{})
	f.close()
}

// notDrawn writes a boat of which it cannot be told how it lies.
func (f *features) notDrawn(u *clearance.NotDrawn) {
	f.begin("unknown " + u.Mooring)
	f.nowhere()
	f.weathered("unknown", u.Mooring, "")
	f.noLie()
	f.nearest("", "", math.NaN(), math.NaN())
	f.inWords(u.Words)
	f.close()
}

// nearest writes how near another hull comes; what is no number is null.
func (f *features) nearest(state, number string, gapM, marginM float64) {
	f.text("state", state)
	f.text("nearest", number)
	f.number("gap_m", gapM, 3)
	f.number("margin_m", marginM, 3)
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
