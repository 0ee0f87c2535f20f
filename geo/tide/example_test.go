package tide_test

import (
	"fmt"
	"time"

	"swingroom/geo"
	"swingroom/geo/tide"
)

// When are high and low water today, and how high is the water at noon? The constants are invented.
func Example() {
	p, err := tide.New(geo.Tide{
		Station: "Invented Cove", Source: "invented", MeanLevel: 1.6,
		Constituents: []geo.Constituent{
			{Name: "M2", Amplitude: 1.4, PhaseDeg: 100},
			{Name: "S2", Amplitude: 0.2, PhaseDeg: 140},
			{Name: "K1", Amplitude: 0.15, PhaseDeg: 200},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	today := time.Date(2026, 7, 4, 0, 0, 0, 0, time.FixedZone("EDT", -4*3600))
	for _, e := range p.Extremes(today, today.AddDate(0, 0, 1)) {
		name := "low"
		if e.High {
			name = "high"
		}
		fmt.Printf("%s %-4s %5.2f m\n", e.At.Format("15:04"), name, float64(e.Level))
	}
	fmt.Printf("noon       %5.2f m\n", float64(p.Level(today.Add(12*time.Hour))))
	// Output:
	// 02:31 high  3.03 m
	// 08:48 low   0.01 m
	// 15:08 high  3.04 m
	// 21:15 low   0.37 m
	// noon        1.55 m
}
