package api

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"time"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/tide"
)

var weatherParams = []param{
	{name: "wind_from_deg", doc: "True direction from which the wind blows, degrees; 0 unless given."},
	{name: "wind_kn", doc: "Mean wind, knots; 0 unless given."},
	{name: "gust", doc: "Gust over mean wind, from 1 to 3; 1 unless given."},
	{name: "stream_to_deg", doc: "True direction towards which the stream sets, degrees; 0 unless given."},
	{name: "stream_kn", doc: "Stream, knots; 0 unless given."},
	{name: "level", doc: "Water level: low, high, now (by the harbor's tide), or metres above chart datum; low unless given."},
}

// weather reads the parameters of a weather.
func (q *request) weather(h *geo.Harbor) (w geo.Weather, err error) {
	w.GustRatio = 1
	windKn, streamKn := 0.0, 0.0
	for name, to := range map[string]*float64{"wind_from_deg": &w.WindFromDeg, "wind_kn": &windKn, "gust": &w.GustRatio,
		"stream_to_deg": &w.StreamToDeg, "stream_kn": &streamKn} {
		if *to, err = q.ratio(name, *to); err != nil {
			return w, err
		}
	}
	w.Wind, w.Stream = geo.Knots(windKn), geo.Knots(streamKn)
	if w.Level, err = Level(h, q.query.Get("level"), time.Now()); err != nil {
		return w, err
	}
	if err := w.Validate(); err != nil {
		return w, errors.Join(errQuery, err)
	}
	return w, nil
}

// Level reads a water level above chart datum as people say it: low, high, now, or metres; low where it is empty. Errors: ErrNoTide,
// geo.ErrUnknown without design levels, geo.ErrInvalid.
func Level(h *geo.Harbor, text string, now time.Time) (geo.Metres, error) {
	levels, known := h.Levels.Get()
	switch text = lower(text); text {
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
		return 0, fmt.Errorf("%w: level %q; low, high, now or metres above chart datum are wanted", geo.ErrInvalid, text)
	}
	return geo.Metres(v), nil
}

// inWeather answers with the field as it lies in one weather.
func (q *request) inWeather() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	w, err := q.weather(s.field.Harbor())
	if err != nil {
		return err
	}
	x, err := s.field.Weather(w)
	if err != nil {
		return err
	}
	q.write(newAnswer(geoJSONType, WeatherGeoJSON(x, s.field)))
	return nil
}

// WeatherGeoJSON is a field in a weather as one FeatureCollection: each hull as a polygon, each gap under the margin as a point in its
// middle, and each boat of which it cannot be told how she lies as a feature without a shape. Property kind says which: hull, gap or
// unknown.
func WeatherGeoJSON(x *clearance.InWeather, field *clearance.Field) []byte {
	f := newFeatures(nil)
	for i := range x.Boats {
		b := &x.Boats[i]
		f.begin(b.Number)
		ring := make(orb.Ring, 0, len(b.Hull)+1)
		for _, at := range b.Hull {
			ring = append(ring, field.Frame().Position(at).Point())
		}
		f.multiPolygon(orb.MultiPolygon{{append(ring, ring[0])}})
		f.weathered("hull", b.Number, b.Boat)
		f.number("load_n", float64(b.Load), 1)
		f.number("load_deg", b.LoadDeg, 2)
		f.number("stern_deg", b.SternDeg, 2)
		f.number("reach_m", float64(b.Reach), 3)
		f.text("lies_to", string(b.To))
		f.text("state", string(b.State))
		f.text("nearest", b.Nearest)
		f.number("gap_m", b.GapM.Or(math.NaN()), 3)
		f.number("margin_m", math.NaN(), 3)
		f.inWords(geo.Words{})
		f.close()
	}
	for rank, g := range x.Gaps {
		f.begin("gap " + strconv.Itoa(rank+1))
		f.point(g.At)
		f.weathered("gap", g.A, "")
		f.noLie()
		f.text("state", string(g.State))
		f.text("nearest", g.B)
		f.number("gap_m", g.GapM, 3)
		f.number("margin_m", g.MarginM, 3)
		f.inWords(geo.Words{})
		f.close()
	}
	for _, u := range x.Unknown {
		f.begin("unknown " + u.Mooring)
		f.out = append(f.out, `"geometry":null`...)
		f.weathered("unknown", u.Mooring, "")
		f.noLie()
		f.text("state", "")
		f.text("nearest", "")
		f.number("gap_m", math.NaN(), 3)
		f.number("margin_m", math.NaN(), 3)
		f.inWords(u.Words)
		f.close()
	}
	return f.end()
}

// weathered begins the properties of a feature of a field in a weather.
func (f *features) weathered(kind, number, boat string) {
	f.properties()
	f.text("kind", kind)
	f.text("number", number)
	f.text("boat", boat)
}

// inWords writes a sentence in both units.
func (f *features) inWords(words geo.Words) {
	f.text("words_feet", words.Feet)
	f.text("words_metres", words.Metres)
}

// noLie leaves empty what only a hull has.
func (f *features) noLie() {
	for _, name := range []string{"load_n", "load_deg", "stern_deg", "reach_m", "lies_to"} {
		f.text(name, "")
	}
}
