package geo_test

import (
	"errors"
	"fmt"
	"time"

	"swingroom/geo"
)

// Positions are read as people paste them, and written in the three ways in which charts and receivers show them.
func ExamplePosition() {
	for _, text := range []string{"44.123456, -41.5", "44° 07.4074' N 41° 30' W", `44°07'24.44"N, 41°30'00"W`, "44,123456; -41,5"} {
		p, err := geo.ParsePosition(text, nil)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(p.DD())
	}
	p := geo.Position{LatDeg: 44.123456, LonDeg: -41.5}
	fmt.Println(p.DDM())
	fmt.Println(p.DMS())
	// Output:
	// 44.123456, -41.500000
	// 44.123457, -41.500000
	// 44.123456, -41.500000
	// 44.123456, -41.500000
	// 44° 07.4074' N  041° 30.0000' W
	// 44° 07' 24.44" N  041° 30' 00.00" W
}

// What can be read in more than one way is refused, with the readings.
func ExamplePositionError() {
	_, err := geo.ParsePosition("4407.4, 04130.0", nil)
	var refused *geo.PositionError
	if errors.As(err, &refused) {
		fmt.Println(errors.Is(err, geo.ErrAmbiguous), refused.Reason)
		fmt.Println(refused.Readings[0].Position.DDM(), "by", refused.Readings[0].How)
	}
	// Output:
	// true 4407.4 runs degrees and minutes together and can be read in more than one way; put marks or spaces between them
	// 44° 07.4000' N  041° 30.0000' E by degrees and minutes run together, degrees and minutes run together
}

// The same sentence for two readers.
func ExampleTell() {
	words := geo.Tell("the circle of %s takes %s of rode", geo.Feet(61), geo.Metres(12))
	fmt.Println(words.In(geo.UnitsFeet))
	fmt.Println(words.In(geo.UnitsMetres))
	// Output:
	// the circle of 61 ft takes 39.4 ft of rode
	// the circle of 18.6 m takes 12 m of rode
}

// Every error of a record is told by field, in the reader's units.
func ExampleFieldErrors() {
	m := geo.Mooring{Number: "101", Status: "lost", Position: geo.Position{LatDeg: 44.1, LonDeg: -41.5},
		Boat: &geo.Boat{LOA: geo.Known(geo.Feet(900))}}
	for _, fe := range geo.FieldErrors(m.Validate()) {
		fmt.Println(fe.In(geo.UnitsFeet))
	}
	// Output:
	// mooring 101: status is "lost"; expected occupied or vacant
	// boat of mooring 101: loa_m is 900 ft; it has to lie between 1.6 and 492 ft
}

// Work that has not been done yet is not recorded as done.
func ExampleMooring_ValidateWork() {
	now := time.Date(2026, 5, 1, 9, 0, 0, 0, time.UTC)
	before := geo.Mooring{Number: "101", Tackle: geo.Tackle{{Kind: geo.Anchor}}}
	after := geo.Mooring{Number: "101", Tackle: geo.Tackle{{Kind: geo.Anchor, Inspected: "2026-06-01"}}}
	err := after.ValidateWork(&before, geo.LatestDay(now))
	fmt.Println(err)
	fmt.Println(errors.Is(err, geo.ErrFuture))
	// Output:
	// mooring 101: tackle[1].inspected is 2026-06-01; that day has not come yet; expected a day up to 2026-05-01
	// true
}
