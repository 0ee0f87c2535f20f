package geo

import (
	"fmt"
	"time"
)

// Date is a day on the calendar as 2024-03-15; empty where it is not on record.
type Date string

// The years that a date may lie in. Anything beyond is taken for a slip of the pen.
const (
	firstYear = 1900
	lastYear  = 2100
)

// Valid reports what is wrong with a date that is on record, or nothing.
func (d Date) Valid() error {
	at, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return fmt.Errorf("%w: a date is wanted, as 2024-03-15", ErrInvalid)
	}
	if at.Year() < firstYear || at.Year() > lastYear {
		return fmt.Errorf("%w: a date from %d to %d is wanted", ErrInvalid, firstYear, lastYear)
	}
	return nil
}

// date notes what is wrong with a date; one that is not on record is right unless it is wanted.
func (p *problems) date(field string, d Date, wanted bool) {
	if d == "" && !wanted {
		return
	}
	if err := d.Valid(); err != nil {
		p.add(field, fmt.Sprintf("%q", string(d)), fmt.Sprintf("a date is wanted, as 2024-03-15, from %d to %d", firstYear, lastYear))
	}
}
