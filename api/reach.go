package api

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// standardWindsKn are the winds of a table of reach, knots.
var standardWindsKn = []float64{0, 5, 10, 20, 30, 42}

// WindsOf reads a list of winds in knots: "10,20,30"; the standard ones where it is empty. Errors: geo.ErrInvalid.
func WindsOf(text string) ([]geo.MetresPerSecond, error) {
	winds := []geo.MetresPerSecond{}
	if strings.TrimSpace(text) == "" {
		for _, kn := range standardWindsKn {
			winds = append(winds, geo.Knots(kn))
		}
		return winds, nil
	}
	for _, part := range strings.Split(text, ",") {
		kn, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || !(kn >= 0 && kn <= geo.MaxWindKn) {
			return nil, fmt.Errorf("%w: wind %q; knots from 0 to %g are wanted, as 10,20,30", geo.ErrInvalid, part, geo.MaxWindKn)
		}
		winds = append(winds, geo.Knots(kn))
	}
	if len(winds) > mostRows {
		return nil, fmt.Errorf("%w: %d winds; at most %d are wanted", geo.ErrInvalid, len(winds), mostRows)
	}
	return winds, nil
}

// mostRows is how many winds, or levels, a table of reach may have.
const mostRows = 60

// LevelsOf reads a list of levels as [Level] does each; low, the middle and high where it is empty.
func LevelsOf(h *geo.Harbor, text string, now time.Time) ([]geo.Metres, error) {
	if strings.TrimSpace(text) == "" {
		low, err := Level(h, "low", now)
		if err != nil {
			return nil, err
		}
		high := h.Levels.Or(geo.Levels{}).High
		if high == low {
			return []geo.Metres{low}, nil
		}
		return []geo.Metres{low, (low + high) / 2, high}, nil
	}
	levels := []geo.Metres{}
	for _, part := range strings.Split(text, ",") {
		l, err := Level(h, part, now)
		if err != nil {
			return nil, err
		}
		levels = append(levels, l)
	}
	if len(levels) > mostRows {
		return nil, fmt.Errorf("%w: %d levels; at most %d are wanted", geo.ErrInvalid, len(levels), mostRows)
	}
	return levels, nil
}

// reach answers with how one boat lies over levels and winds.
func (q *request) reach() error {
	s, i, err := q.mooring()
	if err != nil {
		return err
	}
	h := s.field.Harbor()
	levels, err := LevelsOf(h, q.query.Get("levels"), time.Now())
	if err != nil {
		return err
	}
	winds, err := WindsOf(q.query.Get("winds_kn"))
	if err != nil {
		return errors.Join(errQuery, err)
	}
	design := s.field.Rules(&h.Moorings[i]).Design
	gust, err := q.ratio("gust", design.Gust())
	if err != nil {
		return err
	}
	streamKn, err := q.ratio("stream_kn", 0)
	if err != nil {
		return err
	}
	if err := (geo.Weather{GustRatio: gust, Stream: geo.Knots(streamKn)}).Validate(); err != nil {
		return errors.Join(errQuery, err)
	}
	table, err := swing.ReachTable(s.field.Input(i), levels, winds, gust, geo.Knots(streamKn))
	if err != nil {
		return err
	}
	return q.writeJSON(table)
}
