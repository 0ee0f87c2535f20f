package office

import (
	"context"
	"fmt"
	"time"

	"swingroom/api/account"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// Forms are a position as people write it: decimal degrees, degrees and decimal minutes, and degrees, minutes and seconds.
type Forms struct {
	DD  string `json:"dd"`
	DDM string `json:"ddm"`
	DMS string `json:"dms"`
}

// FormsOf writes a position in all three forms.
func FormsOf(p geo.Position) Forms { return Forms{p.DD(), p.DDM(), p.DMS()} }

// Accuracy is that of a position and where it comes from: record, default or assumed.
type Accuracy struct {
	AccuracyM geo.Metres `json:"accuracy_m"`
	From      string     `json:"from"`
}

// Sheet is one mooring with everything that follows from its record.
type Sheet struct {
	Mooring    geo.Mooring                `json:"mooring"`
	Positions  Forms                      `json:"positions"`
	Rules      geo.Rules                  `json:"rules"`
	Depth      clearance.Depth            `json:"depth"`
	Accuracy   Accuracy                   `json:"accuracy"`
	Swing      swing.Answer               `json:"swing"`
	ByRules    []swing.ByRule             `json:"by_rules"` // the radius by the rules that can be chosen between
	Watch      swing.Watch                `json:"watch"`
	Winter     swing.Watch                `json:"winter_watch"` // of the marker on the sunk chain
	State      geo.Maybe[clearance.State] `json:"state"`
	Conflicts  []clearance.Conflict       `json:"conflicts"`
	Hazards    []clearance.Hazard         `json:"hazards"`
	Troubles   []clearance.Finding        `json:"troubles"` // of tackle, limits and records
	Unknown    []clearance.Finding        `json:"unknown"`  // what cannot be said
	Neighbours []clearance.Neighbour      `json:"neighbours"`
	Notes      []geo.Note                 `json:"notes"` // the oldest first
	Owner      *geo.Owner                 `json:"owner"` // of the boat, where there is a record; null otherwise
	// LargestM is the longest boat that the mooring can take by its water.
	LargestM float64 `json:"largest_m"`
}

// sheetNeighbours is how many neighbours a sheet lists: a mooring in a close field has six round it, and some lie behind these.
const sheetNeighbours = 8

// Index is the place of a mooring in the harbor's list. The error is geo.ErrNotFound; of a mooring that was retired it says when, by whom
// and why, to who may know names.
func (h *Harbor) Index(ctx context.Context, number string) (int, error) {
	i, ok := h.Field.Index(number)
	if ok {
		return i, nil
	}
	if !h.person.Role.Can(account.Names) {
		return 0, noMooring(number)
	}
	return 0, h.office.retired(ctx, h.slug, number)
}

// retired says of a mooring that is not there when it was given up, where it ever was.
func (o *Office) retired(ctx context.Context, slug, number string) error {
	history, err := o.store.History(ctx, slug, store.NounMooring, number)
	if err != nil {
		return err
	}
	if len(history) == 0 || history[0].After != nil { // the newest comes first
		return noMooring(number)
	}
	last := history[0]
	return fmt.Errorf("%w; it was retired on %s by %s: %s", noMooring(number), last.At.UTC().Format(time.DateOnly), last.Who, last.Why)
}

// Sheet is that of one mooring. Errors: as [Harbor.Index].
func (h *Harbor) Sheet(ctx context.Context, number string) (Sheet, error) {
	i, err := h.Index(ctx, number)
	if err != nil {
		return Sheet{}, err
	}
	f, record := h.Field, h.Field.Harbor()
	m := &record.Moorings[i]
	accuracy, from := record.AccuracyOf(m)
	s := Sheet{
		Mooring: *m, Positions: FormsOf(m.Position), Rules: f.Rules(m), Depth: f.Depth(i), Accuracy: Accuracy{accuracy, from},
		Swing: f.Swing(i), ByRules: f.ByRules(i), Watch: f.Watch(i), Winter: f.WinterWatch(i),
		Neighbours: f.Neighbours(i, sheetNeighbours), LargestM: h.Lengths.At(i), Notes: notesOf(record, number),
	}
	if s.Swing.Radius.IsKnown() {
		s.State = geo.Known(f.State(i))
	}
	if m.Boat != nil && m.Boat.Owner != "" {
		s.Owner, _ = record.Owner(m.Boat.Owner)
	}
	s.addFindings(f.Report(), number)
	return s, nil
}

// notesOf are the notes of one mooring.
func notesOf(h *geo.Harbor, number string) []geo.Note {
	notes := []geo.Note{}
	for _, n := range h.Notes {
		if n.Mooring == number {
			notes = append(notes, n)
		}
	}
	return notes
}

// addFindings takes from a report what is about one mooring.
func (s *Sheet) addFindings(report *clearance.Report, number string) {
	s.Conflicts, s.Hazards = []clearance.Conflict{}, []clearance.Hazard{}
	for _, k := range report.Conflicts {
		if k.A == number || k.B == number {
			s.Conflicts = append(s.Conflicts, k)
		}
	}
	for _, x := range report.Hazards {
		if x.Mooring == number {
			s.Hazards = append(s.Hazards, x)
		}
	}
	s.Troubles, s.Unknown = findingsAt(number, report.Troubles), findingsAt(number, report.Unknown)
}

// findingsAt are the findings of one mooring.
func findingsAt(number string, all []clearance.Finding) []clearance.Finding {
	found := []clearance.Finding{}
	for _, x := range all {
		if x.Mooring == number {
			found = append(found, x)
		}
	}
	return found
}
