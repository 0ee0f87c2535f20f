package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// placed is the boat for which room is looked for, and where: the flags of spots and capacity.
type placed struct {
	Area     string   `help:"Area in which a place is looked for." required:""`
	LOA      length   `help:"Length overall of the boat, as 9.2m or 30ft." name:"loa" required:"" placeholder:"LENGTH"`
	All      length   `help:"Length with everything fixed to her." name:"length-all" placeholder:"LENGTH"`
	Beam     length   `help:"Beam." placeholder:"LENGTH"`
	Draft    length   `help:"Draft." required:"" placeholder:"LENGTH"`
	Bow      length   `help:"Height from the waterline to where the pennant is made fast." name:"bow-height" placeholder:"LENGTH"`
	Kind     string   `help:"What she is: sloop, work boat, ..."`
	Rode     length   `help:"Rode that is laid for her." placeholder:"LENGTH" xor:"tackle"`
	Scope    float64  `help:"Or the rode over the height from bed to bow at the high level, cut to each place." xor:"tackle"`
	TackleOf string   `help:"Or the tackle of this mooring, with all its parts." placeholder:"NUMBER" xor:"tackle"`
	Radius   length   `help:"A stated swing radius, where the area asks for one." placeholder:"LENGTH"`
	Rule     string   `help:"A rule of swing radius tried in place of the area's."`
	Lying    string   `help:"independent or in_unison, tried in place of the area's."`
	Margin   length   `help:"A margin tried in place of the area's." placeholder:"LENGTH"`
	Without  []string `help:"Moorings whose water is taken to be free." placeholder:"NUMBERS"`
	Mark     string   `help:"A position from which places are told by distance and bearing." placeholder:"POSITION"`
}

// ask makes the question of it.
func (p *placed) ask(w *room.Water) (*room.Question, error) {
	f := w.Field()
	h := f.Harbor()
	a := room.Ask{Area: p.Area, ScopeRatio: p.Scope, Radius: p.Radius.value, Without: p.Without, Boat: geo.Boat{
		Kind: p.Kind, LOA: p.LOA.value, LengthAll: p.All.value, Beam: p.Beam.value, Draft: p.Draft.value, BowHeight: p.Bow.value}}
	if p.Rode.value.IsKnown() {
		a.Tackle = geo.Tackle{{Kind: geo.Rode, Length: p.Rode.value}}
	}
	for _, number := range append(append([]string{}, p.Without...), p.TackleOf) {
		i, ok := f.Index(number)
		if number != "" && !ok {
			return nil, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
		}
		if number != "" && number == p.TackleOf {
			a.Tackle = h.Moorings[i].Tackle
		}
	}
	if p.Mark != "" {
		at, err := geo.ParsePosition(p.Mark, office.VicinityOf(f))
		if err != nil {
			return nil, err
		}
		a.Mark = geo.Known(at)
	}
	if area, ok := h.Area(p.Area); ok && (p.Rule != "" || p.Lying != "" || p.Margin.value.IsKnown()) {
		a.Rules = geo.Known(tried(area.Rules, p.Rule, p.Lying, p.Margin, p.Scope))
	}
	return w.Ask(a)
}

// tried are the rules of an area with what is tried in their place; empty and unknown leave them.
func tried(rules geo.Rules, rule, lying string, margin length, scope float64) geo.Rules {
	if rule != "" {
		rules.Swing = geo.SwingRule{Kind: geo.RuleKind(rule), ScopeRatio: scope}
	}
	if lying != "" {
		rules.Lying = geo.Lying(lying)
	}
	rules.Margin = margin.value.Or(rules.Margin)
	return rules
}

type spotsCommand struct {
	which  `embed:""`
	placed `embed:""`
	Count  int       `help:"How many places." short:"n" default:"5"`
	Apart  length    `help:"How far apart at least." default:"20m" placeholder:"LENGTH"`
	Format string    `help:"table, json or csv." enum:"table,json,csv" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (spotsCommand) Help() string {
	return `Example:
  swingroom spots --db harbor.db --area "Town Cove" --loa 28ft --draft 4ft --bow-height 3ft --rode 60ft -n 5

The roomiest places for her anchor, each with the clearance that it has and the bound that no place can beat, within a centimetre; what limits it; and the
full check. Where she fits nowhere: the places at which she fails by least, and what would free one. Exit code 3 then.`
}

// Run prints the best places, or the near misses.
func (c *spotsCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	if c.Count < 1 || c.Count > 50 {
		return fmt.Errorf("--count %d; 1 to 50 are wanted", c.Count)
	}
	q, err := c.ask(room.New(field))
	if err != nil {
		return err
	}
	found, err := office.FindSpots(s.ctx, q, c.Area, c.Count, c.Apart.value.Or(0))
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		err = writeJSON(s.out, found)
	case "csv":
		err = spotsCSV(s.out, found.Spots)
	default:
		spotsTable(s.out, &found, unitsOf(c.Units, field))
	}
	if err == nil && len(found.Spots) == 0 {
		return errRefused
	}
	return err
}

func spotsTable(w io.Writer, found *office.Spots, u units) {
	fmt.Fprintf(w, "%s\n\n", found.Words.In(u.units()))
	if len(found.Spots) > 0 {
		t := newTable(w, "Place", "Clearance", "No place beats", "Radius", "Depth", "Rode", "From the mark", "Limited by")
		for i, s := range found.Spots {
			t.row(append([]string{strconv.Itoa(i+1) + "  " + s.Position.DDM(), u.length(s.ClearanceM), u.length(s.BoundM)},
				spotCells(&s, u)...)...)
		}
		t.end("")
		againstTackle(w, found.Spots, u)
	}
	if len(found.Misses) > 0 {
		t := newTable(w, "Near miss", "Short by", "Radius", "Depth", "Rode", "From the mark", "Against")
		for _, m := range found.Misses {
			t.row(append([]string{m.Position.DDM(), u.length(-m.ClearanceM)}, spotCells(&m.Spot, u)...)...)
		}
		t.end("")
		for _, m := range found.Misses {
			for _, r := range m.Freeing {
				fmt.Fprintf(w, "%s would be free with %s.\n", m.Position.DDM(), r.Words.In(u.units()))
			}
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, "A planning aid, not for navigation: look at the bottom and ask the harbormaster before an anchor is set.")
}

// againstTackle tells what the full check of each place says of the tackle that would be laid there: the search is for water.
func againstTackle(w io.Writer, spots []room.Spot, u units) {
	said := false
	for i := range spots {
		if fit := &spots[i].Fit; fit.Outcome != clearance.Fits {
			said = true
			fmt.Fprintf(w, "Place %d, with this tackle: %s\n", i+1, fit.Words.In(u.units()))
		}
	}
	if said {
		fmt.Fprintln(w)
	}
}

// spotCells are what places and near misses have in common.
func spotCells(s *room.Spot, u units) []string {
	limits := ""
	for i, l := range s.Limits[:min(3, len(s.Limits))] {
		if i > 0 {
			limits += ", "
		}
		limits += fmt.Sprintf("%s %s", l.Name, u.length(l.ClearanceM))
	}
	mark := "–"
	if d, known := s.DistanceM.Get(); known {
		mark = fmt.Sprintf("%s at %03.0f° true", u.length(d), s.BearingTrueDeg.Or(0))
	}
	return []string{maybe(s.Radius, u.metres), maybe(s.Depth, u.metres), maybe(s.Rode, u.metres), mark, limits}
}

func spotsCSV(w io.Writer, spots []room.Spot) error {
	num := func(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	rows := [][]string{{"place", "lat", "lon", "position", "clearance_m", "bound_m", "radius_m", "depth_m", "rode_m"}}
	for i, s := range spots {
		rows = append(rows, []string{strconv.Itoa(i + 1), num(s.Position.LatDeg, 7), num(s.Position.LonDeg, 7), s.Position.DDM(),
			num(s.ClearanceM, 3), num(s.BoundM, 3),
			num(float64(s.Radius.Or(0)), 3), num(float64(s.Depth.Or(0)), 3), num(float64(s.Rode.Or(0)), 3)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
