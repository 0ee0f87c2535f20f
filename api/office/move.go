package office

import (
	"context"

	"swingroom/geo"
)

// Move names a mooring and the place to which its anchor goes.
type Move struct {
	Number   string                `json:"number"`
	Position string                `json:"position"` // in any form that people write
	Accuracy geo.Maybe[geo.Metres] `json:"accuracy_m"`
}

// Move sets the anchor of a mooring at another place, after the check. Errors: *geo.PositionError, geo.ErrNotFound, *UnfitError, and those
// of an act.
func (h *Harbor) Move(ctx context.Context, by Author, v Move) (Result, error) {
	to, err := geo.ParsePosition(v.Position, VicinityOf(h.Field))
	if err != nil {
		return Result{}, err
	}
	return h.changeMooring(ctx, by, v.Number, func(_ *geo.Harbor, m *geo.Mooring) (placed, error) {
		d, bearing := geo.Geodesic(m.Position, to)
		m.Position, m.Accuracy = to, geo.Known(v.Accuracy.Or(0))
		m.Depth = geo.Maybe[geo.Metres]{} // the card's depth was that of the old place
		return placed{geo.Tell("the anchor of %s is moved %s on %03.0f° true", m.Number, d, bearing), []*geo.Mooring{m}}, nil
	})
}
