package office

import (
	"fmt"
	"time"

	"swingroom/geo"
)

// ParseTime reads a time as people and programs write it: RFC 3339 with or without seconds, or a date with or without hour and minute, then
// in UTC. Errors: geo.ErrInvalid.
func ParseTime(text string) (time.Time, error) {
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02"} {
		if at, err := time.Parse(layout, text); err == nil && at.Year() >= 1900 && at.Year() < 2200 {
			return at, nil
		}
	}
	return time.Time{}, fmt.Errorf("%w: %q; a time is expected, such as 2026-07-01T09:30Z or 2026-07-01 09:30 (UTC), from 1900 to 2199",
		geo.ErrInvalid, text)
}

// timeOrNow reads a time; now where none is said.
func timeOrNow(text string) (time.Time, error) {
	if text == "" {
		return time.Now().UTC(), nil
	}
	return ParseTime(text)
}

// EndOfDay reads a day, whose end is meant, or a time. Errors: geo.ErrInvalid.
func EndOfDay(text string) (time.Time, error) {
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		return at, nil
	}
	day, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		return time.Time{}, fmt.Errorf("%w: %q; a day such as 2026-03-01 or a time such as 2026-03-01T12:00:00Z is expected", geo.ErrInvalid,
			text)
	}
	return day.AddDate(0, 0, 1).Add(-time.Millisecond), nil
}
