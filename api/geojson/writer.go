package geojson

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"swingroom/geo"
)

// features writes a FeatureCollection by RFC 7946: seven decimals, every property in every feature, null where empty. It appends to one
// slice, for thousands of features go out at once.
type features struct {
	out     []byte
	count   int
	first   bool // no property of this feature is written yet
	box     *Box // shapes outside it are left out; nil takes all
	from    int  // where the feature under way begins
	outside bool // it lies outside the box
}

func newFeatures(box *Box) *features {
	return &features{box: box, out: append(make([]byte, 0, 64<<10), `{"type":"FeatureCollection","features":[`...)}
}

func (f *features) end() []byte { return append(f.out, `]}`...) }

// begin opens a feature; an empty id is none.
func (f *features) begin(id string) {
	f.from, f.outside = len(f.out), false
	if f.count++; f.count > 1 {
		f.out = append(f.out, ',', '\n')
	}
	f.out = append(f.out, `{"type":"Feature",`...)
	if id != "" {
		f.out = append(f.out, `"id":`...)
		f.out = appendText(f.out, id)
		f.out = append(f.out, ',')
	}
}

func (f *features) properties() {
	f.out = append(f.out, `,"properties":{`...)
	f.first = true
}

// close ends a feature, and takes it back when its shape lies outside the box.
func (f *features) close() {
	f.out = append(f.out, `}}`...)
	if f.outside {
		f.out = f.out[:f.from]
		f.count--
	}
}

// shaped notes whether any piece of a shape touches the box.
func (f *features) shaped(pieces ...orb.Bound) {
	f.outside = f.box != nil && !slices.ContainsFunc(pieces, f.box.touches)
}

func (f *features) key(name string) {
	if !f.first {
		f.out = append(f.out, ',')
	}
	f.first = false
	f.out = append(append(append(f.out, '"'), name...), '"', ':')
}

// text writes a property; an empty text is null.
func (f *features) text(name, value string) {
	f.key(name)
	if value == "" {
		f.out = append(f.out, `null`...)
		return
	}
	f.out = appendText(f.out, value)
}

// metres writes a length to the millimetre; unknown is null.
func (f *features) metres(name string, v geo.Maybe[geo.Metres]) { property(f, name, v, 3) }

// property writes a figure of any unit with so many decimals; unknown is null.
func property[T ~float64](f *features, name string, v geo.Maybe[T], decimals int) {
	if x, known := v.Get(); known {
		f.number(name, float64(x), decimals)
		return
	}
	f.key(name)
	f.out = append(f.out, `null`...)
}

func (f *features) number(name string, v float64, decimals int) {
	f.key(name)
	f.out = appendNumber(f.out, v, decimals)
}

func (f *features) flag(name string, v bool) {
	f.key(name)
	f.out = strconv.AppendBool(f.out, v)
}

func (f *features) list(name string, values []string) {
	f.key(name)
	f.out = append(f.out, '[')
	for i, v := range values {
		if i > 0 {
			f.out = append(f.out, ',')
		}
		f.out = appendText(f.out, v)
	}
	f.out = append(f.out, ']')
}

// point writes the geometry of a place.
func (f *features) point(p geo.Position) {
	f.out = append(f.out, `"geometry":{"type":"Point","coordinates":`...)
	f.out = append(appendPoint(f.out, p.Point()), '}')
}

// multiPolygon writes polygons. Shapes on file are wound as RFC 7946 asks; those that cross the antimeridian are cut there (section 3.1.9).
func (f *features) multiPolygon(shape orb.MultiPolygon) {
	f.out = append(f.out, `"geometry":{"type":"MultiPolygon","coordinates":[`...)
	pieces := cutPolygons(shape)
	bounds := make([]orb.Bound, len(pieces))
	for i, polygon := range pieces {
		bounds[i] = polygon.Bound()
		if i > 0 {
			f.out = append(f.out, ',')
		}
		f.out = append(f.out, '[')
		for j, ring := range polygon {
			if j > 0 {
				f.out = append(f.out, ',')
			}
			f.out = appendLine(f.out, ring)
		}
		f.out = append(f.out, ']')
	}
	f.out = append(f.out, `]}`...)
	f.shaped(bounds...)
}

// multiLine writes lines, cut at the antimeridian.
func (f *features) multiLine(lines orb.MultiLineString) {
	f.out = append(f.out, `"geometry":{"type":"MultiLineString","coordinates":[`...)
	var bounds []orb.Bound
	for _, line := range lines {
		for _, piece := range cutLine(line) {
			if bounds = append(bounds, piece.Bound()); len(bounds) > 1 {
				f.out = append(f.out, ',')
			}
			f.out = appendLine(f.out, piece)
		}
	}
	f.out = append(f.out, `]}`...)
	f.shaped(bounds...)
}

// line writes one line; one that crosses the antimeridian becomes two.
func (f *features) line(line orb.LineString) {
	if pieces := cutLine(line); len(pieces) != 1 {
		f.multiLine(orb.MultiLineString{line})
		return
	}
	f.out = append(f.out, `"geometry":{"type":"LineString","coordinates":`...)
	f.out = append(appendLine(f.out, line), '}')
	f.shaped(line.Bound())
}

func appendLine[T ~[]orb.Point](out []byte, line T) []byte {
	out = append(out, '[')
	for i, pt := range line {
		if i > 0 {
			out = append(out, ',')
		}
		out = appendPoint(out, pt)
	}
	return append(out, ']')
}

func appendPoint(out []byte, pt orb.Point) []byte {
	out = appendNumber(append(out, '['), pt.Lon(), 7)
	return append(appendNumber(append(out, ','), pt.Lat(), 7), ']')
}

// appendNumber writes a number with at most so many decimals; what is no number is null.
func appendNumber(out []byte, v float64, decimals int) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(out, `null`...)
	}
	start := len(out)
	out = strconv.AppendFloat(out, v, 'f', decimals, 64)
	end := len(out)
	for decimals > 0 && end > start && out[end-1] == '0' {
		end--
	}
	if end > start && out[end-1] == '.' {
		end--
	}
	if out = out[:end]; string(out[start:]) == "-0" {
		out = append(out[:start], '0')
	}
	return out
}

func appendText(out []byte, text string) []byte {
	quoted, err := json.Marshal(text)
	if err != nil {
		return append(out, `null`...) // no text fails to become JSON
	}
	return append(out, quoted...)
}

// maybe writes a figure with so many decimals; unknown is null.
func (f *features) maybe(name string, v geo.Maybe[float64], decimals int) {
	property(f, name, v, decimals)
}

// nowhere leaves out the geometry of a feature that has no place.
func (f *features) nowhere() { f.out = append(f.out, `"geometry":null`...) }

// inWords writes a sentence in both units.
func (f *features) inWords(words geo.Words) {
	f.text("words_feet", words.Feet)
	f.text("words_metres", words.Metres)
}
