package main

import (
	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// roomFlags are the boat for which room is looked for, and where: the flags of spots and capacity.
type roomFlags struct {
	Area  string `help:"Area in which a place is looked for." required:""`
	LOA   length `help:"Length overall of the boat, such as 9.2m or 30ft." name:"loa" required:"" placeholder:"LENGTH"`
	Draft length `help:"Draft." required:"" placeholder:"LENGTH"`
	hullFlags
	groundFlags
	Radius length `help:"A stated swing radius, where the area asks for one." placeholder:"LENGTH"`
	rulesFlags
	Without []string `help:"Moorings whose water is taken to be free." placeholder:"NUMBERS"`
	Mark    string   `help:"A position from which places are told by distance and bearing." placeholder:"POSITION"`
}

// ask makes the question of it. Errors: geo.ErrNotFound for a mooring, *geo.PositionError, and those of room's Ask.
func (r *roomFlags) ask(w *room.Water) (*room.Question, error) {
	f := w.Field()
	a := room.Ask{Area: r.Area, ScopeRatio: r.Scope, Radius: r.Radius.value, Without: r.Without, Boat: r.boat(r.LOA, r.Draft)}
	for _, number := range r.Without {
		if _, err := indexOf(f, number); err != nil {
			return nil, err
		}
	}
	var err error
	if a.Tackle, err = r.tackle(f); err != nil {
		return nil, err
	}
	if a.Mark, err = r.mark(f); err != nil {
		return nil, err
	}
	if area, ok := f.Harbor().Area(r.Area); ok {
		if rules, changed := r.over(area.Rules, r.Scope); changed {
			a.Rules = geo.Known(rules)
		}
	}
	return w.Ask(a)
}

// mark is the position from which places are told; unknown: none is given.
func (r *roomFlags) mark(f *clearance.Field) (mark geo.Maybe[geo.Position], err error) {
	if r.Mark == "" {
		return mark, nil
	}
	p, err := geo.ParsePosition(r.Mark, office.VicinityOf(f))
	return geo.Known(p), err
}
