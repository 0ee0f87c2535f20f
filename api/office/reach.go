package office

import (
	"context"
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
			return nil, fmt.Errorf("%w: wind %q; knots from 0 to %g are expected, such as 10,20,30", geo.ErrInvalid, part, geo.MaxWindKn)
		}
		winds = append(winds, geo.Knots(kn))
	}
	if len(winds) > maxRows {
		return nil, fmt.Errorf("%w: %d winds; at most %d are taken", geo.ErrInvalid, len(winds), maxRows)
	}
	return winds, nil
}

// maxRows is how many winds, or levels, a table of reach may have.
const maxRows = 60

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
	if len(levels) > maxRows {
		return nil, fmt.Errorf("%w: %d levels; at most %d are taken", geo.ErrInvalid, len(levels), maxRows)
	}
	return levels, nil
}

// ReachQuestion is for which levels and winds it is asked how one boat lies.
type ReachQuestion struct {
	Levels   string             `json:"levels"`   // see [LevelsOf]
	WindsKn  string             `json:"winds_kn"` // see [WindsOf]
	Gust     geo.Maybe[float64] `json:"gust"`     // over the mean wind; that of the area unless said
	StreamKn float64            `json:"stream_kn"`
}

// Reach tells how one boat lies over levels and winds, by the statics of its tackle. Errors: as [Harbor.Index], geo.ErrInvalid,
// geo.ErrUnknown for what is not on record.
func (h *Harbor) Reach(ctx context.Context, number string, q ReachQuestion) (*swing.Reaches, error) {
	i, err := h.Index(ctx, number)
	if err != nil {
		return nil, err
	}
	record := h.Field.Harbor()
	levels, err := LevelsOf(record, q.Levels, time.Now())
	if err != nil {
		return nil, err
	}
	winds, err := WindsOf(q.WindsKn)
	if err != nil {
		return nil, err
	}
	gust := q.Gust.Or(h.Field.Rules(&record.Moorings[i]).Design.Gust())
	if err := (geo.Weather{GustRatio: gust, Stream: geo.Knots(q.StreamKn)}).Validate(); err != nil {
		return nil, err
	}
	return swing.ReachTable(h.Field.Input(i), levels, winds, gust, geo.Knots(q.StreamKn))
}
