package office

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/tide"
)

// WeatherQuestion is one weather.
type WeatherQuestion struct {
	WindFromDeg float64            `json:"wind_from_deg"`
	WindKn      float64            `json:"wind_kn"` // mean
	Gust        geo.Maybe[float64] `json:"gust"`    // over the mean wind, from 1 to 3; 1 unless said
	StreamToDeg float64            `json:"stream_to_deg"`
	StreamKn    float64            `json:"stream_kn"`
	Level       string             `json:"level"` // see [Level]
}

// weather is the weather that is meant. Errors: geo.ErrInvalid, those of [Level].
func (q *WeatherQuestion) weather(h *geo.Harbor) (w geo.Weather, err error) {
	w = geo.Weather{WindFromDeg: q.WindFromDeg, Wind: geo.Knots(q.WindKn), GustRatio: q.Gust.Or(1), StreamToDeg: q.StreamToDeg,
		Stream: geo.Knots(q.StreamKn)}
	if w.Level, err = Level(h, q.Level, time.Now()); err != nil {
		return w, err
	}
	return w, w.Validate()
}

// Weather lays the field to one weather. Errors: geo.ErrInvalid, those of [Level].
func (h *Harbor) Weather(q WeatherQuestion) (*clearance.InWeather, error) {
	w, err := q.weather(h.Field.Harbor())
	if err != nil {
		return nil, err
	}
	return h.Field.Weather(w)
}

// Level reads a water level above chart datum as people say it: low, high, now, or metres; low where it is empty. Errors: ErrNoTide,
// geo.ErrUnknown without design levels, geo.ErrInvalid.
func Level(h *geo.Harbor, text string, now time.Time) (geo.Metres, error) {
	levels, known := h.Levels.Get()
	switch text = fold(text); text {
	case "now":
		if h.Tide == nil {
			return 0, ErrNoTide
		}
		p, err := tide.New(*h.Tide)
		if err != nil {
			return 0, err
		}
		return p.Level(now), nil
	case "low", "high", "":
		if !known {
			return 0,
				fmt.Errorf("%w: the harbor's design levels are not on record; give the level in metres above chart datum", geo.ErrUnknown)
		}
		if text == "high" {
			return levels.High, nil
		}
		return levels.Low, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%w: level %q; low, high, now or metres above chart datum are expected", geo.ErrInvalid, text)
	}
	return geo.Metres(v), nil
}
