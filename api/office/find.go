package office

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

// UnderstoodAs is a position in all three forms.
func UnderstoodAs(p geo.Position) Understood { return Understood{p.LatDeg, p.LonDeg, FormsOf(p)} }

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

// Find looks a text up: a mooring's number as it is painted, or without regard to case and leading zeros; then a part of a boat's name;
// then a position, whose k nearest moorings it gives. The error is a *geo.PositionError when it is none of them and looks like a position.
func Find(f *clearance.Field, text string, k int) (*Found, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return nil, fmt.Errorf("%w: a number, a boat's name or a position is expected", ErrIncomplete)
	}
	if found := byNumber(f, text); len(found.Results) > 0 {
		return found, nil
	}
	if found := byBoat(f, text); len(found.Results) > 0 {
		return found, nil
	}
	return byPosition(f, text, k)
}

// byPosition gives the moorings near a position. A text that does not look like one is a number that is not found.
func byPosition(f *clearance.Field, text string, k int) (*Found, error) {
	p, err := geo.ParsePosition(text, VicinityOf(f))
	if err != nil {
		if !strings.ContainsFunc(text, unicode.IsDigit) || !strings.ContainsAny(text, " ,.;°'") {
			return &Found{Kind: "number", Results: []FoundMooring{}}, nil
		}
		return nil, err
	}
	u := UnderstoodAs(p)
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
	loose := func(number string) string { return strings.TrimLeft(fold(number), "0") }
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
	}, norm.NFKD.String(fold(text)))
}

func foundMooring(m *geo.Mooring) FoundMooring {
	found := FoundMooring{Number: m.Number, Area: m.Area, LatDeg: m.Position.LatDeg, LonDeg: m.Position.LonDeg,
		PositionDDM: m.Position.DDM()}
	if m.Boat != nil {
		found.Boat = m.Boat.Name
	}
	return found
}

// maxNearest is how many moorings near a position one answer gives.
const maxNearest = 100

// FindQuestion is what somebody types to find a mooring.
type FindQuestion struct {
	Text  string `json:"q"`
	Count Count  `json:"k"` // how many moorings near a position; 5 unless said
}

// Find answers it. Errors: as the function [Find].
func (h *Harbor) Find(q FindQuestion) (*Found, error) {
	k, err := within("k", q.Count, 5, maxNearest)
	if err != nil {
		return nil, err
	}
	return Find(h.Field, q.Text, k)
}
