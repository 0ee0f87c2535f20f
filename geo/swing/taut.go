package swing

import (
	"fmt"
	"math"

	"swingroom/geo"
)

// Taut returns the horizontal reach of a straight line of length rode that rises through height rise, both in
// metres: sqrt(rode² - rise²). No load can pull the line farther, so it errs on the safe side by what the line
// sags. geo.ErrShortRode if rode < rise. Source: sailingusa.info/swinging_radius.htm, "true radius".
func Taut(rode, rise geo.Metres) (geo.Metres, error) {
	if rise < 0 {
		rise = 0 // the bow cannot lie under the bed: a place that dries has no rise to climb
	}
	if rode < rise {
		return 0, fmt.Errorf("%w: %.1f m of rode for a rise of %.1f m", geo.ErrShortRode, float64(rode), float64(rise))
	}
	// (L-h)(L+h) keeps its digits where L² - h² would lose them, for a rode hardly longer than the rise.
	return geo.Metres(math.Sqrt(float64((rode - rise) * (rode + rise)))), nil
}
