package api

import (
	"sync"
	"sync/atomic"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// snapshot is one harbor at one revision with all that follows from it. It is immutable; answers for the whole harbor are made once, when
// they are first asked for.
type snapshot struct {
	info    store.Info
	asOf    time.Time // of a harbor as it stood; zero: as it stands
	field   *clearance.Field
	facts   []facts // by mooring
	water   func() *room.Water
	public  func() (*snapshot, error)        // the same as the public may see it
	served  atomic.Pointer[room.Assignments] // the waiting list against the vacant moorings, once it has been worked out
	lengths *room.Lengths                    // the longest boats that the moorings can take
	mu      sync.Mutex
	answer  map[string]func() *answer
}

// facts are what the report says of one mooring.
type facts struct {
	conflicts int
	hazards   []string
	troubles  []string // kinds of what is not kept besides
	unknown   []string
}

func newSnapshot(h *geo.Harbor, info store.Info) (*snapshot, error) {
	field, err := clearance.NewField(h)
	if err != nil {
		return nil, err
	}
	return snapshotOf(field, info), nil
}

// snapshotOf is the snapshot of a harbor whose field is worked out already.
func snapshotOf(field *clearance.Field, info store.Info) *snapshot {
	s := &snapshot{info: info, field: field, facts: factsOf(field), lengths: room.NewLengths(field), answer: map[string]func() *answer{}}
	s.water = sync.OnceValue(func() *room.Water { return room.New(field) })
	s.public = sync.OnceValues(func() (*snapshot, error) {
		kept, err := field.Next(field.Harbor().ForPublic())
		if err != nil {
			return nil, err
		}
		p := snapshotOf(kept, info)
		p.asOf, p.lengths = s.asOf, s.lengths
		return p, nil
	})
	return s
}

func factsOf(f *clearance.Field) []facts {
	all := make([]facts, len(f.Harbor().Moorings))
	report := f.Report()
	note := func(number string, to func(*facts)) {
		if i, ok := f.Index(number); ok {
			to(&all[i])
		}
	}
	for _, k := range report.Conflicts {
		note(k.A, func(x *facts) { x.conflicts++ })
		note(k.B, func(x *facts) { x.conflicts++ })
	}
	for _, h := range report.Hazards {
		note(h.Mooring, func(x *facts) { x.hazards = append(x.hazards, string(h.Kind)) })
	}
	for _, t := range report.Troubles {
		note(t.Mooring, func(x *facts) { x.troubles = append(x.troubles, string(t.Verdict.Constraint)) })
	}
	for _, u := range report.Unknown {
		note(u.Mooring, func(x *facts) { x.unknown = append(x.unknown, string(u.Verdict.Constraint)) })
	}
	return all
}

// whole is the answer for the whole harbor under a name, made once.
func (s *snapshot) whole(name string, make func() *answer) *answer {
	s.mu.Lock()
	once, ok := s.answer[name]
	if !ok {
		once = sync.OnceValue(make)
		s.answer[name] = once
	}
	s.mu.Unlock()
	return once()
}

// slug is the harbor's name in the store, without the time at which it is shown.
func (s *snapshot) slug() string {
	name, _, _ := split(s.info.Slug)
	return name
}
