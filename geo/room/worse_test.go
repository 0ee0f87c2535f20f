package room

import (
	"testing"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// A mooring that comes nearer to one of two fairways of one name is worse off, however far it is in the other.
func TestAFairwayIsNotExcusedByAnotherOfItsName(t *testing.T) {
	frame := geo.NewFrame(geo.Position{LatDeg: 44.2, LonDeg: -41.4})
	fairway := func(setback geo.Metres, corners ...geo.Offset) geo.KeepOut {
		var ring orb.Ring
		for _, o := range append(corners, corners[0]) {
			ring = append(ring, frame.Position(o).Point())
		}
		return geo.KeepOut{Name: "Main", Kind: geo.Fairway, Shape: orb.MultiPolygon{{ring}}, Setback: setback}
	}
	at := func(northM float64) geo.Mooring {
		return geo.Mooring{Number: "1", Status: geo.Occupied, Position: frame.Position(geo.Offset{NorthM: northM}),
			StatedRadius: geo.Known(geo.Metres(20)), Boat: &geo.Boat{LOA: geo.Known(geo.Metres(8))}}
	}
	f, err := clearance.NewField(&geo.Harbor{Name: "Two", Units: geo.UnitsMetres, Defaults: geo.NewDefaults(),
		Moorings: []geo.Mooring{at(0)}, KeepOuts: []geo.KeepOut{
			fairway(10, geo.Offset{EastM: 24, NorthM: -50}, geo.Offset{EastM: 40, NorthM: -50}, geo.Offset{EastM: 40, NorthM: 50},
				geo.Offset{EastM: 24, NorthM: 50}), // 6 m too near
			fairway(3, geo.Offset{EastM: -50, NorthM: 22}, geo.Offset{EastM: 50, NorthM: 22}, geo.Offset{EastM: 50, NorthM: 40},
				geo.Offset{EastM: -50, NorthM: 40}), // 1 m too near
		}})
	if err != nil {
		t.Fatal(err)
	}
	for northM, want := range map[float64]bool{0: true, -1: true, 1: false} {
		if got := notWorse(f, at(northM)); got != want {
			t.Errorf("%g m to the north: not worse is %v, want %v", northM, got, want)
		}
	}
}
