package swing

import (
	"errors"
	"fmt"
	"slices"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// PartPull is the largest pull on one part of a tackle over the design levels.
type PartPull struct {
	Known bool        `json:"known"` // false for a part on which nothing pulls: a marker, a buoy, one of no length
	Pull  geo.Newtons `json:"pull_n"`
	Level geo.Metres  `json:"level_m"` // above chart datum, at which it is largest
}

// AnchorPull is the pull at the anchor at the level at which it is steepest. Its horizontal part is the design load at every level.
type AnchorPull struct {
	Pull  geo.Newtons `json:"pull_n"`
	UpDeg float64     `json:"up_deg"` // above the level bed
	Level geo.Metres  `json:"level_m"`
}

// Pulls is what the design load does to a mooring's tackle: to each part where it hangs in the line, to the anchor and at the bow, the
// worst over the low, the middle and the high design level.
type Pulls struct {
	Load   DesignLoad `json:"load"`
	Parts  []PartPull `json:"parts"` // by place in the tackle
	Anchor AnchorPull `json:"anchor"`
	Bow    PartPull   `json:"bow"`
}

// PullsOf works out the pulls under the design load with a mooring's boat. Errors: geo.FieldError, joined, of geo.ErrUnknown, naming every
// record without which they cannot be told: those of [NewVessel] and of the load, the levels, what a rope is made of, the size of the buoy,
// and a top chain or a pennant, of which the record has to say at least by a length of 0 that there is none: of a line that is not whole
// the statics tell nothing. geo.ErrShortRode where the line does not reach the bow at one of the levels.
func PullsOf(in Input) (*Pulls, error) {
	var p Pulls
	vessel, err := NewVessel(in)
	errs := []error{err}
	lacks := func(field string) {
		for _, fe := range geo.FieldErrors(errors.Join(errs...)) {
			if fe.Field == field {
				return
			}
		}
		errs = append(errs, &geo.FieldError{Noun: "mooring", Name: in.Mooring.Number, Field: field, Got: "not on record",
			Want: "without it the pulls on the tackle cannot be told", Kind: geo.ErrUnknown})
	}
	levels, known := in.Levels.Get()
	if !known {
		lacks("levels")
	}
	if in.Mooring.Boat != nil {
		var missing []string
		p.Load, missing = DesignLoadOf(*in.Mooring.Boat, in.Rules.Design)
		for _, field := range missing {
			lacks(field)
		}
	}
	for _, kind := range [...]geo.PartKind{geo.TopChain, geo.Pennant} {
		if !slices.ContainsFunc(in.Mooring.Tackle, func(p geo.Part) bool { return p.Kind == kind }) {
			lacks(string(kind) + "_m")
		}
	}
	for i := range in.Mooring.Tackle {
		switch t := &in.Mooring.Tackle[i]; {
		case t.Kind == geo.Buoy && !(t.Size.Or(0) > 0):
			lacks("buoy_size_m")
		case (t.Kind == geo.Pennant || t.Kind == geo.Rope || t.Kind == geo.Elastic) && t.Material == "" && t.Length.Or(1) > 0:
			lacks(string(t.Kind) + "_material")
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	p.Parts = make([]PartPull, len(in.Mooring.Tackle))
	for _, level := range [...]geo.Metres{levels.Low, (levels.Low + levels.High) / 2, levels.High} {
		moored, err := vessel.At(level)
		if err != nil {
			return nil, err
		}
		state, err := moored.Rode.At(p.Load.Load)
		if err != nil {
			return nil, fmt.Errorf("mooring %s: %w", in.Mooring.Number, err)
		}
		p.take(in.Mooring.Tackle, vessel.Tackle.At, &state, level)
	}
	return &p, nil
}

// take counts the line at one level in. at is the place in the tackle of each part of the line.
func (p *Pulls) take(t geo.Tackle, at []int, s *rode.State, level geo.Metres) {
	more := func(of *PartPull, pull geo.Newtons) {
		if !of.Known || pull > of.Pull {
			*of = PartPull{true, pull, level}
		}
	}
	for i, part := range s.Parts {
		more(&p.Parts[at[i]], max(part.LowPull, part.HighPull))
	}
	// A fitting without a length stands at the joint between the parts beside it: the larger of both, for a buoy may stand there too.
	above := 0
	for place := range t {
		for above < len(at) && at[above] < place {
			above++
		}
		if k := t[place].Kind; k != geo.Shackle && k != geo.Swivel || above < len(at) && at[above] == place {
			continue
		}
		if above > 0 {
			more(&p.Parts[place], s.Parts[above-1].HighPull)
		}
		if above < len(at) {
			more(&p.Parts[place], s.Parts[above].LowPull)
		}
	}
	more(&p.Bow, s.BowPull)
	if s.AnchorPullUpDeg > p.Anchor.UpDeg || p.Anchor.Pull == 0 {
		p.Anchor = AnchorPull{s.AnchorPull, s.AnchorPullUpDeg, level}
	}
}
