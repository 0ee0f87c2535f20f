package api

import (
	"sync"
	"sync/atomic"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// snapshot is one harbor at one revision with all that follows from it. It is immutable; answers for the whole harbor are made once, when they
// are first asked for.
type snapshot struct {
	info   store.Info
	field  *clearance.Field
	facts  []facts // by mooring
	water  *room.Water
	served atomic.Pointer[room.Serving] // the waiting list against the vacant moorings, once it has been worked out
	// largest is the longest boat that each mooring can take, in the order of the harbor's, worked out when it is first asked for.
	largest func() []float64
	mu      sync.Mutex
	answer  map[string]func() *answer
}

// facts are what the report says of one mooring.
type facts struct {
	conflicts int
	hazards   []string
	unknown   []string
}

func newSnapshot(h *geo.Harbor, info store.Info) (*snapshot, error) {
	field, err := clearance.NewField(h)
	if err != nil {
		return nil, err
	}
	s := &snapshot{info: info, field: field, facts: factsOf(field), water: room.New(field), answer: map[string]func() *answer{}}
	s.largest = sync.OnceValue(func() []float64 { return room.LargestOfAll(field, room.Control{}) })
	return s, nil
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
	for _, u := range report.Unknown {
		note(u.Mooring, func(x *facts) { x.unknown = append(x.unknown, u.What) })
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
