package paper

import (
	"fmt"
	"strings"
	"time"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

// backPage writes what stands behind the chart, and the place to sign.
func (s *sheet) backPage() {
	s.page()
	s.yMM = s.topMM - 4
	if s.options.Reason != "" {
		s.heading("Why this place", 4)
		s.text(regular, 8, s.options.Reason)
	}
	s.trial()
	s.working()
	s.troubles()
	s.assumptions()
	s.signatures()
}

var verdictColumns = []column{{"What is asked", 30, false}, {"There is", 15, true}, {"Needed", 15, true}, {"To spare", 15, true},
	{"Answer", 18, false}, {"In words", 52, false}}

// trial writes the fit check of a boat that was tried.
func (s *sheet) trial() {
	t := s.options.Trial
	if t == nil {
		return
	}
	s.heading("Fit check: "+orText(t.Title, "a boat tried on this mooring"), 20)
	if text := strings.Trim(t.Boat.Name+", "+boatText(t.Boat, s.units), ", "); text != "" {
		s.text(regular, 7.5, text)
	}
	if t.Answer != "" {
		s.text(bold, 9, t.Answer)
	}
	s.yMM += 1.5
	s.verdicts(t.Verdicts)
	s.yMM += 1.5
	for _, r := range t.Remedies {
		s.text(regular, 7.5, "What would help: "+r)
	}
}

// verdicts writes what the place asks of the boat.
func (s *sheet) verdicts(verdicts []Verdict) {
	var rows [][]string
	for _, v := range verdicts {
		rows = append(rows, []string{strings.TrimSpace(v.Constraint + " " + v.Name), v.Have, v.Need, v.Spare, v.Answer, v.Words})
	}
	if len(rows) > 0 {
		s.table(verdictColumns, rows)
	}
}

var workingColumns = []column{{"Symbol", 12, false}, {"What it is", 66, false}, {"Formula", 38, false}, {"Metres or ratio", 18, true},
	{"Feet", 16, true}, {"From", 32, false}}

// working writes every step of the swing radius, so that it can be redone with a pocket calculator in metres or in feet.
func (s *sheet) working() {
	s.heading("How the swing radius is worked out", 12)
	if len(s.answer.Working) == 0 {
		s.text(regular, 7.5, "There is nothing to work out: "+s.basisWords()+".")
		return
	}
	rows := make([][]string, len(s.answer.Working))
	for i, step := range s.answer.Working {
		plain, feet := stepFigures(step)
		rows[i] = []string{step.Symbol, step.Name, step.Formula, plain, feet, sources[step.From]}
	}
	s.table(workingColumns, rows)
}

// stepFigures are the figure of a step as it is worked with, and of a length that in feet.
func stepFigures(step swing.Step) (plain, feet string) {
	switch step.Unit {
	case "m":
		return fmt.Sprintf("%.2f", step.Value), fmt.Sprintf("%.2f", geo.Metres(step.Value).Feet())
	case "":
		return fmt.Sprintf("%.4g", step.Value), ""
	}
	return fmt.Sprintf("%.4g %s", step.Value, step.Unit), ""
}

// sources say where a figure comes from.
var sources = map[swing.Source]string{
	swing.OnRecord: "on record",
	swing.Computed: "computed",
	swing.Default:  "set for harbor or area",
	swing.Assumed:  "assumed",
}

var troubleColumns = []column{{"With", 40, false}, {"Short by", 16, true}, {"Certainty", 18, false}, {"", 90, false}}

// troubles lists the conflicts and hazards of the mooring, and what else it falls short of.
func (s *sheet) troubles() {
	report, number := s.field.Report(), s.mooring.Number
	var rows [][]string
	for _, k := range report.Conflicts {
		if k.A == number || k.B == number {
			rows = append(rows, s.conflictRow(k))
		}
	}
	for _, h := range report.Hazards {
		if h.Mooring == number {
			rows = append(rows, s.hazardRow(h))
		}
	}
	for _, x := range report.Troubles {
		if x.Mooring == number {
			rows = append(rows, s.troubleRow(x))
		}
	}
	s.heading("Troubles", 8)
	if len(rows) == 0 {
		s.text(regular, 7.5, "None was found. See below for what could not be checked.")
		return
	}
	s.table(troubleColumns, rows)
}

func (s *sheet) conflictRow(k clearance.Conflict) []string {
	other := k.A
	if other == s.mooring.Number {
		other = k.B
	}
	words := "gap of " + s.units.length(-k.OverlapM)
	if k.OverlapM > 0 {
		words = "overlap of " + s.units.length(k.OverlapM)
	}
	if k.Lying == geo.InUnison {
		words += " between the hulls, both lying to the same wind and stream"
	}
	return []string{"mooring " + other, s.units.length(k.OverlapM + k.MarginM), string(k.Certainty),
		words + "; a margin of " + s.units.length(k.MarginM) + " is asked"}
}

func (s *sheet) hazardRow(h clearance.Hazard) []string {
	return []string{strings.TrimSpace(hazards[h.Kind] + " " + h.Name), s.units.length(h.ByM), string(h.Certainty),
		h.Sentence(geo.Units(s.units)) + "; worst at " + h.At.DDM()}
}

func (s *sheet) troubleRow(x clearance.Finding) []string {
	return []string{strings.ReplaceAll(string(x.Verdict.Constraint.Kind()), "_", " "), "", string(x.Verdict.Certainty),
		x.Verdict.Sentence(geo.Units(s.units))}
}

// hazards are the kinds of hazards in words.
var hazards = map[clearance.HazardKind]string{
	clearance.Shore:    "shore",
	clearance.Shoal:    "shoal water, under the keel",
	clearance.Fairway:  "fairway",
	clearance.Closed:   "closed water",
	clearance.AreaEdge: "edge of the area",
}

// assumptions tells what was assumed and what is unknown: neither may be read over.
func (s *sheet) assumptions() {
	lines := s.stepNotes()
	if accuracy, from := s.field.Harbor().AccuracyOf(s.mooring); from != "record" {
		lines = append(lines, fmt.Sprintf("The accuracy of the position is not on record; %s is taken.", s.units.length(float64(accuracy))))
	}
	for _, u := range s.field.Report().Unknown {
		if u.Mooring == "" || u.Mooring == s.mooring.Number {
			lines = append(lines, "Cannot be said: "+u.Verdict.Sentence(geo.Units(s.units)))
		}
	}
	if len(lines) == 0 {
		lines = []string{"Nothing was assumed, and no record is missing."}
	}
	s.heading("What is assumed and what is unknown", 8)
	for _, line := range lines {
		s.text(regular, 7.5, line)
	}
}

// stepNotes are what was assumed for the swing radius, and what is to be known of its steps.
func (s *sheet) stepNotes() (lines []string) {
	for _, step := range s.answer.Working {
		switch {
		case step.From == swing.Assumed:
			lines = append(lines, fmt.Sprintf("Assumed: %s (%s). %s", step.Name, step.Symbol, step.Note))
		case step.Note != "":
			lines = append(lines, fmt.Sprintf("Note: %s (%s): %s", step.Name, step.Symbol, step.Note))
		}
	}
	return lines
}

// signatures leaves a place for two signatures, in one piece.
func (s *sheet) signatures() {
	const rowMM = 12
	s.heading("Signed", 2*rowMM+8)
	s.text(regular, 7.5, "Read and placed on file. A signature here does not stand in for the harbormaster's permit.")
	s.ink(black)
	for _, who := range []string{"For the moorings", "For the boat"} {
		s.yMM += rowMM
		x := s.blank(s.xMM, 0.4, who+": name")
		x = s.blank(x, 0.2, "date")
		s.blank(x, 0.4, "signature")
	}
}

// blank leaves a line to write on, a share of the width long, and returns where the next begins.
func (s *sheet) blank(xMM, share float64, text string) float64 {
	wMM := share * s.wMM
	s.pen(0.15, black)
	s.Line(xMM, s.yMM-3, xMM+wMM-4, s.yMM-3)
	s.font(italic, 6.5)
	s.write(xMM, s.yMM, text)
	return xMM + wMM
}

// footers write the caution and the page's number on every page, once their count is known.
func (d *document) footers(at time.Time, revision int64, what string) {
	pages := d.PageCount()
	for n := 1; n <= pages; n++ {
		d.SetPage(n)
		x, y, wMM := marginMM, d.hMM-marginMM-4, d.wMM-2*marginMM
		d.rule(x, y-2.2, wMM)
		d.ink(black)
		d.font(bold, 6.4) // another font first, so that the page's own stream sets it
		d.font(regular, 6.4)
		text := fmt.Sprintf("%s · page %d of %d", what, n, pages)
		d.paragraph(x, y-1.4, wMM-d.width(text)-8, Caution)
		d.writeRight(x+wMM, y+0.7, text)
		d.writeRight(x+wMM, y+3.6, "printed "+printTime(at)+", "+revisionText(revision))
	}
}
