package api

import (
	"slices"
	"strings"
	"time"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Caution stands with every view of the map.
const Caution = "A planning aid, not for navigation. The harbormaster's permit and local codes govern."

// Health says that the service answers.
type Health struct {
	Status  string         `json:"status"`
	Harbors []HarborOnFile `json:"harbors"`
	Backup  *BackupHealth  `json:"backup"` // null: none are scheduled
}

// HarborOnFile is one row of the list of harbors.
type HarborOnFile struct {
	Slug     string `json:"slug"`
	Name     string `json:"name"`
	Moorings int    `json:"moorings"`
	Revision int64  `json:"revision"`
}

// HarborList is the harbors on file.
type HarborList struct {
	Harbors []HarborOnFile `json:"harbors"`
}

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

func (s *Service) onFile() []HarborOnFile {
	s.mu.RLock()
	defer s.mu.RUnlock()
	all := []HarborOnFile{}
	for _, x := range s.snapshots {
		all = append(all, HarborOnFile{x.info.Slug, x.info.Name, x.info.Moorings, x.info.Revision})
	}
	slices.SortFunc(all, func(a, b HarborOnFile) int { return strings.Compare(a.Slug, b.Slug) })
	return all
}

func (q *request) health() error {
	return q.writeJSON(Health{Status: "ok", Harbors: q.service.onFile(), Backup: q.service.backupHealth()})
}

func (q *request) harbors() error {
	return q.writeJSON(HarborList{Harbors: q.service.onFile()})
}

func (q *request) harborInfo() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	h, report := s.field.Harbor(), s.field.Report()
	info := HarborInfo{
		Slug: s.info.Slug, Name: h.Name, Public: append([]geo.Shown{}, h.Public...), Units: h.Units, Revision: s.info.Revision,
		Caution: Caution, Levels: h.Levels, Background: h.Background, Areas: []AreaInfo{}, Tide: h.Tide != nil,
		Bounds: boundsOf(s.field), ShoreSetbackM: float64(h.Defaults.ShoreSetback),
		Counts: Counts{Moorings: len(h.Moorings), Conflicts: len(report.Conflicts), Hazards: len(report.Hazards),
			Troubles: len(report.Troubles), Unknown: len(report.Unknown)},
	}
	if !s.asOf.IsZero() {
		info.AsOf = &s.asOf
	}
	if h.Soundings != nil {
		info.Counts.Soundings = h.Soundings.NumPoints()
	}
	moorings := map[string]int{}
	for i := range h.Moorings {
		moorings[h.Moorings[i].Area]++
		if h.Moorings[i].Status == geo.Vacant {
			info.Counts.Vacant++
		}
	}
	for _, a := range h.Areas {
		info.Areas = append(info.Areas, AreaInfo{a.Name, moorings[a.Name], a.Rules})
	}
	for _, k := range report.Conflicts {
		if k.Certainty == clearance.Certain {
			info.Counts.Certain++
		}
	}
	if len(report.Conflicts) > 0 {
		info.Worst = &Worst{report.Conflicts[0].A, report.Conflicts[0].B}
	}
	return q.writeJSON(info)
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
