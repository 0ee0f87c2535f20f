package swing

import (
	"errors"
	"fmt"
	"slices"

	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/tackle"
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
	vessel, err := NewVessel(in)
	r := pullRecords{in: in, errs: []error{err}}
	load := r.check()
	if err := errors.Join(r.errs...); err != nil {
		return nil, err
	}
	p := &Pulls{Load: load, Parts: make([]PartPull, len(in.Mooring.Tackle))}
	levels := in.Levels.Or(geo.Levels{})
	for _, level := range [...]geo.Metres{levels.Low, (levels.Low + levels.High) / 2, levels.High} {
		moored, err := vessel.At(level)
		if err != nil {
			return nil, err
		}
		state, err := moored.Rode.At(load.Load)
		if err != nil {
			return nil, fmt.Errorf("mooring %s: %w", in.Mooring.Number, err)
		}
		p.include(in.Mooring.Tackle, vessel.Tackle.At, &state, level)
	}
	return p, nil
}

// pullRecords looks for what has to be on record for the pulls.
type pullRecords struct {
	in   Input
	errs []error
}

// check names everything that is missing, and gives the design load.
func (r *pullRecords) check() (load DesignLoad) {
	if !r.in.Levels.IsKnown() {
		r.lacks("levels")
	}
	if boat := r.in.Mooring.Boat; boat != nil {
		var missing []string
		load, missing = DesignLoadOf(*boat, r.in.Rules.Design)
		for _, field := range missing {
			r.lacks(field)
		}
	}
	for _, kind := range [...]geo.PartKind{geo.TopChain, geo.Pennant} {
		if lastPlace(r.in.Mooring.Tackle, kind) < 0 {
			r.lacks(string(kind) + "_m")
		}
	}
	for i := range r.in.Mooring.Tackle {
		r.checkPart(&r.in.Mooring.Tackle[i])
	}
	return load
}

func (r *pullRecords) checkPart(p *geo.Part) {
	switch {
	case p.Kind == geo.Buoy && !(p.Size.Or(0) > 0):
		r.lacks("buoy_size_m")
	case tackle.IsRope(p.Kind) && p.Material == "" && p.Length.Or(1) > 0:
		r.lacks(string(p.Kind) + "_material")
	}
}

// lacks names a field once.
func (r *pullRecords) lacks(field string) {
	named := func(fe *geo.FieldError) bool { return fe.Field == field }
	if !slices.ContainsFunc(geo.FieldErrors(errors.Join(r.errs...)), named) {
		r.errs = append(r.errs, notOnRecord(r.in.Mooring.Number, field, "without it the pulls on the tackle cannot be told"))
	}
}

// include counts the line at one level in. at is the place in the tackle of each part of the line.
func (p *Pulls) include(t geo.Tackle, at []int, s *rode.State, level geo.Metres) {
	for i, part := range s.Parts {
		p.Parts[at[i]].raise(max(part.LowPull, part.HighPull), level)
	}
	above := 0 // the first part of the line that is not below the place
	for place := range t {
		for above < len(at) && at[above] < place {
			above++
		}
		isPart := above < len(at) && at[above] == place
		if k := t[place].Kind; (k == geo.Shackle || k == geo.Swivel) && !isPart {
			p.Parts[place].raiseAtJoint(s, above, level)
		}
	}
	p.Bow.raise(s.BowPull, level)
	if s.AnchorPullUpDeg > p.Anchor.UpDeg || p.Anchor.Pull == 0 {
		p.Anchor = AnchorPull{s.AnchorPull, s.AnchorPullUpDeg, level}
	}
}

// raise takes a pull that is larger than what is known so far.
func (p *PartPull) raise(pull geo.Newtons, level geo.Metres) {
	if !p.Known || pull > p.Pull {
		*p = PartPull{true, pull, level}
	}
}

// raiseAtJoint takes the pull on a fitting without a length, which stands at the joint below a part of the line: the larger of those beside
// it, for a buoy may stand there too.
func (p *PartPull) raiseAtJoint(s *rode.State, above int, level geo.Metres) {
	if above > 0 {
		p.raise(s.Parts[above-1].HighPull, level)
	}
	if above < len(s.Parts) {
		p.raise(s.Parts[above].LowPull, level)
	}
}
