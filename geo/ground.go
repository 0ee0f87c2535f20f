package geo

import "swingroom/geo/record"

// SameGround reports whether two harbors differ at most in what lies on the ground: their levels, rules, edges and soundings are the same.
// A field that this does not name belongs to the ground.
func (h *Harbor) SameGround(o *Harbor) bool {
	x, y := *h, *o
	for _, side := range []*Harbor{&x, &y} {
		side.Name, side.Units, side.Background, side.Tide, side.Public, side.Day = "", "", nil, nil, nil, ""
		side.Moorings, side.Owners, side.Notes, side.Waiting = nil, nil, nil, nil
	}
	return record.Equal(&x, &y)
}

// Equal reports whether two harbors are the same in every field of every record.
func (h *Harbor) Equal(o *Harbor) bool { return record.Equal(h, o) }

// Clone is a copy of a harbor whose lists are its own: a member of one can be replaced without h changing. Boats, tackle and shapes are
// shared with h and have to be replaced, not written to.
func (h *Harbor) Clone() *Harbor { return record.Clone(h) }
