package geo

import "fmt"

// Permit is that under which a mooring lies. The zero Permit is none on record.
type Permit struct {
	Year    int  `json:"year"`    // for which it was given; 0: not on record
	Expires Date `json:"expires"` // its last day
}

func (p *problems) permit(v Permit) {
	if v.Year != 0 && (v.Year < firstYear || v.Year > lastYear) {
		p.add("permit.year", fmt.Sprint(v.Year), fmt.Sprintf("expected a year from %d to %d", firstYear, lastYear))
	}
	p.date("permit.expires", v.Expires, false)
}
