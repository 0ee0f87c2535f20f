package paper

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"swingroom/geo"
)

// HistoryAct is one act on a mooring, with the fields that it has changed.
type HistoryAct struct {
	At       time.Time
	Who, Why string
	Revision int64
	Fields   []HistoryField
}

// HistoryField is one field before and after, as JSON texts; empty where it was not there.
type HistoryField struct{ Name, Before, After string }

// maxHistoryFields is how many fields of one act are printed; an import may set them all.
const maxHistoryFields = 60

// MooringHistory writes the history of a mooring, acts in the order in which they are given: who did what, when and why, field by field.
// The error is geo.ErrInvalid for options that there are not.
func MooringHistory(w io.Writer, h *geo.Harbor, number string, acts []HistoryAct, o Options) error {
	o, err := o.of(History, h)
	if err != nil {
		return err
	}
	f, err := newFlow(o, "History of mooring "+number+", "+h.Name)
	if err != nil {
		return err
	}
	f.page()
	f.yMM = f.topMM
	f.text(bold, 18, "Mooring "+number)
	f.text(regular, 9, fmt.Sprintf("%s. What was changed, by whom, when and why; the newest first. Times are in %s.", h.Name, zoneOf(o.At)))
	if len(acts) == 0 {
		f.yMM += 3
		f.text(regular, 9, "Nothing is on record yet.")
	}
	for _, act := range acts {
		f.act(act, o)
	}
	f.footers(o.At, o.Revision, h.Name+", history of mooring "+number)
	return f.end(w)
}

var historyColumns = []column{{"field", 3, false}, {"before", 4, false}, {"after", 4, false}}

// act writes one act, in the zone of the printing.
func (f *flow) act(act HistoryAct, o Options) {
	f.heading(act.At.In(o.At.Location()).Format("2006-01-02 15:04")+"   "+act.Who, 12)
	f.text(italic, 8, fmt.Sprintf("%s (revision %d)", act.Why, act.Revision))
	var rows [][]string
	for _, field := range act.Fields[:min(len(act.Fields), maxHistoryFields)] {
		rows = append(rows, []string{FieldName(field.Name, o.Units), FieldValue(field.Name, field.Before, o.Units),
			FieldValue(field.Name, field.After, o.Units)})
	}
	if more := len(act.Fields) - maxHistoryFields; more > 0 {
		rows = append(rows, []string{fmt.Sprintf("and %d more fields", more), "", ""})
	}
	if len(rows) > 0 {
		f.table(historyColumns, rows)
	}
}

func zoneOf(at time.Time) string {
	name, offset := at.Zone()
	return fmt.Sprintf("%s (UTC%+03d:%02d)", name, offset/3600, max(offset, -offset)%3600/60)
}

// fieldUnit is how the values of a field are shown whose name ends in a unit: the unit of a harbor in metres with how many of it one metre
// or kilogram is, and that of a harbor in feet.
type fieldUnit struct {
	ending   string
	metric   string
	perUnit  float64
	feet     string
	feetUnit float64
}

// fieldUnits are tried in order: a size ends in _m too.
var fieldUnits = []fieldUnit{
	{"_size_m", "mm", 1000, "in", 12 / geo.MetresPerFoot},
	{"_m", "m", 1, "ft", 1 / geo.MetresPerFoot},
	{"_kg", "kg", 1, "lb", 1 / geo.KilogramsPerPound},
}

// unitOf finds the unit of a field; the size of a part is its diameter.
func unitOf(field string) (stem string, u fieldUnit, known bool) {
	if part, ok := strings.CutSuffix(field, ".size_m"); ok {
		return part + ".diameter", fieldUnits[0], true
	}
	for _, u := range fieldUnits {
		if before, ok := strings.CutSuffix(field, u.ending); ok {
			return before, u, true
		}
	}
	return field, u, false
}

// in is the unit in a system, and how many of it one metre or kilogram is.
func (u fieldUnit) in(units geo.Units) (name string, per float64) {
	if units == geo.UnitsFeet {
		return u.feet, u.feetUnit
	}
	return u.metric, u.perUnit
}

// fieldWords turn the path of a field into words.
var fieldWords = strings.NewReplacer("_", " ", "[", " ", "]", "", ".", ", ")

// FieldName is a field of a record as people call it, with the unit that its values are shown in: "boat, loa (ft)" for boat.loa_m.
func FieldName(field string, units geo.Units) string {
	stem, u, known := unitOf(field)
	if !known {
		return fieldWords.Replace(stem)
	}
	unit, _ := u.in(units)
	return fmt.Sprintf("%s (%s)", fieldWords.Replace(stem), unit)
}

// FieldValue is the value of a field as people read it, from its JSON text; a dash where there is none.
func FieldValue(field, text string, units geo.Units) string {
	if text == "" {
		return "–"
	}
	var words string
	if json.Unmarshal([]byte(text), &words) == nil {
		return words
	}
	_, u, known := unitOf(field)
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !known {
		return text
	}
	_, per := u.in(units)
	return strconv.FormatFloat(v*per, 'f', 2, 64)
}
