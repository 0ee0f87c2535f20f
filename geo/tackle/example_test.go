package tackle_test

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/tackle"
)

// How strong is a half inch ground chain, what is left of it when a tenth of its wire has worn away, and what does the anchor hold?
func Example() {
	chain := geo.Part{Kind: geo.GroundChain, Size: geo.Known(geo.Feet(0.5 / 12)), Material: "grade 30"}
	strength, err := tackle.StrengthOf(chain, geo.Lines{})
	if err != nil {
		fmt.Println(err)
		return
	}
	worn := strength.Working * geo.Newtons(tackle.RemainingStrength(chain.Kind, 0.9))
	fmt.Printf("chain: %.0f N as new, %.0f N worn\n", strength.Working, worn)

	anchor := geo.Part{Kind: geo.Anchor, Material: "mushroom", Weight: geo.Known(geo.Pounds(300))}
	holding, err := tackle.HoldingOf(anchor, nil, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("anchor: %.0f to %.0f N\n", holding.Min, holding.Max)
	_, known := holding.At(30)
	fmt.Println("known against a pull 30° upwards:", known)
	// Output:
	// chain: 20017 N as new, 16214 N worn
	// anchor: 1334 to 13345 N
	// known against a pull 30° upwards: false
}
