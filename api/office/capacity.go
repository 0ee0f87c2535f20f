package office

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"swingroom/geo"
	"swingroom/geo/room"
)

// Layouts are the ways in which a capacity can be asked for.
func Layouts() []string {
	return []string{string(room.AsIs), string(room.Relaid), string(room.Hexagonal), string(room.Square), string(room.Free)}
}

// CapacityQuestion asks how many more boats of a class an area takes.
type CapacityQuestion struct {
	Layout string `json:"layout"` // one of Layouts; as_is unless said
	Move   List   `json:"move"`   // numbers of moorings that are laid again, for layout moved
	RoomQuestion
}

// Capacity finds it. Errors: as the question's and [CapacityOf].
func (h *Harbor) Capacity(ctx context.Context, q CapacityQuestion, report room.Progress) (room.Capacity, error) {
	question, err := q.ask(h)
	if err != nil {
		return room.Capacity{}, err
	}
	return CapacityOf(ctx, question, cmp.Or(q.Layout, string(room.AsIs)), q.Move, report)
}

// CapacityOf finds how many boats of a question's class go in by a layout. move names the moorings that are laid again. Errors:
// geo.ErrNotFound and geo.ErrUnknown of a mooring that is to be moved, geo.ErrInvalid for another layout; ctx.Err() beside the best so far.
func CapacityOf(ctx context.Context, q *room.Question, layout string, move []string, report room.Progress) (room.Capacity, error) {
	switch room.Layout(layout) {
	case room.AsIs:
		return q.CapacityAsIs(ctx, report)
	case room.Relaid:
		return q.CapacityMoved(ctx, move, report)
	case room.Hexagonal, room.Square, room.Free:
		return q.CapacityAfresh(ctx, room.Layout(layout), report)
	}
	return room.Capacity{}, fmt.Errorf("%w: layout=%q; one of %s is expected", geo.ErrInvalid, layout, strings.Join(Layouts(), ", "))
}
