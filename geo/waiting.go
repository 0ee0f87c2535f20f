package geo

// Waiting is one who waits for a place.
type Waiting struct {
	Name  string   `json:"name"`
	Since Date     `json:"since"` // date of entry
	Areas []string `json:"areas"` // that would do, by name; none: any
	Boat  Boat     `json:"boat"`
	Note  string   `json:"note"`
}

// Validate returns every FieldError, joined.
func (w Waiting) Validate() error {
	pr := problems{noun: "waiting", name: w.Name}
	pr.named("name", w.Name)
	pr.date("since", w.Since, true)
	pr.text("note", w.Note, maxTextLength)
	pr.join(w.Boat.Validate("of " + w.Name))
	return pr.err()
}
