package exchange

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"swingroom/geo"
)

var tackleForm = form[geo.Part]{
	texts:   append(slices.Sorted(maps.Keys(partTexts)), "number", "part", "kind"),
	figures: byName(partFigures),
	needed:  []string{"number", "kind"},
	holds:   ": the mooring's number, and what kind of part it is",
}

// tackleTable is tackle.csv while it is read.
type tackleTable struct {
	*table
	figures []figureColumn[geo.Part]
	parts   map[string][]placedPart // by the mooring's number
	numbers []string                // in the order of the file
}

// placedPart is a part with the place that the file gives it: 0 where it gives none.
type placedPart struct {
	geo.Part
	place, line int
}

// tackle reads tackle.csv: one part a row. The parts of a mooring take the place of its whole tackle; moorings that the file does not name
// keep theirs.
func (r *reader) tackle(text []byte) {
	opened, figures, good := tackleForm.open(r, text)
	if !good {
		return
	}
	t := &tackleTable{table: opened, figures: figures, parts: map[string][]placedPart{}}
	r.tackleTable = t
	t.eachRow(t.readPart)
	place := indexBy(r.h.Moorings, mooringNumber)
	for _, number := range t.numbers {
		if i, there := place[number]; there {
			r.h.Moorings[i].Tackle = t.tackleOf(number, r.h.Moorings[i].Tackle)
		} else {
			t.reportMissing(number)
		}
	}
}

// reportMissing refuses tackle of a mooring that is not there, unless its row of moorings.csv is refused already.
func (t *tackleTable) reportMissing(number string) {
	if t.mooringTable != nil && t.mooringTable.lines[number] > 0 {
		return
	}
	t.report(t.parts[number][0].line, "number", number, "there is no mooring of that number; "+MooringsFile+" brings it in")
}

// readPart reads one part. It counts as a row of its mooring also where it is refused, if only the number is good.
func (t *tackleTable) readPart(w *row) {
	number := w.number()
	numbered := !w.bad
	p := placedPart{line: w.line}
	p.Kind = w.kind()
	p.place = w.place()
	for column, set := range partTexts {
		set(&p.Part, w.known(column))
	}
	readFigures(w, t.figures, &p.Part)
	if !w.bad {
		t.validate(w, number, p.Part)
	}
	if !numbered {
		return
	}
	if t.parts[number] == nil {
		t.numbers = append(t.numbers, number)
	}
	t.parts[number] = append(t.parts[number], p)
}

// kind reads the kind of a part.
func (w *row) kind() geo.PartKind {
	text, _ := w.text("kind")
	kind := geo.PartKind(programWord(text))
	if !slices.Contains(geo.PartKinds(), kind) {
		w.refuse("kind", text, fmt.Sprintf("one of %v is expected", geo.PartKinds()))
	}
	return kind
}

// place reads where a part lies among the others; 0 where the row does not say.
func (w *row) place() int {
	text, has := w.text("part")
	if !has || blank(text) {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		w.refuse("part", text, "its place is expected, counted from 1 at the anchor, or nothing")
	}
	return n
}

// partFields are the names of a part's figures in the errors of the core, without the kind.
var partFields = map[string]string{"m": "length", "size_m": "size", "left": "left", "kg": "weight"}

// validate holds a part against the core, and reports what is wrong by the columns of the file.
func (t *tackleTable) validate(w *row, number string, p geo.Part) {
	for _, fe := range geo.FieldErrors(geo.Tackle{p}.Validate(number)) {
		field := strings.TrimPrefix(fe.Field, string(p.Kind)+"_")
		column, got := field, fe.Got
		for _, c := range t.figures {
			if c.name == partFields[field] && w.cells[c.at] != "" {
				column, got = c.heading, w.cells[c.at]
			}
		}
		w.refuse(column, got, fe.Want)
	}
}

// tackleOf is the tackle of a mooring by the file: in the order of the places where all parts have one, or of the rows. A figure that is
// but for rounding that of the part on file stays.
func (t *tackleTable) tackleOf(number string, onFile geo.Tackle) geo.Tackle {
	parts := t.parts[number]
	if !slices.ContainsFunc(parts, func(p placedPart) bool { return p.place == 0 }) {
		slices.SortStableFunc(parts, func(a, b placedPart) int { return cmp.Compare(a.place, b.place) })
	}
	tackle := make(geo.Tackle, len(parts))
	for i, p := range parts {
		tackle[i] = p.Part
		if i < len(onFile) && onFile[i].Kind == p.Kind {
			keepSameFigures(partFigures, &tackle[i], &onFile[i])
		}
	}
	return tackle
}

// lineOf is the line of the first part of a mooring in tackle.csv.
func (t *tackleTable) lineOf(number string) (line int, ok bool) {
	if t == nil || len(t.parts[number]) == 0 {
		return 0, false
	}
	return t.parts[number][0].line, true
}

// partOf finds the first part of a kind; nil where there is none.
func partOf(m *geo.Mooring, kind geo.PartKind) *geo.Part {
	for i := range m.Tackle {
		if m.Tackle[i].Kind == kind {
			return &m.Tackle[i]
		}
	}
	return nil
}

// addPart finds the first part of a kind, or puts an empty one where it belongs between the others.
func addPart(m *geo.Mooring, kind geo.PartKind) *geo.Part {
	if p := partOf(m, kind); p != nil {
		return p
	}
	order := geo.PartKinds()
	place := 0
	for i, p := range m.Tackle {
		if slices.Index(order, p.Kind) <= slices.Index(order, kind) {
			place = i + 1
		}
	}
	m.Tackle = slices.Insert(m.Tackle, place, geo.Part{Kind: kind})
	return &m.Tackle[place]
}
