package api

import (
	"context"
	"fmt"
	"strings"

	"swingroom/geo/room"
)

// Layouts are the ways in which a capacity can be asked for.
func Layouts() []string {
	return []string{string(room.AsIs), string(room.Relaid), string(room.Hexagonal), string(room.Square), string(room.Free)}
}

// HowMany finds how many boats of a question's class go in by a layout. move names the moorings that are laid again. Errors:
// geo.ErrNotFound and geo.ErrUnknown of a mooring that is to be moved, geo.ErrInvalid for another layout; ctx.Err() beside the best so far.
func HowMany(ctx context.Context, q *room.Question, layout string, move []string, report room.Progress) (room.Capacity, error) {
	switch room.Layout(layout) {
	case room.AsIs:
		return q.CapacityAsIs(ctx, report)
	case room.Relaid:
		return q.CapacityMoved(ctx, move, report)
	case room.Hexagonal, room.Square, room.Free:
		return q.CapacityAfresh(ctx, room.Layout(layout), report)
	}
	return room.Capacity{}, fmt.Errorf("%w: layout=%q; one of %s is wanted", errQuery, layout, strings.Join(Layouts(), ", "))
}

// capacity answers with how many more boats of a class an area takes.
func (q *request) capacity() error {
	_, question, err := q.question()
	if err != nil {
		return err
	}
	layout := q.query.Get("layout")
	if layout == "" {
		layout = string(room.AsIs)
	}
	var move []string
	for _, number := range strings.Split(q.query.Get("move"), ",") {
		if number = strings.TrimSpace(number); number != "" {
			move = append(move, number)
		}
	}
	return q.watched(func(ctx context.Context, report room.Progress) (any, error) {
		return HowMany(ctx, question, layout, move, report)
	})
}

// CapacityGeoJSON is the places of a layout as points, for the work boat.
func CapacityGeoJSON(c *room.Capacity) []byte {
	f := newFeatures(nil)
	for i, p := range c.Positions {
		f.begin(fmt.Sprint("place ", i+1))
		f.point(p)
		f.properties()
		f.number("place", float64(i+1), 0)
		f.text("position_ddm", p.DDM())
		f.close()
	}
	return f.end()
}
