package api

import (
	"context"
	"fmt"

	"swingroom/geo"
	"swingroom/geo/room"
)

// tryChange carries out the change that is asked about, on a field of its own. Nothing is saved.
func (q *request) tryChange() (*snapshot, *room.WhatIf, error) {
	s, err := q.harbor()
	if err != nil {
		return nil, nil, err
	}
	c, err := q.change(s.field.Harbor())
	if err != nil {
		return nil, nil, err
	}
	w, err := room.Try(s.field, c)
	return s, w, err
}

// whatIf answers with an area as it is beside the same area under another rule or tackle.
func (q *request) whatIf() error {
	_, w, err := q.tryChange()
	if err != nil {
		return err
	}
	return q.writeJSON(w)
}

// whatIfGained answers with how many more boats of a class the area takes with the change than without it.
func (q *request) whatIfGained() error {
	_, w, err := q.tryChange()
	if err != nil {
		return err
	}
	return q.watched(func(ctx context.Context, report room.Progress) (any, error) {
		return w.Gained(ctx, q.query.Get("like"), report)
	})
}

// whatIfCircles answers with every mooring of the harbor as it would be with a change: the same features as the moorings themselves.
func (q *request) whatIfCircles() error {
	s, w, err := q.tryChange()
	if err != nil {
		return err
	}
	changed := &snapshot{info: s.info, field: w.Changed, facts: factsOf(w.Changed)}
	f := newFeatures(nil)
	addMoorings(changed, f, nil)
	q.write(newAnswer(geoJSONType, f.end()))
	return nil
}

// change reads another rule or tackle for an area.
func (q *request) change(h *geo.Harbor) (c room.Change, err error) {
	c.Area = q.query.Get("area")
	area, ok := h.Area(c.Area)
	if !ok {
		return c, fmt.Errorf("%w: area=%q; one of %s is wanted", errQuery, c.Area, areaNames(h))
	}
	rules, changed, err := q.triedRules(area.Rules)
	if err != nil {
		return c, err
	}
	if changed {
		c.Rules = geo.Known(rules)
	}
	if c.ScopeRatio, err = q.ratio("scope", 0); err != nil {
		return c, err
	}
	if c.ScopeRatio != 0 && !(c.ScopeRatio >= 1 && c.ScopeRatio <= 20) {
		return c, fmt.Errorf("%w: scope=%g; from 1 to 20 is wanted", errQuery, c.ScopeRatio)
	}
	c.Elastic = q.query.Get("elastic")
	if c.ElasticRatio, err = q.ratio("elastic_ratio", 1.25); err != nil {
		return c, err
	}
	if !(c.ElasticRatio >= 0.5 && c.ElasticRatio <= 5) {
		return c, fmt.Errorf("%w: elastic_ratio=%g; from 0.5 to 5 is wanted", errQuery, c.ElasticRatio)
	}
	return c, nil
}
