package geo

import (
	"fmt"
	"time"
)

// Date is a day on the calendar such as 2026-03-15; empty where it is not on record.
type Date string

// The years that a date may lie in. Anything beyond is taken for a slip of the pen.
const (
	firstYear = 1900
	lastYear  = 2100
)

// wantDate says how a date is written.
var wantDate = fmt.Sprintf("expected a day such as 2026-03-15, from %d to %d", firstYear, lastYear)

// DateError is a text that was expected to be a day or a time and is neither. It is an ErrInvalid.
type DateError struct {
	Text string // as it was written
	Want string // what is expected, with an example
}

func (e *DateError) Error() string { return fmt.Sprintf("%q is not understood; %s", e.Text, e.Want) }

// Unwrap gives the kind.
func (e *DateError) Unwrap() error { return ErrInvalid }

// ParseDate reads a day such as 2026-03-15, from 1900 to 2100. The error is a *DateError; an empty text is one too.
func ParseDate(text string) (Date, error) {
	at, err := time.Parse(time.DateOnly, text)
	if err != nil || at.Year() < firstYear || at.Year() > lastYear {
		return "", &DateError{Text: text, Want: wantDate}
	}
	return Date(text), nil
}

// DateOf is the day of a time, in the time's own zone.
func DateOf(at time.Time) Date { return Date(at.Format(time.DateOnly)) }

// Validate refuses what is no day, the empty date included. The error is a *DateError.
func (d Date) Validate() error {
	_, err := ParseDate(string(d))
	return err
}

// Begin is the beginning of the day in UTC. The error is a *DateError.
func (d Date) Begin() (time.Time, error) {
	if err := d.Validate(); err != nil {
		return time.Time{}, err
	}
	return time.Parse(time.DateOnly, string(d))
}

// date notes what is wrong with a date; one that is not on record is right unless it is required.
func (p *problems) date(field string, d Date, required bool) {
	if d == "" && !required {
		return
	}
	if d.Validate() != nil {
		p.add(field, fmt.Sprintf("%q", string(d)), wantDate)
	}
}
