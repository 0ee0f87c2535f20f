package geo

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Status of a mooring.
type Status string

const (
	// Occupied: a boat is assigned to it.
	Occupied Status = "occupied"
	// Vacant: no boat is assigned; it may keep the water of the largest boat set for its place.
	Vacant Status = "vacant"
)

// Mooring is a permanent anchor with its tackle and buoy.
type Mooring struct {
	// Number is what is painted on the buoy, letter for letter: leading zeros count.
	Number string `json:"number"`
	Area   string `json:"area"` // name of its area; empty where it has none
	Status Status `json:"status"`
	// Position is the anchor's, not the buoy's.
	Position Position `json:"position"`
	// Accuracy of the position: it is within this many metres, 95 times in 100.
	Accuracy Maybe[Metres] `json:"accuracy_m"`
	// Depth at the anchor below chart datum as on the card; where it is unknown the bed tells it.
	Depth        Maybe[Metres] `json:"depth_m"`
	StatedRadius Maybe[Metres] `json:"radius_m"` // where an authority has fixed it
	Tackle       Tackle        `json:"tackle"`
	Boat         *Boat         `json:"boat"` // nil when vacant
	// LargestLOA and LargestDraft are set for the place: no longer or deeper boat may be assigned to it.
	LargestLOA   Maybe[Metres] `json:"largest_loa_m"`
	LargestDraft Maybe[Metres] `json:"largest_draft_m"`
	// SmallestLOA is set for a place that is kept for boats of some length: no shorter one may be assigned to it.
	SmallestLOA Maybe[Metres] `json:"smallest_loa_m,omitzero"`
	Permit      Permit        `json:"permit,omitzero"`
	Note        string        `json:"note"`
}

// maxNumberLength is what can be painted on a buoy and read from a boat, in characters.
const maxNumberLength = 24

// ValidNumber reports what is wrong with a mooring's number, or nothing.
func ValidNumber(number string) error {
	bad := func(want string) error {
		return &FieldError{Noun: "mooring", Name: number, Field: "number", Got: fmt.Sprintf("%q", number), Want: want, Kind: ErrInvalid}
	}
	switch {
	case number == "":
		return bad("expected the number painted on the buoy")
	case number != strings.TrimSpace(number):
		return bad("without spaces around it")
	case utf8.RuneCountInString(number) > maxNumberLength:
		return bad(fmt.Sprintf("at most %d characters", maxNumberLength))
	case !utf8.ValidString(number) || strings.ContainsFunc(number, func(r rune) bool { return !unicode.IsPrint(r) }):
		return bad("printable characters only")
	}
	return nil
}

// Validate returns every FieldError of the mooring, its tackle and its boat, joined.
func (m Mooring) Validate() error {
	pr := problems{noun: "mooring", name: m.Number}
	pr.join(ValidNumber(m.Number), m.Position.Validate())
	pr.within("accuracy_m", m.Accuracy, 0, 5000)
	pr.within("depth_m", m.Depth, -20, 500)
	pr.within("radius_m", m.StatedRadius, 0.5, 2000)
	m.limitProblems(&pr)
	oneOf(&pr, "status", m.Status, Occupied, Vacant)
	if m.Status == Vacant && m.Boat != nil {
		pr.add("status", "vacant", "a vacant mooring has no boat")
	}
	pr.permit(m.Permit)
	pr.text("note", m.Note, maxTextLength)
	pr.join(m.Tackle.Validate(m.Number))
	if m.Boat != nil {
		pr.join(m.Boat.Validate("of mooring " + m.Number))
	}
	return pr.err()
}

// limitProblems notes limits of the place that no boat has or keeps.
func (m Mooring) limitProblems(pr *problems) {
	pr.within("largest_loa_m", m.LargestLOA, minBoatLength, maxBoatLength)
	pr.within("largest_draft_m", m.LargestDraft, 0, maxDraft)
	pr.within("smallest_loa_m", m.SmallestLOA, minBoatLength, maxBoatLength)
	if smallest, largest := m.SmallestLOA.Or(0), m.LargestLOA.Or(maxBoatLength); smallest > largest {
		pr.add("smallest_loa_m", fmt.Sprintf("%.2f m", float64(smallest)),
			fmt.Sprintf("it has to be no more than the largest_loa of %.2f m", float64(largest)))
	}
}
