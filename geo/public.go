package geo

import (
	"fmt"
	"slices"
)

// Shown is a kind of record that a harbor may show to the public.
type Shown string

// What is kept from the public unless the harbor says otherwise. What is not named here (numbers, places, circles, areas, the sizes of
// boats, tackle) is public.
const (
	ShownBoatName     Shown = "boat_name"
	ShownOwner        Shown = "owner"
	ShownContact      Shown = "contact" // phone, email, address and note of owners
	ShownNote         Shown = "note"    // of moorings and of the waiting list, and notes with their pictures
	ShownPermit       Shown = "permit"
	ShownWaiting      Shown = "waiting" // who waits, since when and for what, without names
	ShownWaitingNames Shown = "waiting_names"
)

// AllShown lists every kind.
func AllShown() []Shown {
	return []Shown{ShownBoatName, ShownOwner, ShownContact, ShownNote, ShownPermit, ShownWaiting, ShownWaitingNames}
}

// Shows reports whether the harbor shows a kind of record to the public.
func (h *Harbor) Shows(kind Shown) bool { return slices.Contains(h.Public, kind) }

func (p *problems) public(kinds []Shown) {
	for i, kind := range kinds {
		if !slices.Contains(AllShown(), kind) || slices.Contains(kinds[:i], kind) {
			p.add("public", fmt.Sprintf("%q", kind), fmt.Sprintf("each of %v, once", AllShown()))
		}
	}
}

// ForPublic is the harbor as the public may see it: what is kept from it is not there at all. Nothing that swings changes by it.
func (h *Harbor) ForPublic() *Harbor {
	p := *h
	p.Moorings = slices.Clone(h.Moorings)
	for i := range p.Moorings {
		p.Moorings[i] = h.publicMooring(p.Moorings[i])
	}
	p.Owners = nil
	if h.Shows(ShownOwner) {
		for _, o := range h.Owners {
			if !h.Shows(ShownContact) {
				o = Owner{Name: o.Name}
			}
			p.Owners = append(p.Owners, o)
		}
	}
	if !h.Shows(ShownNote) {
		p.Notes = nil
	}
	p.Waiting = nil
	if h.Shows(ShownWaiting) || h.Shows(ShownWaitingNames) {
		for i, w := range h.Waiting {
			p.Waiting = append(p.Waiting, h.publicWaiting(w, i))
		}
	}
	return &p
}

func (h *Harbor) publicMooring(m Mooring) Mooring {
	if m.Boat != nil {
		boat := h.publicBoat(*m.Boat)
		m.Boat = &boat
	}
	if !h.Shows(ShownNote) {
		m.Note = ""
	}
	if !h.Shows(ShownPermit) {
		m.Permit = Permit{}
	}
	return m
}

func (h *Harbor) publicBoat(b Boat) Boat {
	if !h.Shows(ShownBoatName) {
		b.Name = ""
	}
	if !h.Shows(ShownOwner) {
		b.Owner = ""
	}
	return b
}

func (h *Harbor) publicWaiting(w Waiting, i int) Waiting {
	w.Boat = h.publicBoat(w.Boat)
	w.Boat.Owner = ""
	if !h.Shows(ShownWaitingNames) {
		w.Name = fmt.Sprintf("place %d on the list", i+1)
	}
	if !h.Shows(ShownNote) {
		w.Note = ""
	}
	return w
}
