package exchange

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"swingroom/geo"
)

// fields is a JSON object whose keys are taken out one by one, so that what is left can be named.
type fields struct {
	r    *reader
	of   string // where it stands: "levels", "feature 3 North"
	raw  map[string]json.RawMessage
	good bool
}

func (r *reader) fields(of string, raw map[string]json.RawMessage) *fields {
	return &fields{r: r, of: of, raw: maps.Clone(raw), good: true}
}

func (f *fields) wrong(key, got, want string) {
	f.r.problem(f.r.file, 0, strings.TrimSpace(f.of+" "+key), got, want)
	f.good = false
}

func (f *fields) take(key string) (json.RawMessage, bool) {
	raw, ok := f.raw[key]
	delete(f.raw, key)
	return raw, ok && string(raw) != "null"
}

// text takes a string, or a number written without quotes.
func (f *fields) text(key string) (string, bool) {
	raw, ok := f.take(key)
	if !ok {
		return "", false
	}
	var s string
	if json.Unmarshal(raw, &s) != nil {
		var n json.Number
		if json.Unmarshal(raw, &n) != nil {
			f.wrong(key, string(raw), "a text is expected")
			return "", false
		}
		s = n.String()
	}
	return strings.TrimSpace(s), true
}

// number takes a number, or one in quotes.
func (f *fields) number(key, unit string) (float64, bool) {
	raw, ok := f.take(key)
	if !ok {
		return 0, false
	}
	var v float64
	if json.Unmarshal(raw, &v) == nil {
		return v, true
	}
	var s string
	if json.Unmarshal(raw, &s) == nil {
		if strings.TrimSpace(s) == "" {
			return 0, false
		}
		if v, err := (dialect{comma: ','}).number(s, unit); err == nil {
			return v, true
		}
	}
	f.wrong(key, string(raw), "a number is expected; leave it out where it is not known")
	return 0, false
}

// truth takes true or false, and leaves what is on file where the key is not there.
func (f *fields) truth(key string, to *bool) {
	raw, ok := f.take(key)
	if !ok {
		return
	}
	switch string(raw) {
	case "true", "false":
		*to = string(raw) == "true"
	default:
		f.wrong(key, shorten(string(raw)), "true or false is expected, without quotes")
	}
}

// unit is the end of a key and what one of it is in the unit of the core.
type unit struct {
	name string
	one  float64
}

var (
	lengths = []unit{{"m", unitMetres["m"]}, {"ft", unitMetres["ft"]}}
	sizes   = []unit{{"mm", unitMetres["mm"]}, {"in", unitMetres["in"]}}
	speeds  = []unit{{"ms", 1}, {"kn", float64(geo.Knots(1))}}
)

// keys are the names under which a figure may stand, a unit each.
func keys(name string, units []unit) (all []string) {
	for _, u := range units {
		all = append(all, strings.TrimPrefix(name+"_"+u.name, "_"))
	}
	return all
}

// yes reads true or false.
func (f *fields) yes(key string) (yes, ok bool) {
	raw, ok := f.take(key)
	if !ok {
		return false, false
	}
	if err := json.Unmarshal(raw, &yes); err != nil {
		f.wrong(key, string(raw), "true or false is expected")
		return false, false
	}
	return yes, true
}

// measure takes a figure under its name and a unit; a bare name is refused.
func (f *fields) measure(name string, units []unit) (v float64, known bool) {
	all := keys(name, units)
	for i, key := range all {
		if x, ok := f.number(key, units[i].name); ok {
			v, known = x*units[i].one, true
		}
	}
	if _, bare := f.take(name); bare {
		f.wrong(name, "", "it has to say its unit: "+strings.Join(all, " or "))
	}
	return v, known
}

// metres takes a length: margin_m or margin_ft.
func (f *fields) metres(name string) (m geo.Maybe[geo.Metres]) {
	if v, known := f.measure(name, lengths); known {
		m = geo.Known(geo.Metres(v))
	}
	return m
}

// speed takes a speed: stream_kn or stream_ms.
func (f *fields) speed(name string) (s geo.Maybe[geo.MetresPerSecond]) {
	if v, known := f.measure(name, speeds); known {
		s = geo.Known(geo.MetresPerSecond(v))
	}
	return s
}

// left tells of keys that nobody took.
func (f *fields) left() {
	for _, key := range slices.Sorted(maps.Keys(f.raw)) {
		f.r.notice(f.r.file, 0, "%s is not known and left alone", strings.TrimSpace(f.of+" "+key))
	}
}

// rules takes the rules of an area, or of the harbor's defaults, over those given.
func (f *fields) rules(rules *geo.Rules) {
	if kind, ok := f.text("rule"); ok {
		rules.Swing = geo.SwingRule{Kind: geo.RuleKind(strings.ToLower(kind))}
	}
	for key, to := range map[string]*float64{"scope": &rules.Swing.ScopeRatio, "formula_loa": &rules.Swing.LOARatio,
		"formula_depth": &rules.Swing.DepthRatio} {
		if v, ok := f.number(key, ""); ok {
			*to = v
		}
	}
	for name, to := range map[string]*geo.Metres{"formula_constant": &rules.Swing.Constant, "margin": &rules.Margin,
		"keel_margin": &rules.KeelMargin} {
		*to = f.metres(name).Or(*to)
	}
	for name, to := range map[string]*geo.Maybe[geo.Metres]{"largest_loa": &rules.LargestLOA, "largest_draft": &rules.LargestDraft} {
		if v := f.metres(name); v.IsKnown() {
			*to = v
		}
	}
	if lying, ok := f.text("lying"); ok {
		rules.Lying = geo.Lying(strings.ReplaceAll(strings.ToLower(lying), " ", "_"))
	}
	f.design(&rules.Design)
}

// design takes the design weather among the rules.
func (f *fields) design(d *geo.Design) {
	for name, to := range map[string]*geo.Maybe[geo.MetresPerSecond]{"design_wind": &d.Wind, "stream": &d.Stream} {
		if v := f.speed(name); v.IsKnown() {
			*to = v
		}
	}
	for key, to := range map[string]*geo.Maybe[float64]{"gust": &d.GustRatio, "scatter_deg": &d.ScatterDeg, "stream_deg": &d.StreamDeg} {
		if v, ok := f.number(key, ""); ok {
			*to = geo.Known(v)
		}
	}
	if off, ok := f.yes("calm_off"); ok {
		d.CalmOff = off
	}
}

// wholeObject takes a file that is one JSON object apart.
func (r *reader) wholeObject(text []byte) (*fields, bool) {
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(text, &raw); err != nil {
		r.problem(r.file, lineOf(text, err), "", "", "it is no JSON object: "+err.Error())
		return nil, false
	}
	return r.fields("", raw), true
}

// harborJSON reads harbor.json over what is on file.
func (r *reader) harborJSON(text []byte) {
	f, ok := r.wholeObject(text)
	if !ok {
		return
	}
	if name, ok := f.text("name"); ok {
		r.h.Name = name
	}
	if units, ok := f.text("units"); ok {
		r.h.Units = geo.Units(strings.ToLower(units))
	}
	if levels, ok := f.object("levels"); ok {
		low, high := levels.metres("low"), levels.metres("high")
		datum, _ := levels.text("datum")
		if !low.IsKnown() || !high.IsKnown() {
			levels.wrong("", "", "both low_m and high_m (or _ft) above chart datum are expected")
		}
		r.h.Levels = geo.Known(geo.Levels{Datum: datum, Low: low.Or(0), High: high.Or(0)})
		levels.left()
	}
	if defaults, ok := f.object("defaults"); ok {
		d := &r.h.Defaults
		defaults.rules(&d.Rules)
		if v := defaults.metres("accuracy"); v.IsKnown() {
			d.Accuracy = v
		}
		d.ShoreSetback = defaults.metres("shore_setback").Or(d.ShoreSetback)
		d.SoundingReach = defaults.metres("sounding_reach").Or(d.SoundingReach)
		defaults.left()
	}
	if lines, ok := f.object("lines"); ok {
		lines.lines(&r.h.Defaults.Lines)
	}
	f.public(&r.h.Public)
	if background, ok := f.object("background"); ok {
		url, _ := background.text("url")
		attribution, _ := background.text("attribution")
		if !strings.HasPrefix(url, "http://") && !strings.HasPrefix(url, "https://") || !strings.Contains(url, "{z}") ||
			!strings.Contains(url, "{x}") || !strings.Contains(url, "{y}") {
			background.wrong("url", url, "an http or https address with {z}, {x} and {y} is expected")
		}
		r.h.Background = &geo.Background{URL: url, Attribution: attribution}
		background.left()
	}
	f.left()
}

// public takes the list of what the public may see beyond the map, in place of that on file.
func (f *fields) public(to *[]geo.Shown) {
	raw, ok := f.take("public")
	if !ok {
		return
	}
	var kinds []geo.Shown
	if json.Unmarshal(raw, &kinds) != nil {
		f.wrong("public", shorten(string(raw)), fmt.Sprintf("a list of some of %v is expected", geo.AllShown()))
		return
	}
	if len(kinds) == 0 {
		kinds = nil // the public sees the map, and no more
	}
	*to = kinds
}

func (f *fields) object(key string) (*fields, bool) {
	raw, ok := f.take(key)
	if !ok {
		return nil, false
	}
	var inner map[string]json.RawMessage
	if json.Unmarshal(raw, &inner) != nil {
		f.wrong(key, shorten(string(raw)), "an object { } is expected")
		return nil, false
	}
	return f.r.fields(key, inner), true
}

// lineOf finds the line of a JSON error; 0 where the error does not say.
func lineOf(text []byte, err error) int {
	var offset int64
	switch e := err.(type) {
	case *json.SyntaxError:
		offset = e.Offset
	case *json.UnmarshalTypeError:
		offset = e.Offset
	default:
		return 0
	}
	return strings.Count(string(text[:min(int(offset), len(text))]), "\n") + 1
}
