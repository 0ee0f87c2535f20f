package clearance_test

import (
	"errors"
	"testing"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

func TestChosenKindsOfAReport(t *testing.T) {
	finding := func(k clearance.Constraint, c clearance.Certainty) clearance.Finding {
		return clearance.Finding{Mooring: "1", Verdict: clearance.Verdict{Constraint: k, Certainty: c}}
	}
	report := &clearance.Report{
		Conflicts: []clearance.Conflict{{A: "1", B: "2", Certainty: clearance.Possible}},
		Hazards:   []clearance.Hazard{{Mooring: "1", Certainty: clearance.Possible}, {Mooring: "2", Certainty: clearance.Possible}},
		Troubles: []clearance.Finding{finding(clearance.ByAnchor, ""), finding(clearance.ByAreaLOA, clearance.Certain),
			finding(clearance.ByRecord, clearance.Certain), finding(clearance.ByScope, "")},
		Unknown: []clearance.Finding{finding(clearance.ByShoal, "")},
	}
	for _, tc := range []struct {
		kinds                                string
		conflicts, hazards, troubles, unsaid int
		certain, troubled                    bool
	}{
		{"", 1, 2, 4, 1, true, true},
		{"conflict", 1, 0, 0, 0, false, true},
		{"hazard, tackle", 0, 2, 2, 0, false, true},
		{"limit", 0, 0, 1, 0, true, true},
		{"Record", 0, 0, 1, 0, true, true},
		{"unsaid", 0, 0, 0, 1, false, false},
	} {
		chosen, err := clearance.ParseKinds(tc.kinds)
		if err != nil {
			t.Fatal(err)
		}
		only := report.Only(chosen)
		if len(only.Conflicts) != tc.conflicts || len(only.Hazards) != tc.hazards || len(only.Troubles) != tc.troubles ||
			len(only.Unknown) != tc.unsaid {
			t.Errorf("%q: %d conflicts, %d hazards, %d troubles, %d unsaid", tc.kinds, len(only.Conflicts), len(only.Hazards),
				len(only.Troubles), len(only.Unknown))
		}
		if only.Certain() != tc.certain || only.Troubled() != tc.troubled {
			t.Errorf("%q: certain %v, troubled %v", tc.kinds, only.Certain(), only.Troubled())
		}
	}
	if counts := report.Counts(); counts[clearance.KindTackle] != 2 || counts[clearance.KindHazard] != 2 ||
		counts[clearance.KindUnsaid] != 1 {
		t.Errorf("counts %v", counts)
	}
	if _, err := clearance.ParseKinds("hazard,hazards"); !errors.Is(err, geo.ErrInvalid) {
		t.Errorf("an unknown kind is taken: %v", err)
	}
}
