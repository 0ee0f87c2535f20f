package api

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// Understood is a position as it was read, in all three forms.
type Understood struct {
	LatDeg float64 `json:"lat_deg"`
	LonDeg float64 `json:"lon_deg"`
	Forms
}

func understood(p geo.Position) Understood { return Understood{p.LatDeg, p.LonDeg, formsOf(p)} }

// FoundMooring is one mooring that was found. Distance and bearing are from the position that was asked for; null otherwise.
type FoundMooring struct {
	Number         string             `json:"number"`
	Boat           string             `json:"boat"`
	Area           string             `json:"area"`
	DistanceM      geo.Maybe[float64] `json:"distance_m"`
	BearingTrueDeg geo.Maybe[float64] `json:"bearing_true_deg"`
	LatDeg         float64            `json:"lat_deg"`
	LonDeg         float64            `json:"lon_deg"`
	PositionDDM    string             `json:"position_ddm"`
}

// Found is the answer to a search.
type Found struct {
	Kind       string         `json:"kind"` // number, boat or position
	Understood *Understood    `json:"understood"`
	Results    []FoundMooring `json:"results"`
}

// Vicinity is where a harbor lies, for reading positions; nil for a harbor without anything in it.
func Vicinity(f *clearance.Field) *geo.Vicinity {
	if len(f.Harbor().Moorings)+len(f.Harbor().Areas) == 0 {
		return nil
	}
	return &geo.Vicinity{Centre: f.Frame().Origin(), Reach: geo.FieldReach}
}

// Find looks a text up: a mooring's number as it is painted, or without regard to case and leading zeros; then a part of a boat's name;
// then a position, whose k nearest moorings it gives. The error is a *geo.PositionError when it is none of them and looks like a position.
func Find(f *clearance.Field, text string, k int) (*Found, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return nil, fmt.Errorf("%w: a number, a boat's name or a position is wanted", errQuery)
	}
	if found := byNumber(f, text); len(found.Results) > 0 {
		return found, nil
	}
	if found := byBoat(f, text); len(found.Results) > 0 {
		return found, nil
	}
	p, err := geo.ParsePosition(text, Vicinity(f))
	if err != nil {
		if !strings.ContainsFunc(text, unicode.IsDigit) || !strings.ContainsAny(text, " ,.;°'") {
			return &Found{Kind: "number", Results: []FoundMooring{}}, nil
		}
		return nil, err
	}
	u := understood(p)
	found := &Found{Kind: "position", Understood: &u, Results: []FoundMooring{}}
	for _, near := range f.Nearest(p, k) {
		m := foundMooring(&f.Harbor().Moorings[near.Index])
		m.DistanceM, m.BearingTrueDeg = geo.Known(float64(near.Distance)), geo.Known(near.BearingTrueDeg)
		found.Results = append(found.Results, m)
	}
	return found, nil
}

func byNumber(f *clearance.Field, text string) *Found {
	found := &Found{Kind: "number", Results: []FoundMooring{}}
	if i, ok := f.Index(text); ok {
		found.Results = append(found.Results, foundMooring(&f.Harbor().Moorings[i]))
		return found
	}
	loose := func(number string) string { return strings.TrimLeft(lower(number), "0") }
	for i := range f.Harbor().Moorings {
		if m := &f.Harbor().Moorings[i]; loose(m.Number) == loose(text) {
			found.Results = append(found.Results, foundMooring(m))
		}
	}
	return found
}

func byBoat(f *clearance.Field, text string) *Found {
	found := &Found{Kind: "boat", Results: []FoundMooring{}}
	for i := range f.Harbor().Moorings {
		if m := &f.Harbor().Moorings[i]; m.Boat != nil && strings.Contains(folded(m.Boat.Name), folded(text)) {
			found.Results = append(found.Results, foundMooring(m))
		}
	}
	return found
}

// folded is a name without case and accents.
func folded(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(lower(text)))
}

func foundMooring(m *geo.Mooring) FoundMooring {
	found := FoundMooring{Number: m.Number, Area: m.Area, LatDeg: m.Position.LatDeg, LonDeg: m.Position.LonDeg,
		PositionDDM: m.Position.DDM()}
	if m.Boat != nil {
		found.Boat = m.Boat.Name
	}
	return found
}

// FoundGeoJSON is the answer to a search as points.
func FoundGeoJSON(found *Found) []byte {
	f := newFeatures(nil)
	for _, m := range found.Results {
		f.begin(m.Number)
		f.point(geo.Position{LatDeg: m.LatDeg, LonDeg: m.LonDeg})
		f.properties()
		f.text("number", m.Number)
		f.text("boat", m.Boat)
		f.text("area", m.Area)
		f.maybe("distance_m", m.DistanceM, 2)
		f.maybe("bearing_true_deg", m.BearingTrueDeg, 1)
		f.text("position_ddm", m.PositionDDM)
		f.close()
	}
	return f.end()
}

func (f *features) maybe(name string, v geo.Maybe[float64], decimals int) {
	if x, known := v.Get(); known {
		f.number(name, x, decimals)
		return
	}
	f.text(name, "")
}

func (q *request) find() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	k, err := q.count("k", 5, maxNearest)
	if err != nil {
		return err
	}
	found, err := Find(s.field, q.query.Get("q"), k)
	if err != nil {
		return err
	}
	return q.writeJSON(found)
}
