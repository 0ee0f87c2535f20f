package clearance_test

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// twoMoorings is an invented harbor with two moorings 36 m apart, their swing radii stated.
func twoMoorings() *geo.Harbor {
	first := geo.Position{LatDeg: 44.2, LonDeg: -41.5}
	mooring := func(number string, at geo.Position, radius, length, draft geo.Metres) geo.Mooring {
		return geo.Mooring{Number: number, Status: geo.Occupied, Position: at, Accuracy: geo.Known(geo.Metres(1)),
			StatedRadius: geo.Known(radius), LargestLOA: geo.Known(geo.Metres(9)),
			Boat: &geo.Boat{LOA: geo.Known(length), Draft: geo.Known(draft)}}
	}
	return &geo.Harbor{Name: "Tarrowick Harbor", Units: geo.UnitsMetres, Defaults: geo.NewDefaults(), Moorings: []geo.Mooring{
		mooring("101", first, 20, 8, 1.2), mooring("102", geo.Ahead(first, 90, 36), 18.5, 7, 1),
	}}
}

// Is there a conflict?
func ExampleField_Report() {
	f, err := clearance.NewField(twoMoorings())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, k := range f.Report().Conflicts {
		fmt.Printf("%s (%s)\n", k.Sentence(geo.UnitsMetres), k.Certainty)
	}
	// Output:
	// 101 touches 102: the swing circles overlap by 2.5 m (certain)
}

// Does a boat fit on a mooring? One that is longer than the place allows does not, and the neighbor is in the way whatever lies there.
func ExampleFit_Against() {
	f, err := clearance.NewField(twoMoorings())
	if err != nil {
		fmt.Println(err)
		return
	}
	m := f.Harbor().Moorings[0]
	m.Boat = &geo.Boat{Name: "Wren", LOA: geo.Known(geo.Metres(9.5)), Draft: geo.Known(geo.Metres(1.4))}
	fit := f.Fit(m)
	fmt.Println(fit.Outcome)
	for _, v := range fit.Against() {
		if v.Fits.IsKnown() { // the others cannot be said for want of a record
			fmt.Println(v.Sentence(geo.UnitsMetres))
		}
	}
	// Output:
	// does_not_fit
	// touches 102: the swing circles overlap by 2.5 m
	// 9.5 m is over the limit: 9 m is the longest boat of place 101
}
