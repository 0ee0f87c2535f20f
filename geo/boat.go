package geo

import "strings"

// Boat is what the field needs to know of a boat. Lengths in metres; what is not on record is unknown.
type Boat struct {
	Name string `json:"name"`
	Kind string `json:"kind"` // "sail", "motor", ... in the user's own words
	// LOA is the length overall in its papers.
	LOA Maybe[Metres] `json:"loa_m"`
	// LengthAll counts everything fixed to it: bowsprit, pulpit, boomkin, outboard. It is what swings, and it is not
	// always the LOA in its papers, so both are kept.
	LengthAll Maybe[Metres] `json:"length_all_m"`
	Beam      Maybe[Metres] `json:"beam_m"`
	Draft     Maybe[Metres] `json:"draft_m"`
	// BowHeight is from the waterline to where the pennant is made fast.
	BowHeight Maybe[Metres] `json:"bow_height_m"`
	Owner     string        `json:"owner"`
}

// SwingLength is the distance from the bow attachment to the farthest point of the boat, as far as
// it is known: the longer of LengthAll and LOA. field names the record that it comes from.
func (b Boat) SwingLength() (length Maybe[Metres], field string) {
	all, allKnown := b.LengthAll.Get()
	loa, loaKnown := b.LOA.Get()
	switch {
	case allKnown && (!loaKnown || all >= loa):
		return b.LengthAll, "length_all_m"
	case loaKnown:
		return b.LOA, "loa_m"
	}
	return Maybe[Metres]{}, ""
}

// Limits beyond which a figure is taken for a slip of the pen. The longest yacht that lies on a
// single-point harbor mooring is far under 100 m; common practice, no source.
const (
	minBoatLength Metres = 0.5
	maxBoatLength Metres = 150
	maxDraft      Metres = 15
	maxBowHeight  Metres = 15
)

// Validate returns every FieldError of the boat, joined. who names it in the errors.
func (b Boat) Validate(who string) error {
	pr := problems{noun: "boat", name: strings.TrimSpace(who)}
	pr.text("boat", b.Name, maxNameLength)
	pr.text("boat_kind", b.Kind, maxNameLength)
	pr.text("owner", b.Owner, maxNameLength)
	pr.within("loa_m", b.LOA, minBoatLength, maxBoatLength)
	pr.within("length_all_m", b.LengthAll, minBoatLength, maxBoatLength)
	pr.within("beam_m", b.Beam, 0.2, maxBoatLength/2)
	pr.within("draft_m", b.Draft, 0, maxDraft)
	pr.within("bow_height_m", b.BowHeight, 0, maxBowHeight)
	return pr.err()
}
