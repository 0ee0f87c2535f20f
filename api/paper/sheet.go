package paper

import (
	"fmt"
	"io"
	"math"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// SheetOptions say how a mooring's sheet is made.
type SheetOptions struct {
	Options
	Reason string // why the mooring is assigned; may be empty
	Trial  *Trial // a boat tried on the mooring; nil: none
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
// The error is geo.ErrNotFound for the number, and geo.ErrInvalid for options that there are not, a scale at which the swing circle does
// not fit, or a position beyond the harbor's plane.
func MooringSheet(w io.Writer, f *clearance.Field, number string, o SheetOptions) error {
	s, err := newSheet(f, number, o)
	if err != nil {
		return err
	}
	title := f.Harbor().Name + ", mooring " + number
	if s.flow, err = newFlow(s.options.Options, "Mooring "+number+", "+f.Harbor().Name); err != nil {
		return err
	}
	scale, err := s.scale(s.chartBox())
	if err != nil {
		return err
	}
	s.frontPage(scale)
	s.backPage()
	s.footers(o.At, o.Revision, title)
	return s.end(w)
}

// newSheet gathers what the sheet tells.
func newSheet(f *clearance.Field, number string, o SheetOptions) (*sheet, error) {
	i, ok := f.Index(number)
	if !ok {
		return nil, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	var err error
	if o.Options, err = o.of(Sheet, f.Harbor()); err != nil {
		return nil, err
	}
	m := &f.Harbor().Moorings[i]
	if far(f, m.Position) {
		return nil, invalid("mooring "+number, "position", m.Position.DDM(),
			"it is too far from the middle of the field to be drawn: is a sign wrong, or latitude and longitude swapped?")
	}
	return &sheet{field: f, units: units(o.Units), options: o, i: i, mooring: m, answer: f.Swing(i),
		neighbours: f.Neighbours(i, sheetNeighbours)}, nil
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

// isNear reports whether a neighbour has to be on the chart: the gap is no larger than the own radius or nearM, or it is the nearest. Where
// a radius is not known the distance stands for the gap.
func (s *sheet) isNear(n clearance.Neighbour) bool {
	gapM, known := n.GapM.Get()
	if !known {
		return n.DistanceM <= nearestM
	}
	return gapM <= max(nearM, float64(s.answer.Radius.Or(0))) || gapM <= nearestM && n.Number == s.neighbours[0].Number
}

// near are the neighbours that have to be on the chart.
func (s *sheet) near() (near []clearance.Neighbour) {
	for _, n := range s.neighbours {
		if s.isNear(n) {
			near = append(near, n)
		}
	}
	return near
}

// scale takes the largest scale at which the whole swing circle fits and, down to the smallest, the circles of the near neighbours.
func (s *sheet) scale(b box) (int, error) {
	scale := s.options.Scale
	if scale == 0 {
		scale = s.fittingScale(b)
	}
	eastM, northM := halfWindow(b, scale)
	if own := float64(s.answer.Radius.Or(0)); own > min(eastM, northM) {
		return 0,
			invalid("sheet", "scale", scaleText(scale), fmt.Sprintf("the swing circle of mooring %s, %s, does not fit on the paper at "+
				"this scale: a smaller one is expected, such as 1:2,500 or 1:5,000", s.mooring.Number, s.units.length(own)))
	}
	return scale, nil
}

// halfWindow is how far a chart reaches from its middle, without a rim in which a circle would touch the frame.
func halfWindow(b box, scale int) (eastM, northM float64) {
	const rimMM = 2
	return metres(b.wMM/2-rimMM, scale), metres(b.hMM/2-rimMM, scale)
}

// fittingScale is the largest scale at which all circles fit that have to, or the smallest of all.
func (s *sheet) fittingScale(b box) (scale int) {
	needEastM, needNorthM := s.reach()
	for _, scale = range Sheet.Scales() {
		if eastM, northM := halfWindow(b, scale); needEastM <= eastM && needNorthM <= northM {
			return scale
		}
	}
	return scale
}

// reach is how far the circles that have to be on the chart reach from the mooring.
func (s *sheet) reach() (eastM, northM float64) {
	own := float64(s.answer.Radius.Or(0))
	eastM, northM = own, own
	here := s.field.Frame().Project(s.mooring.Position)
	for _, n := range s.near() {
		k, _ := s.field.Index(n.Number)
		d := s.field.Frame().Project(s.field.Harbor().Moorings[k].Position).Sub(here)
		radiusM := float64(s.field.Swing(k).Radius.Or(0))
		eastM, northM = max(eastM, math.Abs(d.EastM)+radiusM), max(northM, math.Abs(d.NorthM)+radiusM)
	}
	return eastM, northM
}
