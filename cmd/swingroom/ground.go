package main

import (
	"fmt"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// groundFlags are the tackle that is laid: at most one of a rode, a scope, and the tackle of another mooring.
type groundFlags struct {
	Rode     length  `help:"Rode that is laid." placeholder:"LENGTH" xor:"tackle"`
	Scope    float64 `help:"Or the rode over the height from bed to bow at the high level, cut to the place." xor:"tackle"`
	TackleOf string  `help:"Or the tackle of this mooring, with all its parts." placeholder:"NUMBER" xor:"tackle"`
}

// ground is the tackle as an act takes it.
func (g *groundFlags) ground() office.Ground {
	return office.Ground{Rode: g.Rode.value, ScopeRatio: g.Scope, TackleOf: g.TackleOf}
}

// tackle is what is laid; nil where a scope is said, by which it is cut at each place, or nothing. The error is geo.ErrNotFound.
func (g *groundFlags) tackle(f *clearance.Field) (geo.Tackle, error) {
	if g.Rode.value.IsKnown() {
		return geo.Tackle{{Kind: geo.Rode, Length: g.Rode.value}}, nil
	}
	if g.TackleOf == "" {
		return nil, nil
	}
	i, err := indexOf(f, g.TackleOf)
	if err != nil {
		return nil, err
	}
	return f.Harbor().Moorings[i].Tackle, nil
}

// indexOf is the place of a mooring in the harbor's list. The error is geo.ErrNotFound.
func indexOf(f *clearance.Field, number string) (int, error) {
	i, ok := f.Index(number)
	if !ok {
		return 0, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	return i, nil
}
