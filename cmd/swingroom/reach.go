package main

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/swing"
)

type reachCommand struct {
	which
	Number   string  `arg:"" help:"The mooring's number."`
	Levels   string  `help:"${levels_help}" placeholder:"LIST"`
	WindsKn  string  `help:"Mean winds in knots, with commas." placeholder:"LIST" default:"0,5,10,20,30,42"`
	Gust     float64 `help:"Gust over mean wind; that of the boat's area unless given." placeholder:"RATIO"`
	StreamKn float64 `help:"Stream along the wind, knots."`
	Format   string  `help:"table or json." enum:"table,json" default:"table"`
	unitsFlag
}

func (reachCommand) Help() string {
	return `Example:
  swingroom reach 217 --db harbor.db --winds-kn 10,25,42 --levels low,high

How far the boat on a mooring lies from its anchor, by the statics of the tackle on record. The load is that of the drag formula in the
gusts; beside it stands the one of the published table of design loads for the boat's length and beam. Then the radius for choosing between
the rules.`
}

// Run prints the line, its reach over levels and winds, and the radii by rule.
func (c *reachCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	i, err := indexOf(field, c.Number)
	if err != nil {
		return err
	}
	t, err := c.reaches(field, i)
	if err != nil {
		return err
	}
	return s.print(c.Format, output{json: t, table: func(w io.Writer) {
		u := c.unitsOf(field.Harbor())
		lineTable(w, t, u)
		reachTable(w, t, u)
		rulesTable(w, field, i, u)
	}})
}

// reaches works out how the boat on a mooring lies over the levels and winds that are asked for.
func (c *reachCommand) reaches(f *clearance.Field, i int) (*swing.Reaches, error) {
	h := f.Harbor()
	levels, err := office.LevelsOf(h, c.Levels, time.Now())
	if err != nil {
		return nil, err
	}
	winds, err := office.WindsOf(c.WindsKn)
	if err != nil {
		return nil, err
	}
	gust := cmp.Or(c.Gust, f.Rules(&h.Moorings[i]).Design.Gust())
	if err := (geo.Weather{GustRatio: gust, Stream: geo.Knots(c.StreamKn)}).Validate(); err != nil {
		return nil, err
	}
	return swing.ReachTable(f.Input(i), levels, winds, gust, geo.Knots(c.StreamKn))
}

// lineTable shows what the boat lies to, part by part.
func lineTable(w io.Writer, t *swing.Reaches, u units) {
	fmt.Fprintf(w, "Mooring %s: the boat is %s from its bow attachment; gusts of %.2g times the mean wind", t.Mooring,
		u.length(float64(t.Length)), t.GustRatio)
	if t.Stream > 0 {
		fmt.Fprintf(w, ", and a stream of %.1f kn along it", t.Stream.Knots())
	}
	fmt.Fprint(w, "\n\n")
	parts := newTable(w, "Part, anchor to bow", "Length", "Weight", "")
	for _, p := range t.Parts {
		stretches := ""
		if p.Stretches {
			stretches = "stretches"
		}
		parts.row(p.Name, u.length(float64(p.Length)), u.perLength(p.WeightNPerM), stretches)
	}
	parts.end("no parts")
	if lift, known := t.Lift.Get(); known {
		fmt.Fprintf(w, "The buoy carries at most %s besides itself.\n", u.force(float64(lift)))
	}
	for _, text := range t.Assumed {
		fmt.Fprintf(w, "Assumed: %s.\n", text)
	}
	fmt.Fprintln(w)
}

// reachTable shows how far the boat lies over levels and winds, and after it what there is to say of some rows.
func reachTable(w io.Writer, t *swing.Reaches, u units) {
	rows := newTable(w, "Level", "Wind", "Load", "By table", "Radius", "By table", "On the bed", "Anchor pull", "Upwards", "Buoy")
	worst := map[string]told{}
	for _, r := range t.Rows {
		cells := []string{u.length(float64(r.Level)), fmt.Sprintf("%.0f kn", r.Wind.Knots()), u.force(float64(r.Load)),
			maybe(r.TableLoad, u.newtons), maybe(r.Radius, u.metres), maybe(r.TableRadius, u.metres)}
		rows.row(append(cells, stateCells(&r, u)...)...)
		tell(&r, u, worst)
	}
	for _, r := range slices.SortedFunc(maps.Values(worst), func(a, b told) int { return strings.Compare(a.text, b.text) }) {
		fmt.Fprintf(w, "Level %s, wind %.0f kn: %s\n", u.length(float64(r.level)), r.wind.Knots(), r.text)
	}
	rows.end("no rows")
}

// stateCells show the line as it hangs in one row.
func stateCells(r *swing.ReachRow, u units) []string {
	st := r.State
	if st == nil {
		return []string{"–", "–", "–", "–"}
	}
	buoy := "–"
	if st.Buoy != nil {
		buoy = string(st.Buoy.Place)
	}
	return []string{u.length(float64(st.OnBed)), u.force(float64(st.AnchorPull)), fmt.Sprintf("%.0f°", st.AnchorPullUpDeg), buoy}
}

// told is something to say of a row.
type told struct {
	text  string
	level geo.Metres
	wind  geo.MetresPerSecond
	by    float64
}

// tell keeps of what can be said many times over only the worst: of a buoy that goes under, the row in which most is asked of it.
func tell(r *swing.ReachRow, u units, worst map[string]told) {
	add := func(what, text string, by float64) {
		if before, some := worst[what]; text != "" && (!some || by > before.by) {
			worst[what] = told{text, r.Level, r.Wind, by}
		}
	}
	if r.State != nil && r.State.Buoy != nil {
		add("buoy", r.Words.In(u.units()), float64(r.State.Buoy.NeededLift))
	} else {
		add("line", r.Words.In(u.units()), 0)
	}
	add("table", r.TableWhy.In(u.units()), 0)
}

// rulesTable puts the radii by the rules beside each other.
func rulesTable(w io.Writer, field *clearance.Field, i int, u units) {
	rules := newTable(w, "Rule", "Radius", "What choosing it gives up")
	for _, r := range field.ByRules(i) {
		radius := maybe(r.Radius, u.metres)
		if r.Bound {
			radius = "at most " + radius
		}
		text := r.Words.In(u.units())
		if len(r.Missing) > 0 {
			text += "; missing: " + strings.Join(r.Missing, ", ")
		}
		rules.row(string(r.Rule), radius, text)
	}
	rules.end("no rules")
	fmt.Fprintln(w, "A planning aid: lengths and sizes as on record, and new. Worn tackle, waves and ice are not in it.")
}
