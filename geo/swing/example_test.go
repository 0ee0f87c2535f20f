package swing_test

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// How much water does a boat need to swing round its mooring, and how does that follow?
func Example() {
	metres := func(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }
	answer := swing.Radius(swing.Input{
		Mooring: &geo.Mooring{
			Number: "7", Status: geo.Occupied,
			Tackle: geo.Tackle{{Kind: geo.GroundChain, Length: metres(9)}, {Kind: geo.Pennant, Length: metres(4)}},
			Boat:   &geo.Boat{LOA: metres(8), BowHeight: metres(1)},
		},
		Rules:  geo.Rules{Swing: geo.SwingRule{Kind: geo.Taut}},
		Levels: geo.Known(geo.Levels{Datum: "chart datum", Low: -0.5, High: 3}),
		Depth:  metres(4.5), DepthFrom: swing.OnRecord,
	})
	for _, s := range answer.Working {
		line := fmt.Sprintf("%s = %.2f %s", s.Symbol, s.Value, s.Unit)
		if s.Formula != "" {
			line += " = " + s.Formula
		}
		fmt.Println(line)
	}
	// Output:
	// L1 = 9.00 m
	// L2 = 4.00 m
	// L = 13.00 m = L1 + L2
	// d = 4.50 m
	// w_low = -0.50 m
	// D_low = 4.00 m = d + w_low
	// b = 1.00 m
	// h = 5.00 m = D_low + b
	// o = 8.00 m
	// X = 12.00 m = sqrt(L² - h²)
	// R = 20.00 m = X + o
}
