package geo

import (
	"fmt"
	"time"
)

// aheadOfUTC is the time zone farthest ahead: in the Line Islands it is tomorrow 14 hours before it is in UTC (IANA tz database,
// Pacific/Kiritimati).
const aheadOfUTC = 14 * time.Hour

// LatestDay is the last day that has begun anywhere on Earth: work that was done where it is already tomorrow may bear that date.
func LatestDay(now time.Time) Date { return DateOf(now.UTC().Add(aheadOfUTC)) }

// workDate is a date on which work was done on a part of the tackle.
type workDate struct {
	kind  PartKind
	field string // "installed" or "inspected"
	on    Date
}

// workDates are the dates of work on a part that are on record.
func (p *Part) workDates() []workDate {
	var dates []workDate
	for _, d := range [...]workDate{{p.Kind, "installed", p.Installed}, {p.Kind, "inspected", p.Inspected}} {
		if d.on != "" {
			dates = append(dates, d)
		}
	}
	return dates
}

// ValidateWork refuses dates of work on the tackle that cannot be: malformed ones, and those after latest ([LatestDay]), since what has not
// been done yet cannot be recorded as done. before is the mooring as it stood, nil for a new one: a date that stood there already for a
// part of the same kind is let be, so that an old slip does not stand in the way of other changes. Errors: every *FieldError, joined, with
// the path of the field as "tackle[2].inspected"; its kind is ErrFuture for a day to come, ErrInvalid for what is no date.
func (m *Mooring) ValidateWork(before *Mooring, latest Date) error {
	onFile := map[workDate]int{}
	if before != nil {
		for i := range before.Tackle {
			for _, d := range before.Tackle[i].workDates() {
				onFile[d]++
			}
		}
	}
	pr := problems{noun: "mooring", name: m.Number}
	for i := range m.Tackle {
		for _, d := range m.Tackle[i].workDates() {
			if onFile[d]--; onFile[d] < 0 {
				pr.workDone(fmt.Sprintf("tackle[%d].%s", i+1, d.field), d.on, latest)
			}
		}
	}
	return pr.err()
}

// workDone notes what is wrong with a new date of work.
func (p *problems) workDone(field string, on, latest Date) {
	if on.Validate() != nil {
		p.date(field, on, true)
	} else if on > latest { // both in the form 2026-03-15, whose order is that of time
		p.addKind(ErrFuture, field, string(on), fmt.Sprintf("that day has not come yet; expected a day up to %s", latest))
	}
}
