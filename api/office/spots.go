package office

import (
	"context"
	"fmt"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// Spots are the best places for one more boat in an area.
type Spots struct {
	Area  string      `json:"area"`
	Spots []room.Spot `json:"spots"` // the best first
	// Misses are told when she fits nowhere: where she fails by least, and what would free a place.
	Misses []room.NearMiss `json:"misses"`
	Words  geo.Words       `json:"words"`
}

// RoomQuestion is whom room is looked for, and where.
type RoomQuestion struct {
	Area    string                `json:"area"`
	Radius  geo.Maybe[geo.Metres] `json:"radius_m"` // stated, where the area asks for one
	Without Numbers               `json:"without"`  // moorings whose water is taken to be free
	Mark    string                `json:"mark"`     // a position from which places are told by distance and bearing
	Ground
	Rules
	Dimensions
}

// ask makes the question ready. Errors: geo.ErrNotFound, geo.ErrInvalid, ErrIncomplete, *geo.PositionError, and those of room's Ask.
func (q *RoomQuestion) ask(h *Harbor) (*room.Question, error) {
	record := h.Field.Harbor()
	area, ok := record.Area(q.Area)
	if !ok {
		return nil, noArea(record, q.Area)
	}
	a := room.Ask{Area: q.Area, Radius: q.Radius}
	q.into(&a.Boat)
	if !hasLength(&a.Boat) {
		return nil, fmt.Errorf("%w: loa_m or length_all_m is expected", ErrIncomplete)
	}
	var err error
	if a.Tackle, a.ScopeRatio, err = q.tackle(record); err != nil {
		return nil, err
	}
	if a.Without, err = q.without(h.Field); err != nil {
		return nil, err
	}
	if q.Mark != "" {
		p, err := geo.ParsePosition(q.Mark, VicinityOf(h.Field))
		if err != nil {
			return nil, err
		}
		a.Mark = geo.Known(p)
	}
	if rules, changed := q.over(area.Rules, q.ScopeRatio); changed {
		a.Rules = geo.Known(rules)
	}
	return h.water().Ask(a)
}

// without are the moorings whose water is taken to be free.
func (q *RoomQuestion) without(f *clearance.Field) ([]string, error) {
	for _, number := range q.Without {
		if _, ok := f.Index(number); !ok {
			return nil, noMooring(number)
		}
	}
	return q.Without, nil
}

// noArea refuses the name of an area, and tells which there are.
func noArea(h *geo.Harbor, name string) error {
	names := make([]string, len(h.Areas))
	for i := range h.Areas {
		names[i] = h.Areas[i].Name
	}
	known := "the harbor has no areas yet"
	if len(names) > 0 {
		known = "one of " + strings.Join(names, ", ") + " is expected"
	}
	return fmt.Errorf("%w: area=%q; %s", geo.ErrInvalid, name, known)
}

// SpotsQuestion asks for the best places in an area.
type SpotsQuestion struct {
	Count  Count                 `json:"count"`   // how many places; 5 unless said
	ApartM geo.Maybe[geo.Metres] `json:"apart_m"` // how far from each other at least; 20 m unless said
	RoomQuestion
}

const (
	maxSpots         = 50   // of one answer: more nobody goes and looks at
	usualSeparation  = 20   // metres between two places that are told as two
	widestSeparation = 1000 // metres; wider than any area
	missesToTell     = 5    // near misses: where no boat fits, a few tell why
)

// Spots finds the best places, or where the boat fails by least. Errors: as the question's.
func (h *Harbor) Spots(ctx context.Context, q SpotsQuestion) (Spots, error) {
	question, err := q.ask(h)
	if err != nil {
		return Spots{}, err
	}
	count, err := within("count", q.Count, 5, maxSpots)
	if err != nil {
		return Spots{}, err
	}
	separation := q.ApartM.Or(usualSeparation)
	if !(separation >= 0 && separation <= widestSeparation) {
		return Spots{}, fmt.Errorf("%w: apart_m=%g; from 0 to %d m is expected", geo.ErrInvalid, float64(separation), widestSeparation)
	}
	return FindSpots(ctx, question, q.Area, count, separation)
}

// FindSpots finds the best places, or, when there is none, the near misses. Stopped, it gives the places that it has; without any it tells
// ctx.Err(), for then it is not known that there are none.
func FindSpots(ctx context.Context, question *room.Question, area string, count int, separation geo.Metres) (Spots, error) {
	spots, err := question.Best(ctx, count, separation)
	answer := Spots{Area: area, Spots: spots, Misses: []room.NearMiss{}}
	switch n := len(spots); n {
	case 0:
		if err != nil {
			return answer, err
		}
		return answer.withMisses(ctx, question, separation)
	case 1:
		answer.Words = geo.Plain("One place.")
	default:
		answer.Words = geo.Plain(fmt.Sprintf("%d places, the roomiest first.", n))
	}
	return answer, nil
}

// withMisses tells why there is no place, and where the boat fails by least.
func (s Spots) withMisses(ctx context.Context, question *room.Question, separation geo.Metres) (Spots, error) {
	fit, is, err := question.WhyNot(ctx)
	if is || err != nil {
		s.Words = fit.Words
		return s, err
	}
	if s.Misses, err = question.NearMisses(ctx, missesToTell, separation); err != nil {
		return s, err
	}
	text := "This boat fits nowhere in " + s.Area + "."
	if len(s.Misses) == 0 {
		text += " No place is deep enough, or there is none at which the rode does, or the area is narrower than the boat swings."
	}
	s.Words = geo.Plain(text)
	return s, nil
}

// OpenWater is the whole water in which the anchor may stand.
type OpenWater struct {
	room.Region
	// Frame is the plane in which the region lies.
	Frame geo.Frame
}

// OpenWater finds it. Errors: as the question's, room.ErrStopped, room.ErrRefused.
func (h *Harbor) OpenWater(ctx context.Context, q RoomQuestion) (OpenWater, error) {
	question, err := q.ask(h)
	if err != nil {
		return OpenWater{}, err
	}
	region, err := question.Region(ctx)
	return OpenWater{region, h.Field.Frame()}, err
}

// SpotQuestion asks how one place would do.
type SpotQuestion struct {
	Position string `json:"position"` // of the anchor, in any form that people write
	RoomQuestion
}

// Spot tells how a place of one's own would do. Errors: as the question's, *geo.PositionError.
func (h *Harbor) Spot(q SpotQuestion) (room.Spot, error) {
	question, err := q.ask(h)
	if err != nil {
		return room.Spot{}, err
	}
	p, err := geo.ParsePosition(q.Position, VicinityOf(h.Field))
	if err != nil {
		return room.Spot{}, err
	}
	return question.Try(p), nil
}
