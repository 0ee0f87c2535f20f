package swing

import (
	"errors"
	"fmt"
	"math"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// Vessel is a moored boat made ready to be asked how she lies: her length and beam, what wind and stream meet of her, and her tackle. It
// never changes.
type Vessel struct {
	Number  string
	Length  geo.Metres // from the bow attachment to her farthest point
	Beam    geo.Metres
	Windage rode.Windage
	Tackle  TackleLine
	depth   geo.Metres
	bow     geo.Metres
}

// NewVessel makes the boat on a mooring ready. Errors: geo.FieldError, joined, naming the mooring and what is not on record.
func NewVessel(in Input) (*Vessel, error) {
	m := in.Mooring
	if m.Boat == nil {
		return nil,
			&geo.FieldError{Noun: "mooring", Name: m.Number, Field: "boat", Got: "not on record", Want: "no boat lies there",
				Kind: geo.ErrUnknown}
	}
	var errs []error
	unknown := func(field string) {
		errs = append(errs, &geo.FieldError{Noun: "mooring", Name: m.Number, Field: field, Got: "not on record",
			Want: "without it there is no telling how she lies", Kind: geo.ErrUnknown})
	}
	c := &Vessel{Number: m.Number}
	windage, missing := rode.WindageOf(*m.Boat)
	for _, field := range missing {
		unknown(field)
	}
	depth, known := in.Depth.Get()
	if !known {
		unknown("depth_m")
	}
	tackle, err := Line(m, in.Lines)
	if err = errors.Join(append(errs, err)...); err != nil {
		return nil, err
	}
	length, _ := m.Boat.SwingLength()
	c.Length, c.Beam, c.Windage, c.Tackle = length.Or(0), m.Boat.Beam.Or(0), windage, tackle
	c.depth, c.bow = depth, m.Boat.BowHeight.Or(0)
	return c, nil
}

// MooredVessel is a vessel at one water level.
type MooredVessel struct {
	*Vessel
	Rode *rode.Rode
}

// At makes the vessel ready at a level above chart datum. Errors: geo.ErrShortRode, geo.ErrInvalid, naming the mooring.
func (c *Vessel) At(level geo.Metres) (*MooredVessel, error) {
	r, err := rode.New(c.Number, c.Tackle.Line, rode.Water{Depth: c.depth + level, Bow: c.bow})
	if err != nil {
		return nil, err
	}
	return &MooredVessel{c, r}, nil
}

// Equilibrium is how a boat lies at one moment.
type Equilibrium struct {
	rode.Pull
	Reach geo.Metres `json:"reach_m"` // from the anchor to her bow, over the ground
}

// Equilibrium is how she lies in a weather; the level is the one she was made ready at. Errors: geo.FieldError of geo.ErrUnknown where a stream
// meets a boat without a draft on record; geo.ErrShortRode.
func (m *MooredVessel) Equilibrium(w geo.Weather) (Equilibrium, error) {
	pull, err := rode.PullOf(m.Windage, w)
	if errors.Is(err, geo.ErrUnknown) {
		return Equilibrium{}, m.noDraft()
	}
	if err != nil {
		return Equilibrium{}, err
	}
	reach, err := m.Rode.Reach(pull.Load)
	if err != nil {
		return Equilibrium{}, fmt.Errorf("mooring %s: %w", m.Number, err)
	}
	return Equilibrium{pull, reach}, nil
}

func (c *Vessel) noDraft() error {
	return &geo.FieldError{Noun: "mooring", Name: c.Number, Field: "draft_m", Got: "not on record",
		Want: "without it there is no telling how she lies to a stream", Kind: geo.ErrUnknown}
}

// Bow is where her bow lies from the anchor, metres east and north.
func (l Equilibrium) Bow() geo.Offset { return geo.Toward(l.LoadDeg, l.Reach) }

// Hull is her outline, from the anchor at the origin.
func (m *MooredVessel) Hull(l Equilibrium) []geo.Offset {
	return Outline(l.Bow(), l.SternDeg, m.Length, m.Beam)
}

// BuoyWords tells of a buoy that goes under although the water would let it float; under is false where it does not.
func BuoyWords(b *rode.BuoyState) (words geo.Words, under bool) {
	if b == nil || b.Place != rode.Under || b.NeededLift <= 0 {
		return geo.Words{}, false
	}
	ball := rode.BallThatLifts(b.NeededLift) // rounded up: a smaller one would go under again
	words = geo.Tell("the buoy goes under: the line asks for %s and it lifts %s; a foam-filled ball of ", b.NeededLift, b.Lift)
	words.Feet += fmt.Sprintf("%.1f ft would carry it", math.Ceil(ball.Feet()*10)/10)
	words.Metres += fmt.Sprintf("%.2f m would carry it", math.Ceil(float64(ball)*100)/100)
	return words, true
}
