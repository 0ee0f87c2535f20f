package paper

import (
	"fmt"
	"strings"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// frontPage draws the first page: what, where, the chart, the neighbours.
func (s *sheet) frontPage(scale int) {
	s.page()
	s.head()
	s.facts(marginMM + headMM)
	s.extract(scale)
	s.yMM = s.bottomMM - listMM
	s.listNeighbours()
}

// extract draws the chart round the mooring.
func (s *sheet) extract(scale int) {
	b := s.chartBox()
	c := newChart(s.document, newBasemap(s.field, s.units), b, s.field.Frame().Project(s.mooring.Position), scale)
	c.draw(s.styleOf, func() {
		c.numbers(s.styleOf, s.i)
		c.clearances(s.i, s.near())
		c.names()
	})
	c.strip(s.xMM, b.bottom()+ticksMM+0.5, s.wMM)
}

// How moorings are drawn on a sheet: the one that it is about, the neighbours that are listed, and others.
var (
	ownStyle       = mooringStyle{lineMM: 0.55, grey: black, sizePt: 10, font: bold, cross: true}
	neighbourStyle = mooringStyle{lineMM: 0.2, grey: black, sizePt: 7.5, font: bold}
	otherStyle     = mooringStyle{lineMM: 0.13, grey: dark, sizePt: 6, font: regular}
)

// styleOf makes the mooring itself stand out, then the neighbours that are listed.
func (s *sheet) styleOf(i int) (mooringStyle, bool) {
	if i == s.i {
		return ownStyle, true
	}
	for _, n := range s.neighbours {
		if n.Number == s.field.Harbor().Moorings[i].Number {
			return neighbourStyle, true
		}
	}
	return otherStyle, true
}

func (s *sheet) head() {
	m, o := s.mooring, s.options
	s.ink(black)
	s.font(regular, 8)
	s.write(s.xMM, marginMM+3, s.fit(s.field.Harbor().Name+" · mooring sheet", s.wMM*0.6))
	right := s.xMM + s.wMM
	for n, text := range []string{orText(m.Area, "in no area"), "printed " + printTime(o.At), revisionText(o.Revision)} {
		s.writeRight(right, marginMM+3+float64(n)*4, s.fit(text, s.wMM*0.38))
	}
	s.font(bold, 20)
	s.write(s.xMM, marginMM+12.5, s.fit("Mooring "+m.Number, s.wMM*0.6))
	s.rule(s.xMM, marginMM+15.5, s.wMM)
}

func revisionText(revision int64) string {
	if revision == 0 {
		return "not from a file with revisions"
	}
	return fmt.Sprintf("revision %d of the harbor on file", revision)
}

func orText(text, alternative string) string {
	if strings.TrimSpace(text) == "" {
		return alternative
	}
	return text
}

// fact is a column of the head: a title, what is most looked for in large letters, and what it rests on in small ones.
type fact struct {
	title string
	large []string
	small string
	share float64 // of the width
}

// facts writes four columns with what is most looked for.
func (s *sheet) facts(yMM float64) {
	x := s.xMM
	for _, f := range []fact{
		{"Position of the anchor", strings.Split(s.mooring.Position.DDM(), "  "), s.accuracyWords(), 0.27},
		{"Swing radius", []string{s.radiusWords()}, s.basisWords(), 0.25},
		{"Depth at the anchor", []string{s.depthText()}, s.depthWords(), 0.22},
		{"Boat", []string{s.boatName()}, s.boatWords(), 0.26},
	} {
		s.fact(f, x, yMM)
		x += f.share * s.wMM
	}
}

func (s *sheet) fact(f fact, xMM, yMM float64) {
	wMM := f.share*s.wMM - 3
	s.font(italic, 6.5)
	s.ink(dark)
	s.write(xMM, yMM+2, f.title)
	s.ink(black)
	s.font(bold, 9.5)
	y := yMM + 6.2
	for _, line := range f.large {
		s.write(xMM, y, s.fit(line, wMM))
		y += 4.2
	}
	s.font(regular, 6.5)
	s.paragraph(xMM, y-3, wMM, f.small)
}

// accuracySources say where the accuracy of a position comes from.
var accuracySources = map[string]string{
	"record":  "on record",
	"default": "the harbor's default",
	"assumed": "assumed, for none is on record",
}

func (s *sheet) accuracyWords() string {
	accuracy, from := s.field.Harbor().AccuracyOf(s.mooring)
	return fmt.Sprintf("WGS 84, within %s (%s)", s.units.length(float64(accuracy)), accuracySources[from])
}

func (s *sheet) radiusWords() string {
	text := s.units.maybe(s.answer.Radius)
	if s.answer.Bound && s.answer.Radius.IsKnown() {
		text = "at most " + text
	}
	return text
}

func (s *sheet) basisWords() string {
	by := "by the rule " + string(s.answer.Rule)
	if len(s.answer.Missing) > 0 && !s.answer.Radius.IsKnown() {
		return by + "; not on record: " + strings.Join(s.answer.Missing, ", ")
	}
	switch s.answer.Basis {
	case swing.ForLargest:
		return by + ", for the largest boat set for the place"
	case swing.ForNone:
		return "vacant, and no largest boat is set: it keeps no water"
	case swing.ByStatement:
		return "stated on record"
	}
	return by + ", for the boat on the mooring"
}

// depthText writes the depth, and that of a place which dries as a height.
func (s *sheet) depthText() string {
	depth := s.field.Depth(s.i).DepthM
	if d, known := depth.Get(); known && d < 0 {
		return "dries " + s.units.length(float64(-d))
	}
	return s.units.maybe(depth)
}

// depthWords says what the depth is measured from, and who says so; or why there is none.
func (s *sheet) depthWords() string {
	depth := s.field.Depth(s.i)
	d, known := depth.DepthM.Get()
	if !known {
		return depth.Why.In(geo.Units(s.units))
	}
	side, from := "below", "from the soundings"
	if d < 0 {
		side = "above"
	}
	if depth.From == swing.OnRecord {
		from = "from the card"
	}
	return side + " chart datum, " + from
}

func (s *sheet) boatName() string {
	switch {
	case s.mooring.Boat != nil:
		return orText(s.mooring.Boat.Name, "without a name")
	case s.mooring.Status == geo.Vacant:
		return "vacant"
	}
	return "not on record"
}

func (s *sheet) boatWords() string {
	m := s.mooring
	if m.Boat == nil {
		return "largest boat: " + s.units.maybe(m.LargestLOA) + ", draft " + s.units.maybe(m.LargestDraft)
	}
	return boatText(*m.Boat, s.units)
}

// boatText tells a boat's kind and measures.
func boatText(b geo.Boat, u units) string {
	var parts []string
	if b.Kind != "" {
		parts = append(parts, b.Kind)
	}
	add := func(name string, length geo.Maybe[geo.Metres]) {
		if length.IsKnown() {
			parts = append(parts, name+" "+u.maybe(length))
		}
	}
	add("length overall", b.LOA)
	add("with everything fixed", b.LengthAll)
	add("beam", b.Beam)
	add("draft", b.Draft)
	add("bow height", b.BowHeight)
	return strings.Join(parts, ", ")
}

var neighbourColumns = []column{{"Number", 11, false}, {"Boat", 25, false}, {"Anchor at distance and true bearing", 27, false},
	{"Gap of the circles", 17, true}, {"Gap of the hulls", 16, true}, {"How they lie", 24, false}}

// listNeighbours writes the table of neighbours.
func (s *sheet) listNeighbours() {
	s.font(regular, 7.5) // cells are cut to their columns in this font
	rows := make([][]string, len(s.neighbours))
	for i, n := range s.neighbours {
		rows[i] = s.neighbourRow(n)
	}
	s.heading("Neighbours, least clearance first", 10)
	if len(rows) == 0 {
		s.text(regular, 7.5, "There is no other mooring.")
		return
	}
	s.table(neighbourColumns, rows)
}

func (s *sheet) neighbourRow(n clearance.Neighbour) []string {
	return []string{s.fit(n.Number, 0.09*s.wMM), s.fit(s.boatOf(n), 0.22*s.wMM), distance(s.units, n), circleGap(s.units, n),
		hullGap(s.units, n), stateWords(n)}
}

// boatOf names the boat of a neighbour.
func (s *sheet) boatOf(n clearance.Neighbour) string {
	k, _ := s.field.Index(n.Number)
	if b := s.field.Harbor().Moorings[k].Boat; b != nil {
		return orText(b.Name, "–")
	}
	return "vacant"
}
