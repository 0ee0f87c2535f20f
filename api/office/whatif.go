package office

import (
	"context"
	"fmt"

	"swingroom/geo"
	"swingroom/geo/room"
)

// ChangeQuestion is another rule or tackle for a whole area, to be tried. Nothing is saved.
type ChangeQuestion struct {
	Area         string             `json:"area"`
	ScopeRatio   float64            `json:"scope"`         // every rode cut to this over the height from bed to bow at the high level
	Elastic      string             `json:"elastic"`       // an elastic line of this material in place of every chain
	ElasticRatio geo.Maybe[float64] `json:"elastic_ratio"` // its length over the water at the high level; 1.25 unless said
	Rules
}

// usualElasticRatio is how long an elastic line is laid over the water at the high level (common practice, no source).
const usualElasticRatio = 1.25

// change is what is tried. Errors: geo.ErrInvalid.
func (q *ChangeQuestion) change(h *geo.Harbor) (c room.Change, err error) {
	area, ok := h.Area(q.Area)
	if !ok {
		return c, noArea(h, q.Area)
	}
	if err := checkScope(q.ScopeRatio); err != nil {
		return c, err
	}
	c = room.Change{Area: q.Area, ScopeRatio: q.ScopeRatio, Elastic: q.Elastic, ElasticRatio: q.ElasticRatio.Or(usualElasticRatio)}
	if !(c.ElasticRatio >= 0.5 && c.ElasticRatio <= 5) {
		return c, fmt.Errorf("%w: elastic_ratio=%g; from 0.5 to 5 is expected", geo.ErrInvalid, c.ElasticRatio)
	}
	if rules, changed := q.over(area.Rules, q.ScopeRatio); changed {
		c.Rules = geo.Known(rules)
	}
	return c, nil
}

// WhatIf tries a change on a field of its own: an area as it is beside the same area under another rule or tackle. Errors: geo.ErrInvalid,
// and those of room's Try.
func (h *Harbor) WhatIf(q ChangeQuestion) (*room.WhatIf, error) {
	c, err := q.change(h.Field.Harbor())
	if err != nil {
		return nil, err
	}
	return room.Try(h.Field, c)
}

// Changed is the harbor as it would be with a change.
func (h *Harbor) Changed(q ChangeQuestion) (*Snapshot, error) {
	w, err := h.WhatIf(q)
	if err != nil {
		return nil, err
	}
	return SnapshotOf(w.Changed, h.Info), nil
}

// GainQuestion asks what a change gives in places.
type GainQuestion struct {
	Like string `json:"like"` // the mooring whose boat and tackle make the class; the area's middle boat by length unless said
	ChangeQuestion
}

// CapacityGain tells how many more boats of a class the area takes with the change than without it. Errors: as [Harbor.WhatIf], and those
// of room's CapacityGain.
func (h *Harbor) CapacityGain(ctx context.Context, q GainQuestion, report room.Progress) (room.CapacityGain, error) {
	w, err := h.WhatIf(q.ChangeQuestion)
	if err != nil {
		return room.CapacityGain{}, err
	}
	return w.Gained(ctx, q.Like, report)
}
