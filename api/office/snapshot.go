package office

import (
	"sync"
	"sync/atomic"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// Snapshot is one harbor at one revision with all that follows from it. It is immutable: what is asked of the whole harbor is worked out
// once, when it is first asked for.
type Snapshot struct {
	Info  store.Info
	AsOf  time.Time // of a harbor as it stood; zero: as it stands
	Field *clearance.Field
	// Findings are what the report says of each mooring, in the order of the harbor's moorings.
	Findings []Findings
	Lengths  *room.Lengths // the longest boats that the moorings can take

	slug     string // the harbor's name in the store, without the time at which it is shown
	water    func() *room.Water
	bounds   func() []float64                 // see boundsOf; every summary tells them
	public   func() (*Snapshot, error)        // the same as the public may see it
	assigned atomic.Pointer[room.Assignments] // the waiting list against the vacant moorings, once it has been worked out
	mu       sync.Mutex
	made     map[string]func() any
}

// Findings are what the report says of one mooring.
type Findings struct {
	Conflicts int
	Hazards   []string // kinds of them
	Troubles  []string // constraints that are not kept besides
	Unknown   []string // constraints of which it cannot be said whether they are kept
}

// newSnapshot works a harbor out. Of the state before it, which may be nil, it keeps what still holds.
func newSnapshot(h *geo.Harbor, info store.Info, old *Snapshot) (*Snapshot, error) {
	field, err := clearance.NewField(h)
	if err != nil {
		return nil, err
	}
	s := SnapshotOf(field, info)
	s.keep(old)
	return s, nil
}

// keep takes over from the state before what takes long to work out and still holds.
func (s *Snapshot) keep(old *Snapshot) {
	if old != nil {
		s.Lengths = old.Lengths.Next(s.Field)
	}
}

// SnapshotOf is the snapshot of a harbor whose field is worked out already.
func SnapshotOf(field *clearance.Field, info store.Info) *Snapshot {
	s := &Snapshot{Info: info, Field: field, Findings: findingsOf(field), Lengths: room.NewLengths(field), slug: info.Slug,
		made: map[string]func() any{}}
	s.water = sync.OnceValue(func() *room.Water { return room.New(field) })
	s.bounds = sync.OnceValue(func() []float64 { return boundsOf(field) })
	s.public = sync.OnceValues(func() (*Snapshot, error) {
		kept, err := field.Next(field.Harbor().ForPublic())
		if err != nil {
			return nil, err
		}
		p := SnapshotOf(kept, info)
		p.AsOf, p.Lengths, p.slug = s.AsOf, s.Lengths, s.slug
		return p, nil
	})
	return s
}

// findingsOf sorts a report by mooring.
func findingsOf(f *clearance.Field) []Findings {
	all := make([]Findings, len(f.Harbor().Moorings))
	report := f.Report()
	note := func(number string, to func(*Findings)) {
		if i, ok := f.Index(number); ok {
			to(&all[i])
		}
	}
	for _, k := range report.Conflicts {
		note(k.A, func(x *Findings) { x.Conflicts++ })
		note(k.B, func(x *Findings) { x.Conflicts++ })
	}
	for _, h := range report.Hazards {
		note(h.Mooring, func(x *Findings) { x.Hazards = append(x.Hazards, string(h.Kind)) })
	}
	for _, t := range report.Troubles {
		note(t.Mooring, func(x *Findings) { x.Troubles = append(x.Troubles, string(t.Verdict.Constraint)) })
	}
	for _, u := range report.Unknown {
		note(u.Mooring, func(x *Findings) { x.Unknown = append(x.Unknown, string(u.Verdict.Constraint)) })
	}
	return all
}

// Once is what make gives under a name, made once for this snapshot. It is for whoever presents the whole harbor in a form of their own.
func (s *Snapshot) Once(name string, make func() any) any {
	s.mu.Lock()
	once, ok := s.made[name]
	if !ok {
		once = sync.OnceValue(make)
		s.made[name] = once
	}
	s.mu.Unlock()
	return once()
}

// Slug is the harbor's short name in the store, without the time at which it is shown.
func (s *Snapshot) Slug() string { return s.slug }
