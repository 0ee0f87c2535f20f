package exchange

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"swingroom/geo"
)

// partFigure is a figure of a part of the tackle, in the unit of the core.
type partFigure struct {
	name  string   // of its column, without the unit
	units []string // that its column may have: of metres first, then of feet
	get   func(*geo.Part) geo.Maybe[float64]
	set   func(*geo.Part, geo.Maybe[float64])
}

func partFigures() []partFigure {
	return []partFigure{
		{"length", []string{"m", "ft"}, func(p *geo.Part) geo.Maybe[float64] {
			return as[float64](p.Length)
		}, func(p *geo.Part, v geo.Maybe[float64]) { p.Length = as[geo.Metres](v) }},
		{"size", []string{"mm", "in"}, func(p *geo.Part) geo.Maybe[float64] {
			return as[float64](p.Size)
		}, func(p *geo.Part, v geo.Maybe[float64]) { p.Size = as[geo.Metres](v) }},
		{"weight", []string{"kg", "lb"}, func(p *geo.Part) geo.Maybe[float64] {
			return as[float64](p.Weight)
		}, func(p *geo.Part, v geo.Maybe[float64]) { p.Weight = as[geo.Kilograms](v) }},
		{"left", []string{"pct", "pct"}, func(p *geo.Part) geo.Maybe[float64] {
			return p.LeftRatio
		}, func(p *geo.Part, v geo.Maybe[float64]) { p.LeftRatio = v }},
	}
}

// as gives a figure under another name of its type.
func as[To, From ~float64](m geo.Maybe[From]) (to geo.Maybe[To]) {
	if v, known := m.Get(); known {
		to = geo.Known(To(v))
	}
	return to
}

// partTexts are the columns of tackle.csv that hold words and dates.
var partTexts = map[string]func(*geo.Part, string){
	"material":  func(p *geo.Part, s string) { p.Material = s },
	"installed": func(p *geo.Part, s string) { p.Installed = geo.Date(s) },
	"inspected": func(p *geo.Part, s string) { p.Inspected = geo.Date(s) },
}

// tackleRows is tackle.csv while it is read.
type tackleRows struct {
	file    string
	figures []partColumn
	words   map[string]int
	parts   map[string][]placedPart // by the mooring's number
	numbers []string                // in the order of the file
}

type partColumn struct {
	partFigure
	column string
	at     int
	unit   string
}

// placedPart is a part with the place that the file gives it: 0 where it gives none.
type placedPart struct {
	geo.Part
	place, line int
}

// tackle reads tackle.csv: one part a row. The parts of a mooring take the place of its whole tackle; moorings that the file does not name
// keep theirs.
func (r *reader) tackle(text []byte) {
	t, good := r.openTable(text)
	if !good {
		return
	}
	rows := &tackleRows{file: r.file, words: map[string]int{}, parts: map[string][]placedPart{}}
	if !r.tackleColumns(t, rows) {
		return
	}
	r.tackled = rows
	r.each(t, func(row []string, line int) {
		r.tackleRow(t, &entryRow{reader: r, words: rows.words, row: row, line: line})
	})
	place := map[string]int{}
	for i := range r.h.Moorings {
		place[r.h.Moorings[i].Number] = i
	}
	for _, number := range rows.numbers {
		i, there := place[number]
		if there {
			r.h.Moorings[i].Tackle = rows.tackleOf(number, r.h.Moorings[i].Tackle)
			continue
		}
		line, _ := r.tackleLine(number)
		if r.rows != nil && r.rows.line[number] > 0 {
			continue // its row of moorings.csv is refused, which is told already
		}
		r.problem(r.file, line, "number", number, "there is no mooring of that number; "+MooringsFile+" brings it in")
	}
}

func (r *reader) tackleColumns(t *table, rows *tackleRows) bool {
	good := true
	for column, at := range t.columns {
		name, unit, _ := cutLast(column, "_")
		i := slices.IndexFunc(partFigures(), func(f partFigure) bool {
			return f.name == name && contains(f.units, unit) || f.name == column
		})
		switch {
		case i >= 0 && partFigures()[i].name == column:
			f := partFigures()[i]
			r.problem(r.file, 1, column, "", "the column has to say its unit: "+
				strings.Join(slices.Compact([]string{column + "_" + f.units[0], column + "_" + f.units[1]}), " or "))
			good = false
		case i >= 0:
			rows.figures = append(rows.figures, partColumn{partFigures()[i], column, at, unit})
		case partTexts[column] != nil || column == "number" || column == "part" || column == "kind":
			rows.words[column] = at
		default:
			r.notice(r.file, 1, "column %q is not known and left alone", column)
		}
	}
	slices.SortFunc(rows.figures, func(a, b partColumn) int { return cmp.Compare(a.at, b.at) })
	for _, column := range []string{"number", "kind"} {
		if _, ok := rows.words[column]; !ok {
			r.problem(r.file, 1, column, "", "a column of that name is expected: the mooring's number, and what kind of part it is")
			good = false
		}
	}
	return good
}

// tackleRow reads one part.
func (r *reader) tackleRow(t *table, w *entryRow) {
	number, _ := w.cell("number")
	kind, _ := w.cell("kind")
	p := placedPart{Part: geo.Part{Kind: geo.PartKind(strings.ReplaceAll(strings.ToLower(kind), " ", "_"))}, line: w.line}
	if err := geo.ValidNumber(number); err != nil {
		w.wrong("number", number, geo.FieldErrors(err)[0].Want)
	} else if t.unknown[w.words["number"]] {
		w.wrong("number", number, wantNumber)
	}
	numbered := !w.bad
	if !slices.Contains(geo.PartKinds(), p.Kind) {
		w.wrong("kind", kind, fmt.Sprintf("one of %v is expected", geo.PartKinds()))
	}
	if text, has := w.cell("part"); has && !blank(text) {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			w.wrong("part", text, "its place is expected, counted from 1 at the anchor, or nothing")
		}
		p.place = n
	}
	for column, set := range partTexts {
		if at, has := w.words[column]; has {
			set(&p.Part, t.word(w.row, at))
		}
	}
	seen := map[string]bool{}
	for _, c := range r.tackled.figures {
		cell := w.row[c.at]
		if blank(cell) {
			continue
		}
		v, err := t.number(cell, c.unit)
		switch {
		case err != nil:
			w.wrong(c.column, cell, err.Error())
		case seen[c.name]:
			w.wrong(c.column, cell, "another column says it in another unit; leave one of them empty")
		default:
			seen[c.name] = true
			c.set(&p.Part, geo.Known(v*unitMetres[c.unit]))
		}
	}
	if !w.bad {
		r.validPart(w, number, p.Part)
	}
	if !numbered {
		return
	}
	if r.tackled.parts[number] == nil {
		r.tackled.numbers = append(r.tackled.numbers, number)
	}
	r.tackled.parts[number] = append(r.tackled.parts[number], p)
}

// validPart holds a part against the core, and tells what is wrong by the columns of the file.
func (r *reader) validPart(w *entryRow, number string, p geo.Part) {
	named := map[string]string{"m": "length", "size_m": "size", "left": "left", "kg": "weight"}
	for _, fe := range geo.FieldErrors(geo.Tackle{p}.Validate(number)) {
		field := strings.TrimPrefix(fe.Field, string(p.Kind)+"_")
		column, got := field, fe.Got
		for _, c := range r.tackled.figures {
			if c.name == named[field] && w.row[c.at] != "" {
				column, got = c.column, w.row[c.at]
			}
		}
		w.wrong(column, got, fe.Want)
	}
}

// tackleOf is the tackle of a mooring by the file: in the order of the places where all parts have one, or of the rows. A figure that is
// but for rounding that of the part on file stays.
func (t *tackleRows) tackleOf(number string, onFile geo.Tackle) geo.Tackle {
	parts := t.parts[number]
	if !slices.ContainsFunc(parts, func(p placedPart) bool { return p.place == 0 }) {
		slices.SortStableFunc(parts, func(a, b placedPart) int { return cmp.Compare(a.place, b.place) })
	}
	tackle := make(geo.Tackle, 0, len(parts))
	for i, p := range parts {
		if i < len(onFile) && onFile[i].Kind == p.Kind {
			for _, f := range partFigures() {
				f.set(&p.Part, agrees(f.get(&p.Part), f.get(&onFile[i])))
			}
		}
		tackle = append(tackle, p.Part)
	}
	return tackle
}

// tackleLine is the line of the first part of a mooring in tackle.csv.
func (r *reader) tackleLine(number string) (line int, ok bool) {
	if r.tackled == nil || len(r.tackled.parts[number]) == 0 {
		return 0, false
	}
	return r.tackled.parts[number][0].line, true
}

// shortTackle refuses tackle that is shorter than the water is deep; where it is so on file already it is told.
func (c *checks) shortTackle(m *geo.Mooring, line int, rode, high geo.Metres) {
	want := fmt.Sprintf("the rode of mooring %s is shorter than the water is deep at high water: %.1f m from bed to bow", m.Number,
		float64(high))
	if c.isOnFile(m) {
		c.notice(c.tackled.file, line, "%s; it is so on file already, and left", want)
		return
	}
	c.problem(c.tackled.file, line, "length", fmt.Sprintf("%.1f m", float64(rode)), want)
}
