package office

import (
	"time"

	"swingroom/api/account"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Harbor is one harbor as somebody may see it, and where they act on it.
type Harbor struct {
	*Snapshot
	office *Office
	person account.Person
}

// Person is who looks at it.
func (h *Harbor) Person() account.Person { return h.person }

// HarborInfo is what the page shows round the map.
type HarborInfo struct {
	Slug string `json:"slug"`
	Name string `json:"name"`
	// AsOf is the time at which the harbor stood as it is told; nil: as it stands.
	AsOf       *time.Time            `json:"as_of"`
	Public     []geo.Shown           `json:"public"` // what the public may see beyond the map
	Units      geo.Units             `json:"units"`
	Revision   int64                 `json:"revision"`
	Caution    string                `json:"caution"`
	Levels     geo.Maybe[geo.Levels] `json:"levels"`
	Bounds     []float64             `json:"bounds"` // west, south, east, north; null for an empty harbor
	Counts     Counts                `json:"counts"`
	Background *geo.Background       `json:"background"`
	Areas      []AreaInfo            `json:"areas"`
	Worst      *Worst                `json:"worst"`
	// ShoreSetbackM is the water kept free beside the shore, metres.
	ShoreSetbackM float64 `json:"shore_setback_m"`
	Tide          bool    `json:"tide"` // whether constants are on record, so that the water can be predicted
}

// Counts of a harbor.
type Counts struct {
	Moorings  int `json:"moorings"`
	Vacant    int `json:"vacant"`
	Conflicts int `json:"conflicts"`
	Certain   int `json:"certain"` // of the conflicts
	Hazards   int `json:"hazards"`
	Troubles  int `json:"troubles"` // of tackle, limits and records
	Unknown   int `json:"unknown"`
	Soundings int `json:"soundings"`
}

// AreaInfo is an area with its rules and how many moorings it has.
type AreaInfo struct {
	Name     string    `json:"name"`
	Moorings int       `json:"moorings"`
	Rules    geo.Rules `json:"rules"`
}

// Worst is the worst conflict.
type Worst struct {
	A string `json:"a"`
	B string `json:"b"`
}

// Summary is what the page shows round the map.
func (h *Harbor) Summary() HarborInfo {
	record := h.Field.Harbor()
	info := HarborInfo{
		Slug: h.Info.Slug, Name: record.Name, Public: append([]geo.Shown{}, record.Public...), Units: record.Units,
		Revision: h.Info.Revision, Caution: Caution, Levels: record.Levels, Background: record.Background, Tide: record.Tide != nil,
		Areas: areasOf(record), Bounds: h.bounds(), ShoreSetbackM: float64(record.Defaults.ShoreSetback),
		Counts: countsOf(h.Field),
	}
	if !h.AsOf.IsZero() {
		info.AsOf = &h.AsOf
	}
	if conflicts := h.Field.Report().Conflicts; len(conflicts) > 0 {
		info.Worst = &Worst{conflicts[0].A, conflicts[0].B}
	}
	return info
}

// countsOf counts what a harbor has and what its report finds.
func countsOf(f *clearance.Field) Counts {
	h, report := f.Harbor(), f.Report()
	c := Counts{Moorings: len(h.Moorings), Conflicts: len(report.Conflicts), Hazards: len(report.Hazards),
		Troubles: len(report.Troubles), Unknown: len(report.Unknown)}
	if h.Soundings != nil {
		c.Soundings = h.Soundings.NumPoints()
	}
	for i := range h.Moorings {
		if h.Moorings[i].Status == geo.Vacant {
			c.Vacant++
		}
	}
	for _, k := range report.Conflicts {
		if k.Certainty == clearance.Certain {
			c.Certain++
		}
	}
	return c
}

// areasOf are a harbor's areas, each with how many moorings it has.
func areasOf(h *geo.Harbor) []AreaInfo {
	moorings := map[string]int{}
	for i := range h.Moorings {
		moorings[h.Moorings[i].Area]++
	}
	areas := []AreaInfo{}
	for _, a := range h.Areas {
		areas = append(areas, AreaInfo{a.Name, moorings[a.Name], a.Rules})
	}
	return areas
}

// boundsOf is the box of the moorings and areas that lie on the harbor's plane, west beyond east when it crosses the antimeridian.
func boundsOf(f *clearance.Field) []float64 {
	var box box
	for _, p := range placesOf(f.Harbor()) {
		if geo.Distance(f.Frame().Origin(), p) <= geo.FrameReach {
			box.add(f.Frame().Project(p))
		}
	}
	if !box.some {
		return nil
	}
	a, b := f.Frame().Position(box.low), f.Frame().Position(box.high)
	return []float64{a.LonDeg, a.LatDeg, b.LonDeg, b.LatDeg}
}

// placesOf are the positions of the moorings and of the corners of the areas.
func placesOf(h *geo.Harbor) (all []geo.Position) {
	for i := range h.Moorings {
		all = append(all, h.Moorings[i].Position)
	}
	for _, a := range h.Areas {
		for _, polygon := range a.Shape {
			for _, pt := range polygon[0] {
				all = append(all, geo.PositionOf(pt))
			}
		}
	}
	return all
}

// box is the smallest box round some places.
type box struct {
	low, high geo.Offset
	some      bool
}

func (b *box) add(at geo.Offset) {
	if !b.some {
		b.low, b.high, b.some = at, at, true
	}
	b.low = geo.Offset{EastM: min(b.low.EastM, at.EastM), NorthM: min(b.low.NorthM, at.NorthM)}
	b.high = geo.Offset{EastM: max(b.high.EastM, at.EastM), NorthM: max(b.high.NorthM, at.NorthM)}
}
