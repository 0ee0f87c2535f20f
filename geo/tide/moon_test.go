package tide

import (
	"math"
	"testing"
	"time"

	"swingroom/geo"
)

// The two constituents in which the general-purpose predictor differs, each held against what it stands for. This test
// looks inside, for the orbit.

func one(t *testing.T, name string) *Predictor {
	t.Helper()
	p, err := New(geo.Tide{Constituents: []geo.Constituent{{Name: name, Amplitude: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestM1IsTheSumOfItsTwoWaves: terms A16 and A23 of SP98 (table 2) are to each other, in the scale of O1, as 1/2 to
// 3/2 cos I / cos² I/2. M1 is their sum, with the mean I = omega in that ratio (formula 197).
func TestM1IsTheSumOfItsTwoWaves(t *testing.T) {
	p := one(t, "M1")
	const small, large = 0.5, 1.435                            // 3/2 cos 23.452° / cos² 11.726° = 1.4354
	for number := int64(13000); number < 23000; number += 97 { // 2005 to 2032: all quadrants of P
		sky := longitudesAt(number)
		o := orbitAt(sky)
		fO1, uO1 := nodeO1(o)
		a16 := rad(sky.sunHourDeg-sky.moonDeg+sky.sunDeg-sky.perigeeDeg-90) + uO1
		a23 := rad(sky.sunHourDeg-sky.moonDeg+sky.sunDeg+sky.perigeeDeg-90) - o.nuRad
		want := fO1 * (small*math.Cos(a16) + large*math.Cos(a23))
		got := float64(p.Level(time.Unix(number*secondsPerDay, 0)))
		if math.Abs(got-want) > 2e-3 { // 2.310, 1.435 and 0.483 are rounded
			t.Errorf("day %d, P %.0f°: %.4f, its waves %.4f", number, o.perigeeRad*180/math.Pi, got, want)
		}
	}
}

// TestM3IsHighUnderTheMoon: SP98 counts the moon's hour from its upper transit, which a full moon has at midnight. Its
// three highs a day are 120 degrees apart, so that counting from the lower transit would make this a low.
func TestM3IsHighUnderTheMoon(t *testing.T) {
	p := one(t, "M3")
	for _, midnight := range []time.Time{ // next to full moons at 2025-01-13 22:27 and 2025-10-06 23:48 (almanac, from memory)
		time.Date(2025, 1, 14, 0, 0, 0, 0, time.UTC), time.Date(2025, 10, 7, 0, 0, 0, 0, time.UTC),
	} {
		// The true moon is up to 8 degrees from the mean one, three times which leaves cos 24° = 0.9 of the wave.
		if got := p.Level(midnight); got < 0.7 {
			t.Errorf("%v: %.2f m of 1 m", midnight, float64(got))
		}
	}
}
