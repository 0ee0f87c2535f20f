package api

import (
	"fmt"
	"net/url"
	"time"

	"github.com/go-chi/chi/v5"

	"github.com/paulmach/orb"

	"swingroom/api/account"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// addMoorings writes every mooring with what a list and a map show of it.
func addMoorings(s *snapshot, f *features, b *bbox) {
	for i := range s.field.Harbor().Moorings {
		m := &s.field.Harbor().Moorings[i]
		if !b.holds(m.Position) {
			continue
		}
		boat := geo.Boat{}
		if m.Boat != nil {
			boat = *m.Boat
		}
		answer, depth, facts := s.field.Swing(i), s.field.Depth(i), &s.facts[i]
		accuracy, _ := s.field.Harbor().AccuracyOf(m)
		rode, _ := m.Tackle.RodeLength()
		f.begin(m.Number)
		f.point(m.Position)
		f.properties()
		f.text("number", m.Number)
		f.text("area", m.Area)
		f.text("status", string(m.Status))
		f.text("boat", boat.Name)
		f.text("boat_kind", boat.Kind)
		f.metres("loa_m", boat.LOA)
		f.metres("length_all_m", boat.LengthAll)
		f.metres("beam_m", boat.Beam)
		f.metres("draft_m", boat.Draft)
		f.metres("bow_height_m", boat.BowHeight)
		f.metres("rode_m", rode)
		f.metres("depth_m", depth.DepthM)
		f.text("depth_from", string(depth.From))
		f.number("accuracy_m", float64(accuracy), 3)
		f.radius(&answer)
		if answer.Radius.IsKnown() {
			f.text("state", string(s.field.State(i)))
		} else {
			f.text("state", "")
		}
		f.number("conflicts", float64(facts.conflicts), 0)
		f.list("hazards", facts.hazards)
		f.list("troubles", facts.troubles)
		f.list("unknown", facts.unknown)
		f.close()
	}
}

// radius writes the properties of a swing radius.
func (f *features) radius(a *swing.Answer) {
	f.metres("radius_m", a.Radius)
	f.text("radius_rule", string(a.Rule))
	f.flag("radius_bound", a.Bound)
	f.text("radius_basis", string(a.Basis))
}

// circleCorners is how many corners a circle that is drawn as a polygon has: its radius then falls short by 0.1 % at the middle of a side.
const circleCorners = 72

// addCircles writes every swing circle as a polygon.
func addCircles(s *snapshot, f *features, _ *bbox) {
	for i := range s.field.Harbor().Moorings {
		m, answer := &s.field.Harbor().Moorings[i], s.field.Swing(i)
		radius, known := answer.Radius.Get()
		if !known {
			continue
		}
		ring := make(orb.Ring, 0, circleCorners+1)
		for c := range circleCorners {
			ring = append(ring, geo.Ahead(m.Position, -float64(c)*360/circleCorners, radius).Point())
		}
		f.begin(m.Number)
		f.multiPolygon(orb.MultiPolygon{{append(ring, ring[0])}})
		f.properties()
		f.text("number", m.Number)
		f.radius(&answer)
		f.text("state", string(s.field.State(i)))
		f.number("centre_lon_deg", m.Position.LonDeg, 7)
		f.number("centre_lat_deg", m.Position.LatDeg, 7)
		f.number("corners", circleCorners, 0)
		f.close()
	}
}

// Forms are a position as people write it.
type Forms struct {
	DD  string `json:"dd"`
	DDM string `json:"ddm"`
	DMS string `json:"dms"`
}

func formsOf(p geo.Position) Forms { return Forms{p.DD(), p.DDM(), p.DMS()} }

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

// sheetNeighbours is how many neighbours a sheet lists.
const sheetNeighbours = 8

// mooring finds the mooring of the path.
func (q *request) mooring() (s *snapshot, i int, err error) {
	if s, err = q.harbor(); err != nil {
		return nil, 0, err
	}
	number := chi.URLParam(q.r, "number")
	if text, err := url.PathUnescape(number); err == nil {
		number = text
	}
	i, ok := s.field.Index(number)
	if !ok {
		return nil, 0, q.gave(s, number)
	}
	return s, i, nil
}

// gave says of a mooring that is not there when it was given up, by whom and why, where it ever was; the error is geo.ErrNotFound.
func (q *request) gave(s *snapshot, number string) error {
	if !q.person().Role.Can(account.Names) {
		return fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	history, err := q.service.store.History(q.r.Context(), s.slug(), store.NounMooring, number)
	if err != nil {
		return err
	}
	if len(history) > 0 && history[0].After == nil { // the newest comes first
		last := history[0]
		return fmt.Errorf("mooring %s: %w; it was retired on %s by %s: %s", number, geo.ErrNotFound, last.At.UTC().Format(time.DateOnly),
			last.Who, last.Why)
	}
	return fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
}

func (q *request) sheet() error {
	s, i, err := q.mooring()
	if err != nil {
		return err
	}
	h := s.field.Harbor()
	m := &h.Moorings[i]
	number := m.Number
	accuracy, from := h.AccuracyOf(m)
	sheet := Sheet{
		Mooring: *m, Positions: formsOf(m.Position), Rules: s.field.Rules(m), Depth: s.field.Depth(i), Accuracy: Accuracy{accuracy, from},
		Swing: s.field.Swing(i), ByRules: s.field.ByRules(i), Watch: s.field.Watch(i), Winter: s.field.WinterWatch(i),
		Conflicts: []clearance.Conflict{}, Hazards: []clearance.Hazard{}, Troubles: []clearance.Finding{}, Unknown: []clearance.Finding{},
		Neighbours: s.field.Neighbours(i, sheetNeighbours),
	}
	sheet.LargestM = s.lengths.At(i)
	if sheet.Swing.Radius.IsKnown() {
		sheet.State = geo.Known(s.field.State(i))
	}
	sheet.Notes = []geo.Note{}
	for _, n := range h.Notes {
		if n.Mooring == number {
			sheet.Notes = append(sheet.Notes, n)
		}
	}
	if m.Boat != nil && m.Boat.Owner != "" {
		sheet.Owner, _ = h.Owner(m.Boat.Owner)
	}
	report := s.field.Report()
	for _, k := range report.Conflicts {
		if k.A == number || k.B == number {
			sheet.Conflicts = append(sheet.Conflicts, k)
		}
	}
	for _, x := range report.Hazards {
		if x.Mooring == number {
			sheet.Hazards = append(sheet.Hazards, x)
		}
	}
	sheet.Troubles = append(sheet.Troubles, of(report.Troubles, number)...)
	sheet.Unknown = append(sheet.Unknown, of(report.Unknown, number)...)
	return q.writeJSON(sheet)
}

// of are the findings of one mooring.
func of(all []clearance.Finding, number string) (hers []clearance.Finding) {
	for _, x := range all {
		if x.Mooring == number {
			hers = append(hers, x)
		}
	}
	return hers
}
