package room

import (
	"fmt"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/rode"
)

// Change is another rule or tackle for an area, tried on the whole of it.
type Change struct {
	Area  string
	Rules geo.Maybe[geo.Rules]
	// ScopeRatio cuts the rode of every mooring of the area to that many times the height from bed to bow at the high level; 0 leaves it.
	ScopeRatio float64
	// Elastic is the material of an elastic line, by the harbor's own table, that takes the place of every chain of the area; it is as long
	// as ElasticRatio times the water at the high level.
	Elastic      string
	ElasticRatio float64
}

// Side is an area as it is, or as it would be.
type Side struct {
	Conflicts int `json:"conflicts"` // of the area's moorings
	Certain   int `json:"certain"`
	Hazards   int `json:"hazards"`
	Unknown   int `json:"unknown"`
	// CirclesM2 is the water that the area's swing circles take, overlaps counted twice.
	CirclesM2 float64 `json:"circles_m2"`
}

// WhatIf holds an area as it is beside the same area with a change.
type WhatIf struct {
	Area   string               `json:"area"`
	Before Side                 `json:"before"`
	After  Side                 `json:"after"`
	New    []clearance.Conflict `json:"new"`  // conflicts that there would be
	Gone   []clearance.Conflict `json:"gone"` // conflicts that there would be no more
	Words  string               `json:"words"`

	// Changed is the field with the change; nothing of it is saved.
	Changed *clearance.Field `json:"-"`

	field *clearance.Field // as it is
}

// Try makes a field with a change beside the one that is. Errors: geo.ErrNotFound for the area, geo.ErrUnknown for an elastic of which the
// harbor's table does not say how it stretches, geo.ErrInvalid.
func Try(f *clearance.Field, c Change) (*WhatIf, error) {
	h := *f.Harbor()
	area, ok := h.Area(c.Area)
	if !ok {
		return nil, fmt.Errorf("area %q: %w", c.Area, geo.ErrNotFound)
	}
	rules := c.Rules.Or(area.Rules)
	if err := rules.Validate(c.Area); err != nil {
		return nil, err
	}
	var elastic geo.RopeKind
	if c.Elastic != "" {
		var err error
		if elastic, err = rode.RopeOf(h.Defaults.Lines.Ropes, c.Elastic); err != nil {
			return nil, err
		}
	}
	h.Areas = slices.Clone(h.Areas)
	for i := range h.Areas {
		if h.Areas[i].Name == c.Area {
			h.Areas[i].Rules = rules
		}
	}
	h.Moorings = slices.Clone(h.Moorings)
	high := h.Levels.Or(geo.Levels{}).High
	left := 0
	for i := range h.Moorings {
		m := &h.Moorings[i]
		if m.Area != c.Area || c.ScopeRatio == 0 && c.Elastic == "" {
			continue
		}
		depth, known := f.Depth(i).DepthM.Get()
		if !known || !h.Levels.IsKnown() {
			left++
			continue
		}
		water := max(0, depth+high)
		if c.Elastic != "" {
			m.Tackle = onElastic(m.Tackle, c.Elastic, elastic.Size, water*geo.Metres(c.ElasticRatio))
		}
		if c.ScopeRatio > 0 {
			bow := geo.Metres(0)
			if m.Boat != nil {
				bow = m.Boat.BowHeight.Or(0)
			}
			length, _ := m.Tackle.RodeLength()
			if l, known := length.Get(); known {
				m.Tackle = shortened(m.Tackle, l-geo.Metres(c.ScopeRatio)*(water+bow))
			} else {
				m.Tackle = geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(c.ScopeRatio) * (water + bow))}}
			}
		}
		m.StatedRadius = geo.Maybe[geo.Metres]{}
	}
	changed, err := clearance.NewField(&h)
	if err != nil {
		return nil, err
	}
	w := &WhatIf{Area: c.Area, Before: sideOf(f, c.Area), After: sideOf(changed, c.Area), Changed: changed, field: f}
	w.New, w.Gone = beyond(changed, f, c.Area), beyond(f, changed, c.Area)
	w.Words = fmt.Sprintf("%d conflicts in place of %d, %d of them new", w.After.Conflicts, w.Before.Conflicts, len(w.New))
	if left > 0 {
		w.Words += fmt.Sprintf("; %d moorings of unknown depth keep their tackle", left)
	}
	return w, nil
}

// onElastic puts one elastic line in the place of the chains of a tackle.
func onElastic(t geo.Tackle, material string, size, length geo.Metres) geo.Tackle {
	var made geo.Tackle
	put := false
	for _, p := range t {
		switch p.Kind {
		case geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rode:
			if !put {
				made = append(made, geo.Part{Kind: geo.Elastic, Material: material, Size: geo.Known(size), Length: geo.Known(length)})
				put = true
			}
		default:
			made = append(made, p)
		}
	}
	if !put {
		made = append(made, geo.Part{Kind: geo.Elastic, Material: material, Size: geo.Known(size), Length: geo.Known(length)})
	}
	return made
}

// of reports whether a mooring belongs to an area.
func of(f *clearance.Field, number, area string) bool {
	i, ok := f.Index(number)
	return ok && f.Harbor().Moorings[i].Area == area
}

func sideOf(f *clearance.Field, area string) (s Side) {
	for _, k := range f.Report().Conflicts {
		if of(f, k.A, area) || of(f, k.B, area) {
			s.Conflicts++
			if k.Certainty == clearance.Certain {
				s.Certain++
			}
		}
	}
	for _, z := range f.Report().Hazards {
		if of(f, z.Mooring, area) {
			s.Hazards++
		}
	}
	for _, u := range f.Report().Unknown {
		if of(f, u.Mooring, area) {
			s.Unknown++
		}
	}
	for i := range f.Harbor().Moorings {
		if f.Harbor().Moorings[i].Area == area {
			r := float64(f.Swing(i).Radius.Or(0))
			s.CirclesM2 += math.Pi * r * r
		}
	}
	return s
}

// beyond are the conflicts of an area in one field that the other has not.
func beyond(one, other *clearance.Field, area string) []clearance.Conflict {
	has := map[[2]string]bool{}
	for _, k := range other.Report().Conflicts {
		has[[2]string{min(k.A, k.B), max(k.A, k.B)}] = true
	}
	fresh := []clearance.Conflict{}
	for _, k := range one.Report().Conflicts {
		if (of(one, k.A, area) || of(one, k.B, area)) && !has[[2]string{min(k.A, k.B), max(k.A, k.B)}] {
			fresh = append(fresh, k)
		}
	}
	return fresh
}
