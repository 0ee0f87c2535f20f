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
	h, err := c.withRules(f.Harbor())
	if err != nil {
		return nil, err
	}
	left, err := c.changeTackle(f, h)
	if err != nil {
		return nil, err
	}
	changed, err := clearance.NewField(h)
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

// withRules is a copy of a harbor in which the area has the rules that are tried; its moorings are a copy too.
func (c *Change) withRules(harbor *geo.Harbor) (*geo.Harbor, error) {
	h := *harbor
	area, ok := h.Area(c.Area)
	if !ok {
		return nil, fmt.Errorf("area %q: %w", c.Area, geo.ErrNotFound)
	}
	rules := c.Rules.Or(area.Rules)
	if err := rules.Validate(c.Area); err != nil {
		return nil, err
	}
	h.Areas, h.Moorings = slices.Clone(h.Areas), slices.Clone(h.Moorings)
	for i := range h.Areas {
		if h.Areas[i].Name == c.Area {
			h.Areas[i].Rules = rules
		}
	}
	return &h, nil
}

// changeTackle gives the moorings of the area the tackle that is tried, and counts those that keep theirs because the depth is not known.
func (c *Change) changeTackle(f *clearance.Field, h *geo.Harbor) (left int, err error) {
	var elastic geo.RopeKind
	if c.Elastic != "" {
		if elastic, err = rode.RopeOf(h.Defaults.Lines.Ropes, c.Elastic); err != nil {
			return 0, err
		}
	}
	if c.ScopeRatio == 0 && c.Elastic == "" {
		return 0, nil
	}
	levels, levelsKnown := h.Levels.Get()
	for i := range h.Moorings {
		m := &h.Moorings[i]
		if m.Area != c.Area {
			continue
		}
		if depth, known := f.Depth(i).DepthM.Get(); known && levelsKnown {
			c.changeMooring(m, elastic.Size, max(0, depth+levels.High))
		} else {
			left++
		}
	}
	return left, nil
}

// changeMooring gives a mooring in so much water at the high level the tackle that is tried.
func (c *Change) changeMooring(m *geo.Mooring, elasticSize, water geo.Metres) {
	if c.Elastic != "" {
		line := geo.Part{Kind: geo.Elastic, Material: c.Elastic, Size: geo.Known(elasticSize),
			Length: geo.Known(water * geo.Metres(c.ElasticRatio))}
		m.Tackle = onElastic(m.Tackle, line)
	}
	if c.ScopeRatio > 0 {
		m.Tackle = cutTo(m.Tackle, geo.Metres(c.ScopeRatio)*(water+bowHeight(m)))
	}
	m.StatedRadius = geo.Maybe[geo.Metres]{}
}

// bowHeight is that of the boat on a mooring; 0 where there is none, or it is not known.
func bowHeight(m *geo.Mooring) geo.Metres {
	if m.Boat == nil {
		return 0
	}
	return m.Boat.BowHeight.Or(0)
}

// cutTo is a tackle with a rode of a length, which is shortened or lengthened at its longest part.
func cutTo(t geo.Tackle, length geo.Metres) geo.Tackle {
	total, _ := t.RodeLength()
	if l, known := total.Get(); known {
		return shortened(t, l-length)
	}
	return rodeOnly(length)
}

// onElastic puts one elastic line in the place of the chains of a tackle.
func onElastic(t geo.Tackle, line geo.Part) geo.Tackle {
	var made geo.Tackle
	put := false
	for _, p := range t {
		switch {
		case !replaced(p.Kind):
			made = append(made, p)
		case !put:
			made, put = append(made, line), true
		}
	}
	if !put {
		made = append(made, line)
	}
	return made
}

// replaced reports a part that an elastic line takes the place of.
func replaced(k geo.PartKind) bool {
	return k == geo.GroundChain || k == geo.TopChain || k == geo.Elastic || k == geo.Rode
}

// of reports whether a mooring belongs to an area.
func of(f *clearance.Field, number, area string) bool {
	i, ok := f.Index(number)
	return ok && f.Harbor().Moorings[i].Area == area
}

// touches reports whether a conflict is of a mooring of an area.
func touches(f *clearance.Field, k *clearance.Conflict, area string) bool {
	return of(f, k.A, area) || of(f, k.B, area)
}

// sideOf counts what there is in an area of a field.
func sideOf(f *clearance.Field, area string) (s Side) {
	r := f.Report()
	for i := range r.Conflicts {
		if k := &r.Conflicts[i]; touches(f, k, area) {
			s.Conflicts++
			if k.Certainty == clearance.Certain {
				s.Certain++
			}
		}
	}
	s.Hazards = countOf(r.Hazards, func(z *clearance.Hazard) bool { return of(f, z.Mooring, area) })
	s.Unknown = countOf(r.Unknown, func(u *clearance.Finding) bool { return of(f, u.Mooring, area) })
	for i := range f.Harbor().Moorings {
		if f.Harbor().Moorings[i].Area == area {
			r := float64(f.Swing(i).Radius.Or(0))
			s.CirclesM2 += math.Pi * r * r
		}
	}
	return s
}

// countOf is how many of some things are such.
func countOf[T any](all []T, is func(*T) bool) (n int) {
	for i := range all {
		if is(&all[i]) {
			n++
		}
	}
	return n
}

// beyond are the conflicts of an area in one field that the other has not.
func beyond(one, other *clearance.Field, area string) []clearance.Conflict {
	has := map[[2]string]bool{}
	for _, k := range other.Report().Conflicts {
		has[pairOf(&k)] = true
	}
	fresh := []clearance.Conflict{}
	for _, k := range one.Report().Conflicts {
		if touches(one, &k, area) && !has[pairOf(&k)] {
			fresh = append(fresh, k)
		}
	}
	return fresh
}

// pairOf is a conflict's two moorings, in an order that is always the same.
func pairOf(k *clearance.Conflict) [2]string { return [2]string{min(k.A, k.B), max(k.A, k.B)} }
