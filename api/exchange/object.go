package exchange

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"swingroom/geo"
)

// object is a JSON object whose keys are taken out one by one, so that what is left can be named: encoding/json reports only the first key
// that it does not know or cannot read, and here all are reported at once.
type object struct {
	r    *reader
	of   string // where it stands: "levels", "feature 3 North"
	raw  map[string]json.RawMessage
	good bool
}

func (r *reader) object(of string, raw map[string]json.RawMessage) *object {
	return &object{r: r, of: of, raw: maps.Clone(raw), good: true}
}

// wholeObject opens a file that is one JSON object.
func (r *reader) wholeObject(text []byte) (*object, bool) {
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(text, &raw); err != nil {
		r.problem(r.file, lineOf(text, err), "", "", "it is no JSON object: "+err.Error())
		return nil, false
	}
	return r.object("", raw), true
}

// refuse reports a key, and the object is not taken.
func (o *object) refuse(key, got, want string) {
	o.r.problem(o.r.file, 0, strings.TrimSpace(o.of+" "+key), got, want)
	o.good = false
}

// take takes a key out; ok is false where it is not there, or null.
func (o *object) take(key string) (raw json.RawMessage, ok bool) {
	raw, ok = o.raw[key]
	delete(o.raw, key)
	return raw, ok && string(raw) != "null"
}

// text takes a string, or a number written without quotes.
func (o *object) text(key string) (string, bool) {
	raw, ok := o.take(key)
	if !ok {
		return "", false
	}
	var s string
	if json.Unmarshal(raw, &s) == nil {
		return strings.TrimSpace(s), true
	}
	var n json.Number
	if json.Unmarshal(raw, &n) != nil {
		o.refuse(key, string(raw), "a text is expected")
		return "", false
	}
	return n.String(), true
}

// word takes a word of the program, such as the kind of a fairway.
func (o *object) word(key string) (string, bool) {
	text, ok := o.text(key)
	return programWord(text), ok
}

// programWord is a word of the program as people write it, in lower case, with underscores for spaces.
func programWord(text string) string { return strings.ReplaceAll(strings.ToLower(text), " ", "_") }

// number takes a number, or one in quotes; empty quotes say nothing.
func (o *object) number(key, unit string) (v float64, known bool) {
	raw, ok := o.take(key)
	if !ok {
		return 0, false
	}
	if json.Unmarshal(raw, &v) == nil {
		return v, true
	}
	var text string
	if json.Unmarshal(raw, &text) == nil {
		if strings.TrimSpace(text) == "" {
			return 0, false
		}
		if v, err := (dialect{comma: ','}).parse(text, unit); err == nil {
			return v, true
		}
	}
	o.refuse(key, string(raw), "a number is expected; leave it out where it is not known")
	return 0, false
}

// truth takes true or false, and leaves what is on file where the key is not there.
func (o *object) truth(key string, to *bool) {
	raw, ok := o.take(key)
	if !ok {
		return
	}
	switch string(raw) {
	case "true", "false":
		*to = string(raw) == "true"
	default:
		o.refuse(key, shorten(string(raw)), "true or false is expected, without quotes")
	}
}

// Measures of keys, besides those of columns. A key may be a unit and nothing else: kg_per_m.
var (
	speeds          = measure[geo.MetresPerSecond]{units: []unit{{"ms", 1}, {"kn", float64(geo.Knots(1))}}}
	massesPerLength = measure[float64]{units: []unit{{"kg_per_m", 1}, {"lb_per_ft", geo.KilogramsPerPound / geo.MetresPerFoot}}}
	densities       = measure[float64]{units: []unit{{"density_kg_m3", 1}}}
	pulls           = measure[float64]{units: []unit{{"n", 1}, {"lb", float64(geo.PoundsForce(1))}}}
	strains         = measure[float64]{units: []unit{{"strain", 1}}}
	weightRatios    = measure[float64]{units: []unit{{"over_weight", 1}}}
)

// figureAt takes a figure under its name and a unit, margin_m or margin_ft; a bare name is refused.
func figureAt[Q ~float64](o *object, name string, m measure[Q]) geo.Maybe[Q] {
	v := unitFigure(o, name, m)
	if _, bare := o.take(name); bare {
		o.refuse(name, "", "it has to say its unit: "+strings.Join(withUnits(name, m.units), " or "))
	}
	return v
}

// unitFigure takes a figure under its name and a unit, and leaves the bare name to something else.
func unitFigure[Q ~float64](o *object, name string, m measure[Q]) (v geo.Maybe[Q]) {
	for i, key := range withUnits(name, m.units) {
		if x, ok := o.number(key, m.units[i].name); ok {
			v = geo.Known(Q(x * m.units[i].one))
		}
	}
	return v
}

// needed takes a figure that its entry cannot be without.
func needed[Q ~float64](o *object, name string, m measure[Q]) Q {
	reported := len(o.r.im.Problems)
	v, known := figureAt(o, name, m).Get()
	if !known && len(o.r.im.Problems) == reported { // a figure that is there and cannot be read is reported once
		o.refuse(strings.Join(withUnits(name, m.units), " or "), "", "a figure is expected")
	}
	return v
}

// replace puts a figure in the place of one on file, where it is known.
func replace[T any](to *geo.Maybe[T], v geo.Maybe[T]) {
	if v.IsKnown() {
		*to = v
	}
}

// inner takes an object within the object.
func (o *object) inner(key string) (*object, bool) {
	raw, ok := o.take(key)
	if !ok {
		return nil, false
	}
	var inner map[string]json.RawMessage
	if json.Unmarshal(raw, &inner) != nil {
		o.refuse(key, shorten(string(raw)), "an object { } is expected")
		return nil, false
	}
	return o.r.object(key, inner), true
}

// entries opens a list of objects. Each is reported as one and its place; holds is what belongs into one.
func (o *object) entries(key string, list json.RawMessage, one, holds string) (entries []*object) {
	var raw []map[string]json.RawMessage
	if json.Unmarshal(list, &raw) != nil {
		o.refuse(key, shorten(string(list)), "a list of "+holds+" is expected")
	}
	for i, r := range raw {
		entries = append(entries, o.r.object(fmt.Sprintf("%s %d", one, i+1), r))
	}
	return entries
}

// end is done with an entry: what is wrong in it is wrong in the whole.
func (o *object) end(entry *object) {
	entry.reportUnknown()
	o.good = o.good && entry.good
}

// reportUnknown tells of the keys that nobody took.
func (o *object) reportUnknown() {
	for _, key := range slices.Sorted(maps.Keys(o.raw)) {
		o.r.notice(o.r.file, 0, "%s is not known and left alone", strings.TrimSpace(o.of+" "+key))
	}
}

// lineOf finds the line of a JSON error; 0 where the error does not say.
func lineOf(text []byte, err error) int {
	if offset := offsetOf(err); offset >= 0 {
		return bytes.Count(text[:min(offset, len(text))], []byte("\n")) + 1
	}
	return 0
}

// offsetOf is how far a JSON text was read before an error; -1 where the error does not say.
func offsetOf(err error) int {
	switch e := err.(type) {
	case *json.SyntaxError:
		return int(e.Offset)
	case *json.UnmarshalTypeError:
		return int(e.Offset)
	}
	return -1
}
