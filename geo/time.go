package geo

import (
	"fmt"
	"time"
)

// firstMomentYear and lastMomentYear bound the times for which a tide or a weather is asked; beyond them the year is a slip of the pen.
// They reach farther than those of a date on record: who lays out a harbor looks at the tides of a whole working life ahead.
const (
	firstMomentYear = 1900
	lastMomentYear  = 2199
)

// timeLayouts are the ways in which people and programs write a time. What names no zone is in UTC.
var timeLayouts = [...]string{
	time.RFC3339Nano, // with any number of decimals, none included
	"2006-01-02T15:04Z07:00",
	"2006-01-02T15:04:05", "2006-01-02T15:04", time.DateTime, "2006-01-02 15:04", time.DateOnly,
}

var wantTime = fmt.Sprintf("expected a time such as 2026-07-01T09:30Z or 2026-07-01 09:30 (UTC), from %d to %d", firstMomentYear,
	lastMomentYear)

// ParseTime reads a time: RFC 3339 with or without seconds, or a day with or without hour and minute, then in UTC. The error is a
// *DateError.
func ParseTime(text string) (time.Time, error) {
	for _, layout := range timeLayouts {
		if at, err := time.Parse(layout, text); err == nil && at.Year() >= firstMomentYear && at.Year() <= lastMomentYear {
			return at, nil
		}
	}
	return time.Time{}, &DateError{Text: text, Want: wantTime}
}

// wantAsOf says how the time is written as of which a record is asked for.
const wantAsOf = "expected a day such as 2026-03-01 or a time such as 2026-03-01T12:00:00Z"

// ParseAsOf reads the time as of which a record is asked for: a time with its zone (RFC 3339), or a day, whose last millisecond in local
// time is meant, so that the changes of that day are in it. The error is a *DateError. Whether the time has come yet is for the caller to
// ask.
func ParseAsOf(text string) (time.Time, error) {
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		return at, nil
	}
	day, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		return time.Time{}, &DateError{Text: text, Want: wantAsOf}
	}
	return day.AddDate(0, 0, 1).Add(-time.Millisecond), nil
}
