package office

import (
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

// TideOf predicts a harbor's water from a time on. Errors: ErrNoTide, geo.ErrInvalid.
func TideOf(h *geo.Harbor, from time.Time, hours int) (*TideTable, error) {
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

// TideQuestion is the span of time of which the water is asked for.
type TideQuestion struct {
	From  string `json:"from"`  // see geo.ParseTime; empty: from now on
	Hours Count  `json:"hours"` // 25 unless said
}

// maxTideHours is the longest span of one answer: a month with all its springs and neaps.
const maxTideHours = 24 * 31

// Tide predicts the harbor's water. Errors: as [TideOf], geo.ErrInvalid.
func (h *Harbor) Tide(q TideQuestion) (*TideTable, error) {
	hours, err := within("hours", q.Hours, 25, maxTideHours)
	if err != nil {
		return nil, err
	}
	from, err := timeOrNow(q.From)
	if err != nil {
		return nil, err
	}
	return TideOf(h.Field.Harbor(), from, hours)
}

// timeOrNow reads a time; now where none is said.
func timeOrNow(text string) (time.Time, error) {
	if text == "" {
		return time.Now().UTC(), nil
	}
	return geo.ParseTime(text)
}
