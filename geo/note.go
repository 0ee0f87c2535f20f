package geo

import (
	"fmt"
	"regexp"
	"time"
)

// Note is what somebody has written down about a mooring, or about the harbor at large, on a day.
type Note struct {
	ID      string    `json:"id"`
	Mooring string    `json:"mooring"` // its number; empty: the harbor at large. A mooring that was given up keeps its notes
	At      time.Time `json:"at"`
	By      string    `json:"by"`
	Text    string    `json:"text"`
	// Photos are pictures by the hash of their bytes, SHA-256 in hexadecimal.
	Photos []string `json:"photos"`
}

// maxPhotos is how many pictures one note may have: they stand under it on one screen of the page.
const maxPhotos = 12

var sha256Text = regexp.MustCompile(`^[0-9a-f]{64}$`)

// Validate returns every FieldError of the note, joined.
func (n Note) Validate() error {
	pr := problems{noun: "note", name: n.ID}
	pr.named("id", n.ID)
	pr.text("by", n.By, maxNameLength)
	pr.text("text", n.Text, maxTextLength)
	if n.Mooring != "" {
		pr.join(ValidNumber(n.Mooring))
	}
	if n.At.Year() < firstYear || n.At.Year() > lastYear {
		pr.add("at", n.At.Format(time.RFC3339), fmt.Sprintf("expected a time from %d to %d", firstYear, lastYear))
	}
	if n.Text == "" && len(n.Photos) == 0 {
		pr.add("text", "", "expected a text or a picture")
	}
	pr.photos(n.Photos)
	return pr.err()
}

// photos notes too many pictures, and names that are none.
func (p *problems) photos(names []string) {
	if len(names) > maxPhotos {
		p.add("photos", fmt.Sprint(len(names)), fmt.Sprintf("at most %d pictures", maxPhotos))
	}
	for _, name := range names {
		if !sha256Text.MatchString(name) {
			p.add("photos", fmt.Sprintf("%q", name), "a picture is named by its SHA-256 in hexadecimal")
		}
	}
}
