package geo

import (
	"fmt"
	"strings"
	"time"
)

// Waiting is one who waits for a place.
type Waiting struct {
	Name  string   `json:"name"`
	Since string   `json:"since"` // date of entry, as 2024-03-15
	Areas []string `json:"areas"` // that would do, by name; none: any
	Boat  Boat     `json:"boat"`
	Note  string   `json:"note"`
}

// Validate returns every FieldError, joined.
func (w Waiting) Validate() error {
	pr := problems{noun: "waiting", name: w.Name}
	if strings.TrimSpace(w.Name) == "" {
		pr.add("name", "", "a name is wanted")
	}
	if at, err := time.Parse(time.DateOnly, w.Since); err != nil || at.Year() < 1900 || at.Year() > 2200 {
		pr.add("since", fmt.Sprintf("%q", w.Since), "a date is wanted, as 2024-03-15")
	}
	pr.join(w.Boat.Validate("of " + w.Name))
	return pr.err()
}
