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
	// NeededLift is the lift that would keep a buoy at the surface that is drawn under.
	NeededLift geo.Newtons `json:"wants_n"`
}

// At is the equilibrium under a horizontal load in newtons. Error as Reach.
func (r *Rode) At(load geo.Newtons) (State, error) {
	e, err := r.under(load)
	if err != nil {
		return State{}, err
	}
	loadN := max(float64(load), minLoadN)
	s := State{
		Load: load, Reach: geo.Metres(e.whole.reachM), OnBed: geo.Metres(e.whole.onBedM), BowPull: pullAlong(loadN, e.bowN),
		AnchorPull: pullAlong(loadN, e.whole.lowN), AnchorPullUpDeg: math.Atan2(e.whole.lowN, loadN) * 180 / math.Pi,
		Parts: r.partStates(&e, loadN),
	}
	if r.buoy != nil {
		s.Buoy = e.buoyState()
	}
	return s, nil
}

func (e *equilibrium) buoyState() *BuoyState {
	return &BuoyState{Place: e.place, Lift: geo.Newtons(e.liftN), Reach: geo.Metres(e.buoyReachM), Height: geo.Metres(e.buoyRiseM),
		NeededLift: geo.Newtons(e.neededN)}
}

// partStates walks the line from the bow down, part by part.
func (r *Rode) partStates(e *equilibrium, loadN float64) []PartState {
	states := make([]PartState, len(r.parts))
	v := e.bowN
	for i := len(r.parts) - 1; i >= 0; i-- {
		p := &r.parts[i]
		if r.buoy != nil && i == r.buoy.Below-1 {
			v += e.liftN // of a buoy that is the upper end v was 0 until here
		}
		low, onBedM := v-p.WeightNPerM*float64(p.Length), 0.0
		if r.liesOnBed(e, i, v, low) {
			onBedM = p.lengthOnBed(v)
			v, low = max(v, 0), 0
		}
		states[i] = PartState{Name: p.Name, LowPull: pullAlong(loadN, low), HighPull: pullAlong(loadN, v), LowUpN: low, HighUpN: v,
			OnBed: geo.Metres(onBedM)}
		v = low
	}
	return states
}

// liesOnBed tells whether some of a part lies on the bed, with the vertical pulls at its ends that it would have if none did. What is above
// the buoy lies there only where the buoy does too.
func (r *Rode) liesOnBed(e *equilibrium, i int, highN, lowN float64) bool {
	if aboveBuoy := r.buoy != nil && i >= r.buoy.Below; aboveBuoy && !(e.place == Under && e.liftN == 0) {
		return false
	}
	return !r.held[i] && lowN < 0 && (r.parts[i].WeightNPerM > 0 || highN <= 0)
}

// lengthOnBed is what lies on the bed of a part that is drawn up with so much at its upper end.
func (p *Part) lengthOnBed(highN float64) float64 {
	if p.WeightNPerM > 0 {
		return float64(p.Length) - max(highN, 0)/p.WeightNPerM
	}
	return float64(p.Length)
}

// pullAlong is the pull along the line of its horizontal and vertical parts.
func pullAlong(loadN, verticalN float64) geo.Newtons { return geo.Newtons(alongN(loadN, verticalN)) }
