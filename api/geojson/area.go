package geojson

import (
	"github.com/paulmach/orb"

	"swingroom/api/office"
	"swingroom/geo"
)

func addAreas(s *office.Snapshot, f *features, _ *Box) {
	h := s.Field.Harbor()
	moorings := map[string]int{}
	for i := range h.Moorings {
		moorings[h.Moorings[i].Area]++
	}
	for i := range h.Areas {
		a := &h.Areas[i]
		f.begin(a.Name)
		f.multiPolygon(a.Shape)
		f.properties()
		f.text("name", a.Name)
		f.rules(&a.Rules)
		f.design(&a.Rules.Design)
		f.number("moorings", float64(moorings[a.Name]), 0)
		f.close()
	}
}

// rules writes the rules of an area.
func (f *features) rules(r *geo.Rules) {
	f.text("rule", string(r.Swing.Kind))
	f.number("scope", r.Swing.ScopeRatio, 3)
	f.number("formula_loa", r.Swing.LOARatio, 4)
	f.number("formula_depth", r.Swing.DepthRatio, 4)
	f.number("formula_constant_m", float64(r.Swing.Constant), 3)
	f.number("margin_m", float64(r.Margin), 3)
	f.number("keel_margin_m", float64(r.KeelMargin), 3)
	f.metres("largest_loa_m", r.LargestLOA)
	f.metres("largest_draft_m", r.LargestDraft)
	f.text("lying", string(r.Lying))
}

// design writes the weather that an area is laid out for.
func (f *features) design(d *geo.Design) {
	property(f, "design_wind_ms", d.Wind, 3)
	property(f, "gust", d.GustRatio, 3)
	property(f, "scatter_deg", d.ScatterDeg, 1)
	property(f, "stream_ms", d.Stream, 3)
	property(f, "stream_deg", d.StreamDeg, 1)
	f.flag("calm_off", d.CalmOff)
}

func addKeepOuts(s *office.Snapshot, f *features, _ *Box) {
	for _, k := range s.Field.Harbor().KeepOuts {
		f.begin("")
		f.multiPolygon(k.Shape)
		f.properties()
		f.text("name", k.Name)
		f.text("kind", string(k.Kind))
		f.text("reason", k.Reason)
		f.number("setback_m", float64(k.Setback), 3)
		f.close()
	}
}

func addShoreline(s *office.Snapshot, f *features, _ *Box) {
	shore := s.Field.Harbor().Shoreline
	for _, polygon := range shore.Land {
		f.begin("")
		f.multiPolygon(orb.MultiPolygon{polygon})
		f.properties()
		f.text("kind", "land")
		f.close()
	}
	if len(shore.Lines) > 0 {
		f.begin("")
		f.multiLine(shore.Lines)
		f.properties()
		f.text("kind", "line")
		f.close()
	}
}

// depthLimits are the depths below chart datum at which lines are drawn and the water changes its tint, by how people of the harbor count.
func depthLimits(h *geo.Harbor) []geo.Metres {
	if h.Units == geo.UnitsFeet {
		return []geo.Metres{0, geo.Feet(6), geo.Feet(12), geo.Feet(18), geo.Feet(30), geo.Feet(60)}
	}
	return []geo.Metres{0, 2, 4, 6, 10, 20}
}

func addDepthLines(s *office.Snapshot, f *features, _ *Box) {
	for _, l := range s.Field.Bed().Lines(depthLimits(s.Field.Harbor())) {
		line := make(orb.LineString, len(l.Points))
		for i, at := range l.Points {
			line[i] = s.Field.Frame().Position(at).Point()
		}
		if len(line) < 2 {
			continue
		}
		f.begin("")
		f.line(line)
		f.properties()
		f.number("depth_m", float64(l.Depth), 3)
		f.close()
	}
}

func addDepthAreas(s *office.Snapshot, f *features, _ *Box) {
	for _, band := range s.Field.Bed().Bands(depthLimits(s.Field.Harbor())) {
		shape := make(orb.MultiPolygon, len(band.Polygons))
		for i, polygon := range band.Polygons {
			for _, ring := range polygon {
				r := make(orb.Ring, len(ring))
				for j, at := range ring {
					r[j] = s.Field.Frame().Position(at).Point()
				}
				shape[i] = append(shape[i], r)
			}
		}
		f.begin("")
		f.multiPolygon(shape)
		f.properties()
		f.metres("from_m", band.From)
		f.metres("to_m", band.To)
		f.close()
	}
}

// addSoundings writes soundings; of more than an answer shows, every so manyth.
func addSoundings(s *office.Snapshot, f *features, b *Box) {
	soundings := s.Field.Harbor().Soundings
	if soundings == nil {
		return
	}
	flat := soundings.FlatCoords()
	var in []int
	for i := 0; i+2 < len(flat); i += 3 {
		if b.holds(geo.Position{LonDeg: flat[i], LatDeg: flat[i+1]}) {
			in = append(in, i)
		}
	}
	for n := 0; n < len(in); n += 1 + len(in)/maxSoundings {
		i := in[n]
		f.begin("")
		f.point(geo.Position{LonDeg: flat[i], LatDeg: flat[i+1]})
		f.properties()
		f.number("depth_m", flat[i+2], 2)
		f.close()
	}
}

// maxSoundings is how many soundings one answer shows; more are dots upon dots on any map.
const maxSoundings = 20000
