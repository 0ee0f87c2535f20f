package geo

import (
	"fmt"
	"slices"
	"strings"
)

// Tide is what the astronomical tide of a place is worked out from: the harmonic constants of a station.
type Tide struct {
	Station string `json:"station"`
	Source  string `json:"source"` // who published the constants, or that they are invented
	// MeanLevel is Z0, the mean water level above the harbor's chart datum.
	MeanLevel    Metres        `json:"mean_level_m"`
	Constituents []Constituent `json:"constituents"`
}

// Constituent is one term of the harmonic sum.
type Constituent struct {
	Name      string  `json:"name"` // "M2", as NOAA spells it
	Amplitude Metres  `json:"amplitude_m"`
	PhaseDeg  float64 `json:"phase_deg"` // Greenwich phase lag (epoch), degrees
}

// ConstituentNames are the 37 that NOAA publishes for a station.
func ConstituentNames() []string { return slices.Clone(constituentNames) }

var constituentNames = strings.Fields("M2 S2 N2 K1 M4 O1 M6 MK3 S4 MN4 NU2 S6 MU2 2N2 OO1 LAM2 S1 M1 J1 MM SSA SA MSF MF RHO Q1 T2 R2 " +
	"2Q1 P1 2SM2 M3 L2 2MK3 K2 M8 MS4")

// Validate returns every FieldError of the tide, joined.
func (t Tide) Validate() error {
	pr := problems{noun: "tide", name: t.Station}
	pr.within("mean_level_m", Known(t.MeanLevel), -20, 30)
	if len(t.Constituents) == 0 {
		pr.add("constituents", "", "expected at least one constituent")
	}
	seen := map[string]bool{}
	for _, c := range t.Constituents {
		if seen[c.Name] {
			pr.add("constituents", c.Name, "each constituent once")
		}
		seen[c.Name] = true
		c.problems(&pr)
	}
	return pr.err()
}

// problems notes what is wrong with one constituent by itself.
func (c Constituent) problems(pr *problems) {
	oneOf(pr, "constituents", c.Name, ConstituentNames()...)
	pr.within(c.Name+" amplitude_m", Known(c.Amplitude), 0, 20)
	if !(c.PhaseDeg >= -360 && c.PhaseDeg <= 360) {
		pr.add(c.Name+" phase_deg", fmt.Sprintf("%g", c.PhaseDeg), "expected degrees between -360 and 360")
	}
}
