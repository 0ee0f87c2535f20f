package paper

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// SheetOptions say how a mooring's sheet is made.
type SheetOptions struct {
	Paper    Paper     // A4 or Letter; empty: by the units
	Scale    int       // one of SheetScales; 0: the largest at which the swing circle and its neighbours fit
	Units    geo.Units // empty: the harbor's own
	At       time.Time // when it is printed
	Revision int64     // of the harbor on file; 0: it has none
	Reason   string    // why the mooring is assigned; may be empty
	Trial    *Trial    // a boat tried on the mooring; nil: none
}

// Trial is a boat tried on a mooring, in words and lengths that are ready to be printed.
type Trial struct {
	Title    string
	Boat     geo.Boat
	Answer   string
	Verdicts []Verdict
	Remedies []string
}

// Verdict is one thing that a place asks of a boat: what there is, what is needed, and what is to spare.
type Verdict struct{ Constraint, Name, Have, Need, Spare, Answer, Words string }

// marginMM is left white round every page.
const marginMM = 14.0

// sheetNeighbours is how many neighbours a sheet lists.
const sheetNeighbours = 6

// sheet is a mooring's sheet while it is drawn.
type sheet struct {
	flow
	field      *clearance.Field
	units      units
	options    SheetOptions
	i          int
	mooring    *geo.Mooring
	answer     swing.Answer
	neighbours []clearance.Neighbour
}

// MooringSheet writes the sheet of a mooring: a chart extract true to scale with the neighbours and their clearances, the working of
// the swing radius, what is assumed and unknown, a trial if there is one, and a place to sign.
//
// The error is geo.ErrNotFound for the number, and geo.ErrInvalid for a paper or a scale that there is not, a scale at which the swing
// circle does not fit, or a position beyond the harbor's plane.
func MooringSheet(w io.Writer, f *clearance.Field, number string, o SheetOptions) error {
	i, ok := f.Index(number)
	if !ok {
		return fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	if o.Units == "" {
		o.Units = f.Harbor().Units
	}
	o.Paper = o.Paper.or(o.Units)
	if err := check("sheet", o.Paper, SheetPapers(), o.Scale, SheetScales()); err != nil {
		return err
	}
	m := &f.Harbor().Moorings[i]
	if far(f, m.Position) {
		return invalid("mooring "+number, "position", m.Position.DDM(),
			"it is too far from the middle of the field to be drawn: is a sign wrong, or latitude and longitude swapped?")
	}
	wMM, hMM := o.Paper.upright()
	d, err := newDocument(wMM, hMM, "Mooring "+number+", "+f.Harbor().Name, o.At)
	if err != nil {
		return err
	}
	s := sheet{
		flow:  flow{document: d, xMM: marginMM, wMM: wMM - 2*marginMM, topMM: marginMM + 2, bottomMM: hMM - marginMM - footMM},
		field: f, units: units(o.Units), options: o, i: i, mooring: m, answer: f.Swing(i), neighbours: f.Neighbours(i, sheetNeighbours),
	}
	scale, err := s.scale(s.chartBox())
	if err != nil {
		return err
	}
	s.front(scale)
	s.back()
	d.footers(o.At, o.Revision, f.Harbor().Name+", mooring "+number)
	return d.end(w)
}

// Heights of the parts of the first page, from the top.
const (
	headMM  = 19.0
	factsMM = 22.0
	listMM  = 40.0 // neighbours
	footMM  = 9.0
	ticksMM = 4.5 // figures round a chart's frame
)

func (s *sheet) chartBox() box {
	y := marginMM + headMM + factsMM
	return box{s.xMM + ticksMM, y, s.wMM - ticksMM, s.bottomMM - listMM - stripMM - ticksMM - y}
}

// How far a neighbour's circle may be for it to have to be on the chart: any, and the nearest of all. Common practice, no source.
const nearM, nearestM = 20.0, 100.0

// near reports whether a neighbour has to be on the chart: the gap is no larger than the own radius or nearM, or it is the nearest. Where
// a radius is not known the distance stands for the gap.
func (s *sheet) near(n clearance.Neighbour) bool {
	gapM, known := n.GapM.Get()
	if !known {
		return n.DistanceM <= nearestM
	}
	return gapM <= max(nearM, float64(s.answer.Radius.Or(0))) || gapM <= nearestM && n.Number == s.neighbours[0].Number
}

// scale takes the largest scale at which the whole swing circle fits and, down to the smallest, the circles of the near neighbours.
func (s *sheet) scale(b box) (int, error) {
	const rimMM = 2
	own := float64(s.answer.Radius.Or(0))
	halfM := func(scale int) (eastM, northM float64) {
		return metres(b.wMM/2-rimMM, scale), metres(b.hMM/2-rimMM, scale)
	}
	wantEastM, wantNorthM := own, own
	here := s.field.Frame().Project(s.mooring.Position)
	for _, n := range s.neighbours {
		k, _ := s.field.Index(n.Number)
		if !s.near(n) {
			continue
		}
		d := s.field.Frame().Project(s.field.Harbor().Moorings[k].Position).Sub(here)
		radiusM := float64(s.field.Swing(k).Radius.Or(0))
		wantEastM, wantNorthM = max(wantEastM, math.Abs(d.EastM)+radiusM), max(wantNorthM, math.Abs(d.NorthM)+radiusM)
	}
	chosen := s.options.Scale
	for _, scale := range SheetScales() {
		eastM, northM := halfM(scale)
		if chosen == 0 && wantEastM <= eastM && wantNorthM <= northM {
			chosen = scale
		}
	}
	if chosen == 0 {
		chosen = SheetScales()[len(SheetScales())-1]
	}
	if eastM, northM := halfM(chosen); own > min(eastM, northM) {
		return 0,
			invalid("sheet", "scale", scaleText(chosen), fmt.Sprintf("the swing circle of mooring %s, %s, does not fit on the paper at "+
				"this scale: a smaller one is expected, such as 1:2,500 or 1:5,000",
				s.mooring.Number, s.units.length(own)))
	}
	return chosen, nil
}

// front draws the first page: what, where, the chart, the neighbours.
func (s *sheet) front(scale int) {
	s.page()
	s.head()
	s.facts(marginMM + headMM)
	b := s.chartBox()
	c := newChart(s.document, newGround(s.field, s.units), b, s.field.Frame().Project(s.mooring.Position), scale)
	c.ClipRect(b.xMM, b.yMM, b.wMM, b.hMM, false)
	c.fixed()
	c.north()
	c.moorings(s.look)
	c.numbers(s.look, s.i)
	c.clearances(s.i, s.shown())
	c.names()
	c.ClipEnd()
	c.surround()
	c.strip(s.xMM, b.bottom()+ticksMM+0.5, s.wMM)
	s.yMM = s.bottomMM - listMM
	s.listNeighbours()
}

// shown are the neighbours whose clearance is drawn.
func (s *sheet) shown() (near []clearance.Neighbour) {
	for _, n := range s.neighbours {
		if s.near(n) {
			near = append(near, n)
		}
	}
	return near
}

// look makes the mooring itself stand out, then the neighbours that are listed.
func (s *sheet) look(i int) (look, bool) {
	if i == s.i {
		return look{lineMM: 0.55, grey: black, sizePt: 10, style: bold, cross: true}, true
	}
	for _, n := range s.neighbours {
		if n.Number == s.field.Harbor().Moorings[i].Number {
			return look{lineMM: 0.2, grey: black, sizePt: 7.5, style: bold}, true
		}
	}
	return look{lineMM: 0.13, grey: dark, sizePt: 6, style: regular}, true
}

func (s *sheet) head() {
	m, o := s.mooring, s.options
	s.ink(black)
	s.font(regular, 8)
	s.write(s.xMM, marginMM+3, s.fit(s.field.Harbor().Name+" · mooring sheet", s.wMM*0.6))
	right := s.xMM + s.wMM
	for n, text := range []string{orText(m.Area, "in no area"), "printed " + when(o.At), revisionText(o.Revision)} {
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

// facts are four columns with what is most looked for.
func (s *sheet) facts(yMM float64) {
	columns := []struct {
		title string
		large []string
		small string
		share float64
	}{
		{"Position of the anchor", strings.Split(s.mooring.Position.DDM(), "  "), s.accuracyWords(), 0.27},
		{"Swing radius", []string{s.radiusWords()}, s.basisWords(), 0.25},
		{"Depth at the anchor", []string{s.depthText()}, s.depthWords(), 0.22},
		{"Boat", []string{s.boatName()}, s.boatWords(), 0.26},
	}
	x := s.xMM
	for _, c := range columns {
		wMM := c.share*s.wMM - 3
		s.font(italic, 6.5)
		s.ink(dark)
		s.write(x, yMM+2, c.title)
		s.ink(black)
		s.font(bold, 9.5)
		y := yMM + 6.2
		for _, line := range c.large {
			s.write(x, y, s.fit(line, wMM))
			y += 4.2
		}
		s.font(regular, 6.5)
		s.paragraph(x, y-3, wMM, c.small)
		x += c.share * s.wMM
	}
}

func (s *sheet) accuracyWords() string {
	accuracy, from := s.field.Harbor().AccuracyOf(s.mooring)
	words := map[string]string{"record": "on record", "default": "the harbor's default", "assumed": "assumed, for none is on record"}[from]
	return fmt.Sprintf("WGS 84, within %s (%s)", s.units.length(float64(accuracy)), words)
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
	if d, known := s.field.Depth(s.i).DepthM.Get(); known && d < 0 {
		return "dries " + s.units.length(float64(-d))
	}
	return s.units.maybe(s.field.Depth(s.i).DepthM)
}

func (s *sheet) depthWords() string {
	depth := s.field.Depth(s.i)
	d, known := depth.DepthM.Get()
	side, from := "below", "from the soundings"
	if d < 0 {
		side = "above"
	}
	if depth.From == swing.OnRecord {
		from = "from the card"
	}
	if !known {
		return depth.Why.In(geo.Units(s.units))
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
	for _, x := range []struct {
		name  string
		value geo.Maybe[geo.Metres]
	}{{"length overall", b.LOA}, {"with everything fixed", b.LengthAll}, {"beam", b.Beam}, {"draft", b.Draft},
		{"bow height", b.BowHeight}} {
		if x.value.IsKnown() {
			parts = append(parts, x.name+" "+u.maybe(x.value))
		}
	}
	return strings.Join(parts, ", ")
}

func (s *sheet) listNeighbours() {
	rows := make([][]string, 0, len(s.neighbours))
	s.font(regular, 7.5)
	for _, n := range s.neighbours {
		k, _ := s.field.Index(n.Number)
		boat := "vacant"
		if b := s.field.Harbor().Moorings[k].Boat; b != nil {
			boat = orText(b.Name, "–")
		}
		gap := "unknown"
		if g, known := n.GapM.Get(); known {
			gap = s.units.length(g)
		}
		rows = append(rows, []string{s.fit(n.Number, 0.09*s.wMM), s.fit(boat, 0.22*s.wMM), distance(s.units, n), gap, hullGap(s.units, n),
			stateWords(n)})
	}
	s.heading("Neighbours, least clearance first", 10)
	if len(rows) == 0 {
		s.text(regular, 7.5, "There is no other mooring.")
		return
	}
	s.table([]column{{"Number", 11, false}, {"Boat", 25, false}, {"Anchor at distance and true bearing", 27, false},
		{"Gap of the circles", 17, true}, {"Gap of the hulls", 16, true}, {"How they lie", 24, false}}, rows)
}
