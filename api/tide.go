package api

import (
	"errors"
	"fmt"
	"time"

	"swingroom/geo"
	"swingroom/geo/tide"
)

// TideTable is the predicted water of a span of time.
type TideTable struct {
	Station  string         `json:"station"`
	Source   string         `json:"source"`
	Caution  string         `json:"caution"`
	From     time.Time      `json:"from"`
	Level    geo.Metres     `json:"level_m"` // at From, above chart datum
	Rising   bool           `json:"rising"`
	Extremes []tide.Extreme `json:"extremes"` // high and low waters of the span
	// Levels are those at From and every StepMinutes from then on.
	StepMinutes int          `json:"step_minutes"`
	Levels      []geo.Metres `json:"levels_m"`
}

// ErrNoTide: the harbor has no harmonic constants on record.
var ErrNoTide = fmt.Errorf("%w: no harmonic constants are on record, so no level can be predicted; tide.json brings them in",
	geo.ErrNotFound)

// tideStepMinutes is the step of the curve: at the steepest of any harbor the straight line between two steps is out by about a centimetre.
const tideStepMinutes = 10

// Tide predicts a harbor's water from a time on. Errors: ErrNoTide, geo.ErrInvalid.
func Tide(h *geo.Harbor, from time.Time, hours int) (*TideTable, error) {
	if h.Tide == nil {
		return nil, ErrNoTide
	}
	p, err := tide.New(*h.Tide)
	if err != nil {
		return nil, err
	}
	from = from.Truncate(time.Second)
	span := time.Duration(hours) * time.Hour
	return &TideTable{
		Station: h.Tide.Station, Source: h.Tide.Source, Caution: tide.Caution, From: from, Level: p.Level(from),
		Rising:   p.Level(from.Add(time.Minute)) > p.Level(from),
		Extremes: append([]tide.Extreme{}, p.Extremes(from, from.Add(span))...), StepMinutes: tideStepMinutes,
		Levels: p.Levels(from, tideStepMinutes*time.Minute, hours*60/tideStepMinutes+1),
	}, nil
}

// from reads the time of the parameter of that name; now where it is not given.
func (q *request) from() (time.Time, error) {
	text := q.query.Get("from")
	if text == "" {
		return time.Now().UTC(), nil
	}
	at, err := geo.ParseTime(text)
	if err != nil {
		return at, errors.Join(errQuery, err)
	}
	return at, nil
}

// tide answers with the predicted water from a time on; from now unless it is given.
func (q *request) tide() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	hours, err := q.count("hours", 25, 24*31)
	if err != nil {
		return err
	}
	from, err := q.from()
	if err != nil {
		return err
	}
	table, err := Tide(s.field.Harbor(), from, hours)
	if err != nil {
		return err
	}
	return q.writeJSON(table)
}
