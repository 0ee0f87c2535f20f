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

// HistoryOptions say how a history is printed.
type HistoryOptions struct {
	Paper    Paper     // empty: by the units
	Units    geo.Units // empty: the harbor's own
	At       time.Time // when it is printed
	Revision int64     // of the harbor on file
}

// HistoryAct is one act on a mooring, with the fields that it has changed.
type HistoryAct struct {
	At       time.Time
	Who, Why string
	Revision int64
	Fields   []HistoryField
}

// HistoryField is one field before and after, as JSON texts; empty where it was not there.
type HistoryField struct{ Name, Before, After string }

// mostHistoryFields is how many fields of one act are printed; an import may set them all.
const mostHistoryFields = 60

// MooringHistory writes the history of a mooring, acts in the order in which they are given: who did what, when and why, field by field.
func MooringHistory(w io.Writer, h *geo.Harbor, number string, acts []HistoryAct, o HistoryOptions) error {
	if o.Units == "" {
		o.Units = h.Units
	}
	o.Paper = o.Paper.or(o.Units)
	if err := check("history", o.Paper, SheetPapers(), 0, SheetScales()); err != nil {
		return err
	}
	wMM, hMM := o.Paper.upright()
	d, err := newDocument(wMM, hMM, "History of mooring "+number+", "+h.Name, o.At)
	if err != nil {
		return err
	}
	f := flow{document: d, xMM: marginMM, wMM: wMM - 2*marginMM, topMM: marginMM + 2, bottomMM: hMM - marginMM - footMM}
	f.page()
	f.yMM = f.topMM
	f.text(bold, 18, "Mooring "+number)
	f.text(regular, 9, fmt.Sprintf("%s. What was changed, by whom, when and why; the newest first. Times are in %s.", h.Name, zoneOf(o.At)))
	if len(acts) == 0 {
		f.yMM += 3
		f.text(regular, 9, "Nothing is on record yet.")
	}
	for _, act := range acts {
		f.heading(act.At.In(o.At.Location()).Format("2006-01-02 15:04")+"   "+act.Who, 12)
		f.text(italic, 8, fmt.Sprintf("%s (revision %d)", act.Why, act.Revision))
		rows := [][]string{}
		for i, field := range act.Fields {
			if i == mostHistoryFields {
				rows = append(rows, []string{fmt.Sprintf("and %d more fields", len(act.Fields)-i), "", ""})
				break
			}
			rows = append(rows, []string{FieldName(field.Name, o.Units), FieldValue(field.Name, field.Before, o.Units),
				FieldValue(field.Name, field.After, o.Units)})
		}
		if len(rows) > 0 {
			f.table([]column{{"field", 3, false}, {"before", 4, false}, {"after", 4, false}}, rows)
		}
	}
	d.footers(o.At, o.Revision, h.Name+", history of mooring "+number)
	return d.end(w)
}

func zoneOf(at time.Time) string {
	name, offset := at.Zone()
	return fmt.Sprintf("%s (UTC%+03d:%02d)", name, offset/3600, max(offset, -offset)%3600/60)
}

// measuresOf are the units at the end of a field's name, and what they are shown in by a harbor in feet: unit, and how many of it one metre
// or kilogram is.
var measuresOf = map[string]struct {
	metric string
	scale  float64
	feet   string
	inFeet float64
}{
	"_size_m": {"mm", 1000, "in", 12 / geo.MetresPerFoot}, "_m": {"m", 1, "ft", 1 / geo.MetresPerFoot},
	"_kg": {"kg", 1, "lb", 1 / geo.KilogramsPerPound},
}

// measureOf finds the unit of a field; size_m of a part is a size too.
func measureOf(field string) (stem, unit string, scale float64, known bool) {
	name := field
	if strings.HasSuffix(field, ".size_m") {
		name = strings.TrimSuffix(field, ".size_m") + ".diameter_size_m"
	}
	for _, end := range []string{"_size_m", "_m", "_kg"} {
		if before, ok := strings.CutSuffix(name, end); ok {
			m := measuresOf[end]
			return before, m.metric, m.scale, true
		}
	}
	return field, "", 1, false
}

// FieldName is a field of a record as people call it, with the unit that its values are shown in: "boat, loa (ft)" for boat.loa_m.
func FieldName(field string, units geo.Units) string {
	stem, unit, _, known := measureOf(field)
	words := strings.ReplaceAll(strings.NewReplacer("_", " ", "[", " ", "]", "").Replace(stem), ".", ", ")
	if !known {
		return words
	}
	if units == geo.UnitsFeet {
		unit = feetOf(unit)
	}
	return fmt.Sprintf("%s (%s)", words, unit)
}

func feetOf(metric string) string {
	for _, m := range measuresOf {
		if m.metric == metric {
			return m.feet
		}
	}
	return metric
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
	_, unit, scale, known := measureOf(field)
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !known {
		return text
	}
	if units == geo.UnitsFeet {
		for _, m := range measuresOf {
			if m.metric == unit {
				scale = m.inFeet
			}
		}
	}
	return strconv.FormatFloat(v*scale, 'f', 2, 64)
}
