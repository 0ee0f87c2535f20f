package geo

import "fmt"

// Levels are a harbor's design water levels in metres above chart datum.
type Levels struct {
	Datum string `json:"datum"` // what chart datum is here: "mean lower low water"
	// Low governs the swing radius and the keel.
	Low Metres `json:"low_m"`
	// High governs the scope.
	High Metres `json:"high_m"`
}

// Validate returns every FieldError, joined.
func (l Levels) Validate() error {
	pr := problems{noun: "levels"}
	pr.within("low_m", Known(l.Low), -20, 30)
	pr.within("high_m", Known(l.High), -20, 30)
	if l.High < l.Low {
		pr.add("high_m", fmt.Sprintf("%g m", float64(l.High)), fmt.Sprintf("it cannot be under the low level of %g m", float64(l.Low)))
	}
	return pr.err()
}
