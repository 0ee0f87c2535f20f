package store_test

import (
	"context"
	"path/filepath"
	"testing"

	"swingroom/api/store"
	"swingroom/geo"
)

// What an inspection has left of a part, what is set for a place, and a harbor's own tables come back as they were saved; what is not on
// record stays unknown.
func TestWearLimitsAndTablesComeBack(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := &geo.Harbor{Name: "Worn", Units: geo.UnitsFeet, Defaults: geo.NewDefaults()}
	h.Defaults.Lines.Holding = []geo.AnchorHolding{{Anchor: "mushroom", WeightRatio: 5}}
	h.Defaults.Lines.Tables = []geo.TackleTable{{Name: "ours", Source: "invented",
		Rows: []geo.TackleRow{{UpTo: 6, Anchor: geo.Known(geo.Pounds(150)), Pennant: geo.Known(geo.Metres(0.0127))}}}}
	h.Defaults.Lines.HardwareUnrecorded = true
	h.Moorings = []geo.Mooring{
		{Number: "1", Status: geo.Vacant, SmallestLOA: geo.Known(geo.Metres(7)), LargestLOA: geo.Known(geo.Metres(9)),
			Tackle: geo.Tackle{{Kind: geo.TopChain, LeftRatio: geo.Known(0.85)}, {Kind: geo.Pennant}}},
		{Number: "2", Status: geo.Vacant},
	}
	if _, err := s.Save(context.Background(), "worn", 0, h, store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	got, _, err := s.Harbor(context.Background(), "worn")
	if err != nil {
		t.Fatal(err)
	}
	one, two := got.Moorings[0], got.Moorings[1]
	if one.SmallestLOA.Or(0) != 7 || two.SmallestLOA.IsKnown() || one.Tackle[0].LeftRatio.Or(0) != 0.85 ||
		one.Tackle[1].LeftRatio.IsKnown() {
		t.Errorf("%+v\n%+v", one, two)
	}
	l := got.Defaults.Lines
	if !l.HardwareUnrecorded || len(l.Holding) != 1 || l.Holding[0].WeightRatio != 5 || len(l.Tables) != 1 ||
		l.Tables[0].Rows[0].Anchor.Or(0) != geo.Pounds(150) || l.Tables[0].Rows[0].GroundChain.IsKnown() {
		t.Errorf("%+v", l)
	}
}
