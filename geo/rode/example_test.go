package rode_test

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// How far from the anchor does the bow lie in a blow, how much chain stays on the bed, and how hard is the anchor pulled?
func Example() {
	weight, err := rode.ChainWeightNPerM(rode.ShortLink(), 0.013)
	if err != nil {
		fmt.Println(err)
		return
	}
	nylon, err := rode.RopeOf(nil, "nylon")
	if err != nil {
		fmt.Println(err)
		return
	}
	line := rode.Line{Parts: []rode.Part{
		{Name: "ground chain", Length: 12, WeightNPerM: weight},
		rode.RopePart("pennant", nylon, 5, 0.016, true),
	}}
	r, err := rode.New("7", line, rode.Water{Depth: 4, Bow: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range []geo.Newtons{0, 300, 3000} {
		state, err := r.At(load)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f N: reach %.2f m, %4.1f m on the bed, the anchor is pulled %4.0f N at %2.0f° upwards\n", load, state.Reach,
			state.OnBed, state.AnchorPull, state.AnchorPullUpDeg)
	}
	// Output:
	//    0 N: reach 12.00 m, 12.0 m on the bed, the anchor is pulled    0 N at  0° upwards
	//  300 N: reach 15.66 m,  5.6 m on the bed, the anchor is pulled  300 N at  0° upwards
	// 3000 N: reach 16.65 m,  0.0 m on the bed, the anchor is pulled 3068 N at 12° upwards
}
