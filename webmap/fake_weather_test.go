package webmap_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"swingroom/geo"
)

const (
	fakeReachM   = 5.0
	fakeSlowKn   = 33.0 // at this wind the answer takes fakeSlow
	fakeSlow     = 700 * time.Millisecond
	fakeTideM    = 1.9
	fakeNextHigh = 2 * time.Hour
)

func number(q url.Values, name string) float64 {
	v, _ := strconv.ParseFloat(q.Get(name), 64)
	return v
}

// lying are the boats that can be laid, all alike: to the wind, or to the stream where one runs.
func (f *fake) lying(q url.Values) (boats []map[string]any, deg float64, to string) {
	deg, to = math.Mod(number(q, "wind_from_deg")+180, 360), "wind"
	if number(q, "stream_kn") > 0 {
		deg, to = number(q, "stream_to_deg"), "stream"
	}
	for _, m := range f.moorings {
		if m["status"] == "occupied" && m["rode_m"] != nil {
			boats = append(boats, m)
		}
	}
	return boats, deg, to
}

// fakeGaps are the gaps of the field. Wind from the east parts them all; the first is as many fiftieths of a metre as the wind is knots.
func fakeGaps(q url.Values, boats []map[string]any) []map[string]any {
	if w := number(q, "wind_from_deg"); w > 45 && w < 135 || len(boats) < 8 {
		return nil
	}
	gap := func(i, j int, gapM float64, state string) map[string]any {
		return map[string]any{"i": i, "j": j, "number": boats[i]["number"], "nearest": boats[j]["number"], "gap_m": gapM, "margin_m": 1.5,
			"state": state}
	}
	return []map[string]any{gap(2, 3, -2.5, "touching"), gap(0, 1, number(q, "wind_kn")/50, "may_touch"), gap(5, 6, 1.45, "tight")}
}

func (f *fake) weather(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if number(q, "wind_kn") == fakeSlowKn {
		time.Sleep(fakeSlow)
	}
	if q.Get("level") == "low" && number(q, "wind_kn") > 100 {
		problem(w, http.StatusBadRequest, "wind_kn is 101.0 kn; it has to lie between 0 and 100 kn", nil)
		return
	}
	boats, deg, to := f.lying(q)
	features := []any{}
	add := func(kind string, geometry any, more map[string]any) {
		properties := map[string]any{"kind": kind}
		for _, name := range []string{"boat", "load_n", "load_deg", "stern_deg", "reach_m", "lies_to", "state", "nearest", "gap_m",
			"margin_m", "words_feet", "words_metres"} {
			properties[name] = nil
		}
		for k, v := range more {
			properties[k] = v
		}
		features = append(features, map[string]any{"type": "Feature", "geometry": geometry, "properties": properties})
	}
	for _, m := range boats {
		bow := geo.Ahead(at(m), deg, fakeReachM)
		stern := geo.Ahead(bow, deg, geo.Metres(m["length_all_m"].(float64)))
		side := geo.Ahead(stern, deg+90, 1.55)
		ring := [][]float64{{bow.LonDeg, bow.LatDeg}, {stern.LonDeg, stern.LatDeg}, {side.LonDeg, side.LatDeg}, {bow.LonDeg, bow.LatDeg}}
		add("hull", map[string]any{"type": "Polygon", "coordinates": []any{ring}},
			map[string]any{"number": m["number"], "boat": m["boat"], "load_n": 200.0,
				"load_deg": deg, "stern_deg": deg, "reach_m": fakeReachM, "lies_to": to, "state": "clear"})
	}
	for _, g := range fakeGaps(q, boats) {
		p := at(f.mooring(g["number"].(string)))
		add("gap", map[string]any{"type": "Point", "coordinates": []float64{p.LonDeg, p.LatDeg}},
			map[string]any{"number": g["number"], "nearest": g["nearest"], "gap_m": g["gap_m"], "margin_m": g["margin_m"],
				"state": g["state"]})
	}
	for _, m := range f.moorings {
		if m["status"] == "occupied" && m["rode_m"] == nil {
			add("unknown", nil, map[string]any{"number": m["number"], "words_feet": "cannot be drawn: length of the rode is not on record",
				"words_metres": "cannot be drawn: length of the rode is not on record"})
		}
	}
	writeValue(w, map[string]any{"type": "FeatureCollection", "features": features})
}

// swinging turns all boats once round with the wind, or swings them to and fro over a tide.
func (f *fake) swinging(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	boats, _, _ := f.lying(q)
	play, n := q.Get("play"), 72
	if play == "tide" {
		n = 76
	}
	numbers, lengths, beams := []string{}, []float64{}, []float64{}
	for _, m := range boats {
		numbers, lengths, beams = append(numbers, m["number"].(string)), append(lengths, m["length_all_m"].(float64)),
			append(beams, m["beam_m"].(float64))
	}
	began := time.Now().UTC().Truncate(time.Minute)
	frames := []any{}
	for k := range n {
		from := number(q, "wind_from_deg")
		var moment any
		levelM := fakeLowM
		if play == "tide" {
			moment = began.Add(time.Duration(k) * 10 * time.Minute).Format(time.RFC3339)
			levelM = 1.8 - 1.4*math.Cos(2*math.Pi*float64(k)/75)
		} else {
			from = math.Mod(from+5*float64(k), 360)
		}
		deg := math.Mod(from+180+8*levelM, 360)
		lies, gaps := [][]float64{}, [][]float64{}
		for range boats {
			lies = append(lies, []float64{fakeReachM + levelM, math.Round(10*deg) / 10, math.Round(10*deg) / 10})
		}
		if k >= 10 && k < 20 && len(boats) > 8 {
			gaps = append(gaps, []float64{0, 1, 0.2 + math.Abs(float64(k)-15)/10})
		}
		frames = append(frames, map[string]any{"weather": map[string]any{"wind_from_deg": from, "wind_ms": number(q, "wind_kn") * 0.514444,
			"gust": 1, "stream_to_deg": number(q, "stream_to_deg"),
			"stream_ms": number(q, "stream_kn") * 0.514444, "level_m": levelM}, "at": moment, "lies": lies, "gaps": gaps})
	}
	writeValue(w, map[string]any{"play": play, "moorings": numbers, "length_m": lengths, "beam_m": beams, "frames": frames,
		"unknown": []any{}, "words": fmt.Sprintf("A made-up %s.", play)})
}

func (f *fake) tide(w http.ResponseWriter, _ *http.Request) {
	if f.noTide {
		problem(w, http.StatusNotFound, "no harmonic constants are on record", nil)
		return
	}
	now := time.Now().UTC().Truncate(time.Second)
	writeValue(w, map[string]any{"station": "Grid Landing", "source": "invented", "caution": "weather is not in it",
		"from": now.Format(time.RFC3339), "level_m": fakeTideM, "rising": true,
		"extremes":     []any{map[string]any{"at": now.Add(fakeNextHigh).Format(time.RFC3339), "level_m": fakeHighM, "high": true}},
		"step_minutes": 10, "levels_m": []float64{fakeTideM, fakeTideM + 0.1}})
}
