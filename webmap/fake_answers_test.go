package webmap_test

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"swingroom/geo"
)

func (f *fake) info(slug string) map[string]any {
	south, north := place(-4, -4), place(60, 40)
	for _, m := range f.moorings {
		north.LatDeg, north.LonDeg = max(north.LatDeg, at(m).LatDeg), max(north.LonDeg, at(m).LonDeg)
	}
	info := map[string]any{"slug": slug, "name": "Grid Sound", "units": "metres", "revision": 1,
		"caution": "planning aid, not for navigation",
		"levels":  map[string]any{"datum": "mean lower low water", "low_m": fakeLowM, "high_m": fakeHighM},
		"bounds":  []float64{south.LonDeg, south.LatDeg, north.LonDeg, north.LatDeg}, "background": nil, "worst": nil,
		"counts": map[string]int{"moorings": len(f.moorings), "conflicts": len(f.conflicts), "hazards": len(f.hazards),
			"unknown": len(f.unknown)},
		"areas": []any{map[string]any{"name": "West", "moorings": 1, "rules": map[string]any{}},
			map[string]any{"name": "East", "moorings": 1, "rules": map[string]any{}}}}
	if len(f.moorings) == 0 {
		info["bounds"], info["areas"] = nil, []any{}
	}
	if len(f.conflicts) > 0 {
		info["worst"] = map[string]any{"a": f.conflicts[0]["a"], "b": f.conflicts[0]["b"]}
	}
	return info
}

// ground is a square of water with a strip of land at its west side, in bands, and a fairway at its south.
func (f *fake) ground(noun string) map[string]any {
	square := func(c0, r0, c1, r1 float64) any {
		var ring [][]float64
		for _, c := range [][2]float64{{c0, r0}, {c1, r0}, {c1, r1}, {c0, r1}, {c0, r0}} {
			p := place(c[0], c[1])
			ring = append(ring, []float64{p.LonDeg, p.LatDeg})
		}
		return map[string]any{"type": "MultiPolygon", "coordinates": []any{[]any{ring}}}
	}
	feature := func(geometry any, properties map[string]any) any {
		return map[string]any{"type": "Feature", "geometry": geometry, "properties": properties}
	}
	features := []any{}
	if len(f.moorings) > 0 {
		switch noun {
		case "areas":
			features = append(features, feature(square(-1, -1, 30, 40), map[string]any{"name": "West"}),
				feature(square(30, -1, 60, 40), map[string]any{"name": "East"}))
		case "fairways":
			features = append(features, feature(square(-2, -3, 60, -2),
				map[string]any{"name": "South channel", "kind": "fairway", "reason": "", "setback_m": 3}),
				feature(square(10, -1.5, 14, -1), map[string]any{"name": "Eelgrass", "kind": "closed_water", "reason": "eelgrass",
					"setback_m": 5}))
		case "shoreline":
			features = append(features, feature(square(-12, -12, -4, 60), map[string]any{"kind": "land"}))
		case "depth_areas":
			for i, edge := range []float64{-4, -3, -2, -1, 0} {
				from, to := any([]any{nil, 0.0, 2.0, 5.0, 10.0}[i]), any([]any{0.0, 2.0, 5.0, 10.0, nil}[i])
				right := edge + 1
				if i == 4 {
					right = 70
				}
				features = append(features, feature(square(edge, -12, right, 60), map[string]any{"from_m": from, "to_m": to}))
			}
		case "depth_lines":
			a, b := place(-1, -12), place(-1, 60)
			features = append(features, feature(map[string]any{"type": "LineString",
				"coordinates": [][]float64{{a.LonDeg, a.LatDeg}, {b.LonDeg, b.LatDeg}}}, map[string]any{"depth_m": 5}))
		case "soundings":
			for i := range 1500 {
				p := place(float64(i%60), float64(i/60)*1.5-0.4)
				features = append(features, feature(map[string]any{"type": "Point", "coordinates": []float64{p.LonDeg, p.LatDeg}},
					map[string]any{"depth_m": 10 + float64(i%30)/10}))
			}
		}
	}
	return map[string]any{"type": "FeatureCollection", "features": features}
}

func (f *fake) mooring(number string) map[string]any {
	for _, m := range f.moorings {
		if m["number"] == number {
			return m
		}
	}
	return nil
}

func step(symbol, name, formula string, value any, from string) map[string]any {
	return map[string]any{"symbol": symbol, "name": name, "formula": formula, "value": value, "unit": "m", "from": from, "note": ""}
}

func swingOf(m map[string]any) map[string]any {
	swing := map[string]any{"rule": "taut", "radius_m": m["radius_m"], "bound": false, "basis": m["radius_basis"], "working": []any{},
		"missing": []string{}, "faults": []any{}}
	radius, known := m["radius_m"].(float64)
	if !known {
		swing["missing"] = []string{"rode_m"}
		return swing
	}
	swing["working"] = []any{step("L", "rode", "", 12.0, "record"),
		step("d", "depth at the anchor below chart datum, from the soundings", "", 5.5, "computed"),
		step("w_low", "low level above chart datum", "", fakeLowM, "default"), step("b", "bow height", "", 1.2, "record"),
		step("h", "height from bed to bow at low water", "D_low + b", 5.5+fakeLowM+1.2, "computed"),
		step("o", "boat's length with everything fixed to it", "", 9.9, "record"),
		step("X", "reach of the rode drawn taut", "sqrt(L² - h²)", radius-9.9, "computed"),
		step("R", "swing radius", "X + o", radius, "computed")}
	return swing
}

func (f *fake) sheet(w http.ResponseWriter, r *http.Request) {
	number := r.PathValue("number")
	m := f.mooring(number)
	if set := f.acts.mooring(number); set != nil {
		m = set
	}
	if m == nil {
		problem(w, http.StatusNotFound, "there is no mooring "+number, nil)
		return
	}
	about := func(all []map[string]any, keys ...string) []any {
		found := []any{}
		for _, each := range all {
			for _, k := range keys {
				if each[k] == number {
					found = append(found, each)
				}
			}
		}
		return found
	}
	p := at(m)
	neighbours := []any{}
	for _, each := range f.nearest(p, 5)[1:] {
		n := each.(map[string]any)
		distance, bearing := geo.Geodesic(p, geo.Position{LatDeg: n["lat_deg"].(float64), LonDeg: n["lon_deg"].(float64)})
		neighbours = append(neighbours, map[string]any{"number": n["number"], "distance_m": distance, "bearing_true_deg": bearing,
			"gap_m": 12.0, "state": "clear",
			"lying": "independent", "unison": apart(1.4, n)})
	}
	lying := "independent"
	for _, each := range about(f.conflicts, "a", "b") {
		if k := each.(map[string]any); k["lying"] == "in_unison" {
			lying = "in_unison"
			beside := neighbours[0].(map[string]any)
			beside["number"], beside["gap_m"], beside["lying"], beside["unison"], beside["state"] = k["b"], -fakeCirclesOverlapM, lying,
				k["unison"], k["state"]
			if k["b"] == number {
				beside["number"] = k["a"]
			}
		}
	}
	winter := map[string]any{"radius_m": nil, "calm_m": nil, "under_above_m": nil, "below_m": nil, "missing": []string{"marker_line_m"}}
	if m["status"] != "vacant" {
		winter = map[string]any{"radius_m": 14.4, "calm_m": nil, "under_above_m": 2.6, "below_m": 8.0, "missing": []string{}}
	}
	writeValue(w, map[string]any{
		"mooring": f.recordOf("mooring", number), "owner": f.ownerOf(number), "notes": f.records.notesOf(number),
		"positions": map[string]any{"dd": p.DD(), "ddm": p.DDM(), "dms": p.DMS()},
		"rules": map[string]any{"margin_m": 1.5, "swing": map[string]any{"rule": "taut"}, "lying": lying,
			"design": map[string]any{"wind_ms": knot * 42, "gust": nil, "scatter_deg": 15, "stream_ms": knot * 1.2, "stream_deg": 20}},
		"depth":    map[string]any{"depth_m": 5.5, "from": "computed", "why": said("")},
		"accuracy": map[string]any{"accuracy_m": 1.0, "from": "record"},
		"swing":    swingOf(m), "by_rules": byRules(m), "winter_watch": winter,
		"watch": map[string]any{"radius_m": 9.5, "calm_m": 7.0, "under_above_m": 5.0, "below_m": 10.0, "missing": []string{}},
		"state": m["state"], "neighbours": neighbours,
		"conflicts": about(f.conflicts, "a", "b"), "hazards": about(f.hazards, "mooring"), "troubles": about(f.troubles, "mooring"),
		"unknown": about(f.unknown, "mooring"),
	})
}

// byRules gives the rule taut as it is on the sheet, and two others beside it.
func byRules(m map[string]any) []any {
	taut := swingOf(m)
	radius, known := m["radius_m"].(float64)
	rules := []any{}
	for rule, more := range map[string]float64{"stretched": 1, "taut": 0, "catenary": 0.4} {
		each := map[string]any{"rule": rule, "radius_m": nil, "bound": false, "working": taut["working"], "missing": taut["missing"],
			"words": told(rule+": what it gives up in 1.3 ft", rule+": what it gives up in 0.4 m")}
		if known {
			each["radius_m"] = radius + more
		}
		rules = append(rules, each)
		if rule != "catenary" {
			continue
		}
		measured := func(symbol, name, formula string, value float64, unit string) map[string]any {
			s := step(symbol, name, formula, value, "computed")
			s["unit"] = unit
			return s
		}
		each["working"] = []any{measured("V", "design wind", "", 42, "kn"), measured("A", "front above the water", "", 5.6344, "m²"),
			measured("F_w", "force of the wind", "0.5 · 1.221 · (0.5144 · G · V)² · A", 2713.903, "N"),
			measured("R", "swing radius", "X + o", radius+more, "m")}
	}
	slices.SortFunc(rules, func(a, b any) int {
		order := []string{"stretched", "taut", "catenary"}
		return slices.Index(order, a.(map[string]any)["rule"].(string)) - slices.Index(order, b.(map[string]any)["rule"].(string))
	})
	return rules
}

// knot in metres a second.
const knot = 1852.0 / 3600

// fakeCirclesOverlapM is by how much the circles overlap of a pair that lies in unison; it is never what the pair is judged by.
const fakeCirclesOverlapM = 9.0

// Of a pair in unison: by how much the hulls overlap, or how near they come.
const fakeHullsOverlapM, fakeHullsGapM = 1.7, 0.8

// unison makes two moorings whose circles overlap lie in unison: the hulls of a touch or, of a pair that is not loud, come close. Both lie
// north and south over the middle of the lens, a's to the north.
func (f *fake) unison(a, b map[string]any, loud bool) {
	f.touch(a, b, fakeCirclesOverlapM)
	k := f.conflicts[len(f.conflicts)-1]
	overlapM, state := fakeHullsOverlapM, "touching"
	if !loud {
		overlapM, state = -fakeHullsGapM, "tight"
	}
	a["state"], b["state"] = state, state
	where := k["at"].(map[string]any)
	mid := geo.Position{LatDeg: where["lat_deg"].(float64), LonDeg: where["lon_deg"].(float64)}
	k["lying"], k["overlap_m"], k["state"] = "in_unison", overlapM, state
	k["unison"] = map[string]any{"gap_m": -overlapM, "a_deg": 15, "b_deg": -15, "at": where, "why": said(""),
		"weather": map[string]any{"wind_from_deg": 201, "wind_ms": knot * 7, "gust": 1.3, "stream_to_deg": 200, "stream_ms": knot * 1.2,
			"level_m": fakeLowM},
		"hull_a": fakeHull(mid, 9.9-overlapM/2), "hull_b": fakeHull(mid, overlapM/2)}
}

// fakeHull is 9.9 m long and 3.1 m wide, her stem northM north of a place and her stern to the south of it.
func fakeHull(from geo.Position, northM float64) [][]float64 {
	var ring [][]float64
	for _, c := range [][2]float64{{0, 0}, {1.55, -4}, {1.55, -9.9}, {-1.55, -9.9}, {-1.55, -4}, {0, 0}} {
		p := geo.Ahead(geo.Ahead(from, 0, geo.Metres(northM+c[1])), 90, geo.Metres(c[0]))
		ring = append(ring, []float64{p.LonDeg, p.LatDeg})
	}
	return ring
}

// apart is how near two hulls come that are not judged by it.
func apart(gapM float64, n map[string]any) map[string]any {
	return map[string]any{"gap_m": gapM, "a_deg": 0, "b_deg": 0, "at": map[string]any{"lat_deg": n["lat_deg"], "lon_deg": n["lon_deg"]},
		"why": said(""), "hull_a": nil, "hull_b": nil,
		"weather": map[string]any{"wind_from_deg": 196, "wind_ms": knot * 7, "gust": 1.3, "stream_to_deg": 200, "stream_ms": knot * 1.2,
			"level_m": fakeLowM}}
}

// reach knows the beam of every boat but the second.
func (f *fake) reach(w http.ResponseWriter, r *http.Request) {
	number := r.PathValue("number")
	if number == "002" {
		problem(w, http.StatusUnprocessableEntity, "mooring 002: beam_m is not on record; without it there is no telling how the boat lies",
			nil)
		return
	}
	rows := []any{}
	for _, levelM := range []float64{fakeLowM, fakeHighM} {
		for _, kn := range []float64{0, 20, 42} {
			row := map[string]any{"level_m": levelM, "wind_ms": kn * knot, "load_n": 1.5 * kn * kn, "table_load_n": 3.4 * kn * kn,
				"table_why": said(""), "radius_m": 14 + kn/50, "table_radius_m": 15 + kn/50, "words": said(""),
				"state": map[string]any{"on_bed_m": 9 - kn/5, "anchor_pull_n": 1.6 * kn * kn, "anchor_pull_up_deg": kn / 3,
					"buoy": map[string]any{"place": "afloat"}}}
			if levelM == fakeHighM && kn > 0 {
				row["words"] = told(fmt.Sprintf("the buoy goes under: the line asks for %.0f lbf and it lifts 102 lbf; a ball of 1.8 ft "+
					"would carry it", (600+kn)/4.4482216),
					fmt.Sprintf("the buoy goes under: the line asks for %.0f N and it lifts 453 N; a ball of 0.52 m would carry it",
						600+kn))
				row["state"].(map[string]any)["buoy"] = map[string]any{"place": "under"}
			}
			rows = append(rows, row)
		}
	}
	writeValue(w, map[string]any{"mooring": number, "length_m": 9.9, "windage": map[string]any{"front_m2": 5.6}, "buoy_lift_n": 453.0,
		"assumed": []string{"the pennant is of nylon"}, "gust": 1.3, "stream_ms": 0, "rows": rows,
		"parts": []any{map[string]any{"name": "top chain", "length_m": 9.0, "weight_n_per_m": 31.72, "stretches": false},
			map[string]any{"name": "pennant", "length_m": 3.0, "weight_n_per_m": 2.18, "stretches": true}}})
}

// trial makes any boat over 12 m touch the first mooring by what she is longer.
func (f *fake) trial(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	p, number := fakeOrigin, q.Get("number")
	if m := f.mooring(number); m != nil {
		p = at(m)
	} else if n, _ := fmt.Sscanf(q.Get("position"), "%f, %f", &p.LatDeg, &p.LonDeg); n != 2 {
		problem(w, http.StatusBadRequest, "a position or a number is expected", nil)
		return
	}
	loaM, _ := strconv.ParseFloat(q.Get("loa_m"), 64)
	fit := fitOf(number, f.moorings[0])
	if loaM > 12 {
		touching := verdictOf("neighbour", "conflict", "001", false, 12-loaM, 1.5, "m",
			told(fmt.Sprintf("touches 001: the swing circles overlap by %.1f ft", (loaM-12)/0.3048),
				fmt.Sprintf("touches 001: the swing circles overlap by %.1f m", loaM-12)))
		touching["reason"], touching["certainty"], touching["at"] = "overlaps", "certain",
			map[string]any{"lat_deg": p.LatDeg, "lon_deg": p.LonDeg}
		fit["verdicts"], fit["outcome"], fit["words"] = []any{touching}, "does_not_fit", said("Touches 001.")
	}
	writeValue(w, map[string]any{"number": number,
		"position": map[string]any{"lat_deg": p.LatDeg, "lon_deg": p.LonDeg, "dd": p.DD(), "ddm": p.DDM(), "dms": p.DMS()},
		"fits":     fit["outcome"] == "fits", "fit": fit})
}

func (f *fake) places(w http.ResponseWriter, r *http.Request) {
	places := []any{}
	for i, m := range f.moorings {
		if m["status"] != "vacant" {
			continue
		}
		var fits any = true
		fit := fitOf(m["number"].(string), m)
		if i%80 > 40 {
			fits, fit["outcome"], fit["words"] = nil, "cannot_be_said", said("Cannot be said: depth is not on record.")
		}
		places = append(places, map[string]any{"number": m["number"], "area": m["area"], "fits": fits, "least_gap_m": 3.5, "fit": fit})
	}
	writeValue(w, map[string]any{"places": places})
}
