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
		Areas: areasOf(record), Bounds: boundsOf(h.Field), ShoreSetbackM: float64(record.Defaults.ShoreSetback),
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
	h := f.Harbor()
	var low, high geo.Offset
	some := false
	add := func(p geo.Position) {
		if geo.Distance(f.Frame().Origin(), p) > geo.FrameReach {
			return
		}
		at := f.Frame().Project(p)
		if !some {
			low, high, some = at, at, true
		}
		low = geo.Offset{EastM: min(low.EastM, at.EastM), NorthM: min(low.NorthM, at.NorthM)}
		high = geo.Offset{EastM: max(high.EastM, at.EastM), NorthM: max(high.NorthM, at.NorthM)}
	}
	for i := range h.Moorings {
		add(h.Moorings[i].Position)
	}
	for _, a := range h.Areas {
		for _, polygon := range a.Shape {
			for _, pt := range polygon[0] {
				add(geo.PositionOf(pt))
			}
		}
	}
	if !some {
		return nil
	}
	a, b := f.Frame().Position(low), f.Frame().Position(high)
	return []float64{a.LonDeg, a.LatDeg, b.LonDeg, b.LatDeg}
}
