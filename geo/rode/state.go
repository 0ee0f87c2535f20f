package rode

import (
	"math"

	"swingroom/geo"
)

// State is a line in equilibrium under a load.
type State struct {
	Load  geo.Newtons `json:"load_n"` // horizontal, at the bow
	Reach geo.Metres  `json:"reach_m"`
	OnBed geo.Metres  `json:"on_bed_m"` // length that lies on the bed, not stretched
	// AnchorPull is the pull at the anchor, and AnchorPullUpDeg its angle above the level.
	AnchorPull      geo.Newtons `json:"anchor_pull_n"`
	AnchorPullUpDeg float64     `json:"anchor_pull_up_deg"`
	BowPull         geo.Newtons `json:"bow_pull_n"`
	Parts           []PartState `json:"parts"`
	Buoy            *BuoyState  `json:"buoy"` // nil: none in the line
}

// PartState is one part in equilibrium.
type PartState struct {
	Name     string      `json:"name"`
	LowPull  geo.Newtons `json:"low_pull_n"`  // at its lower end, along the line
	HighPull geo.Newtons `json:"high_pull_n"` // at its upper end
	// LowUpN and HighUpN are the vertical pulls at its ends, above 0 where the part above draws upwards.
	LowUpN  float64    `json:"low_up_n"`
	HighUpN float64    `json:"high_up_n"`
	OnBed   geo.Metres `json:"on_bed_m"`
}

// BuoyState is the buoy in equilibrium.
type BuoyState struct {
	Place  Place       `json:"place"`
	Lift   geo.Newtons `json:"lift_n"`   // what it carries
	Reach  geo.Metres  `json:"reach_m"`  // from the anchor, over the ground
	Height geo.Metres  `json:"height_m"` // above the bed at the anchor
	// Wants is the lift that would keep a buoy at the surface that is drawn under.
	Wants geo.Newtons `json:"wants_n"`
}

// At is the equilibrium under a horizontal load in newtons. Error as Reach.
func (r *Rode) At(load geo.Newtons) (State, error) {
	f, err := r.under(load)
	if err != nil {
		return State{}, err
	}
	loadN := max(float64(load), leastLoadN)
	pull := func(v float64) geo.Newtons { return geo.Newtons(alongN(loadN, v)) }
	s := State{
		Load: load, Reach: geo.Metres(f.whole.reachM), OnBed: geo.Metres(f.whole.onBedM), BowPull: pull(f.bowN),
		AnchorPull: pull(f.whole.lowN), AnchorPullUpDeg: math.Atan2(f.whole.lowN, loadN) * 180 / math.Pi,
		Parts: make([]PartState, len(r.parts)),
	}
	if r.buoy != nil {
		s.Buoy = &BuoyState{Place: f.place, Lift: geo.Newtons(f.liftN), Reach: geo.Metres(f.buoyReachM), Height: geo.Metres(f.buoyRiseM),
			Wants: geo.Newtons(f.wantsN)}
	}
	v := f.bowN
	for i := len(r.parts) - 1; i >= 0; i-- {
		p := &r.parts[i]
		if r.buoy != nil && i == r.buoy.Below-1 {
			v += f.liftN
			if r.buoy.Below == len(r.parts) {
				v = f.liftN
			}
		}
		low, onBed := v-p.WeightNPerM*float64(p.Length), 0.0
		if mayLie := r.buoy == nil || i < r.buoy.Below ||
			f.place == Under && f.liftN == 0; mayLie && !r.held[i] && low < 0 && (p.WeightNPerM > 0 || v <= 0) {
			onBed = float64(p.Length)
			if p.WeightNPerM > 0 {
				onBed -= max(v, 0) / p.WeightNPerM
			}
			v, low = max(v, 0), 0
		}
		s.Parts[i] = PartState{Name: p.Name, LowPull: pull(low), HighPull: pull(v), LowUpN: low, HighUpN: v, OnBed: geo.Metres(onBed)}
		v = low
	}
	return s, nil
}
