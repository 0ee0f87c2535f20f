package swing

import (
	"errors"
	"fmt"
	"math"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// Vessel is a moored boat made ready to be asked how it lies: its length and beam, what wind and stream meet of it, and its tackle. It
// never changes.
type Vessel struct {
	Number  string
	Length  geo.Metres // from the bow attachment to the farthest point
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
		return nil, notOnRecord(m.Number, "boat", "no boat lies there")
	}
	windage, missing := rode.WindageOf(*m.Boat)
	depth, known := in.Depth.Get()
	if !known {
		missing = append(missing, "depth_m")
	}
	var errs []error
	for _, field := range missing {
		errs = append(errs, notOnRecord(m.Number, field, "without it there is no telling how the boat lies"))
	}
	tackle, err := Line(m, in.Lines)
	if err = errors.Join(append(errs, err)...); err != nil {
		return nil, err
	}
	length, _ := m.Boat.SwingLength()
	return &Vessel{Number: m.Number, Length: length.Or(0), Beam: m.Boat.Beam.Or(0), Windage: windage, Tackle: tackle, depth: depth,
		bow: m.Boat.BowHeight.Or(0)}, nil
}

// notOnRecord is the error for a field of a mooring that is missing; why says what cannot be told without it.
func notOnRecord(number, field, why string) *geo.FieldError {
	return &geo.FieldError{Noun: "mooring", Name: number, Field: field, Got: "not on record", Want: why, Kind: geo.ErrUnknown}
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
	Reach geo.Metres `json:"reach_m"` // from the anchor to the bow, over the ground
}

// Equilibrium is how the boat lies in a weather; the level is the one that it was made ready at. Errors: geo.FieldError of geo.ErrUnknown
// where a stream meets a boat without a draft on record; geo.ErrShortRode.
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
	return notOnRecord(c.Number, "draft_m", "without it there is no telling how the boat lies to a stream")
}

// Bow is where the bow lies from the anchor, metres east and north.
func (l Equilibrium) Bow() geo.Offset { return geo.Toward(l.LoadDeg, l.Reach) }

// Hull is the outline, from the anchor at the origin.
func (m *MooredVessel) Hull(l Equilibrium) []geo.Offset {
	return Outline(l.Bow(), l.SternDeg, m.Length, m.Beam)
}

// BuoyWords tells of a buoy that goes under although the water would let it float; under is false where it does not.
func BuoyWords(b *rode.BuoyState) (words geo.Words, under bool) {
	if b == nil || b.Place != rode.Under || b.NeededLift <= 0 {
		return geo.Words{}, false
	}
	ball := rode.BallThatLifts(b.NeededLift)
	words = geo.Tell("the buoy goes under: the line asks for %s and it lifts %s; a foam-filled ball of ", b.NeededLift, b.Lift)
	words.Feet += fmt.Sprintf("%.1f ft would carry it", roundedUp(ball.Feet(), 10))
	words.Metres += fmt.Sprintf("%.2f m would carry it", roundedUp(float64(ball), 100))
	return words, true
}

// roundedUp is a size in so many parts of its unit, upwards: a smaller ball would go under again.
func roundedUp(size, parts float64) float64 { return math.Ceil(size*parts) / parts }
