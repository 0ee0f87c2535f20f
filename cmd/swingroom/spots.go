package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

type spotsCommand struct {
	which
	roomFlags
	Count  int    `help:"How many places." short:"n" default:"5"`
	Apart  length `help:"How far apart at least." default:"20m" placeholder:"LENGTH"`
	Format string `help:"table, json or csv." enum:"table,json,csv" default:"table"`
	unitsFlag
}

func (spotsCommand) Help() string {
	return `Example:
  swingroom spots --db harbor.db --area "Town Cove" --loa 28ft --draft 4ft --bow-height 3ft --rode 60ft -n 5

The roomiest places for the boat's anchor, each with the clearance that it has and the bound that no place can beat, within a centimetre;
what limits it; and the full check. Where the boat fits nowhere: the places at which it fails by least, and what would free one. Exit code 3
then.`
}

// maxSpots is how many places are asked for at once: more nobody goes and looks at.
const maxSpots = 50

// Run prints the best places, or the near misses.
func (c *spotsCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	if c.Count < 1 || c.Count > maxSpots {
		return fmt.Errorf("--count %d; 1 to %d are expected", c.Count, maxSpots)
	}
	q, err := c.ask(room.New(field))
	if err != nil {
		return err
	}
	found, err := office.FindSpots(s.ctx, q, c.Area, c.Count, c.Apart.value.Or(0))
	if err != nil {
		return err
	}
	err = s.print(c.Format, output{
		json:  found,
		csv:   func(w io.Writer) error { return spotsCSV(w, found.Spots) },
		table: func(w io.Writer) { spotsTables(w, &found, c.unitsOf(field.Harbor())) },
	})
	if err == nil && len(found.Spots) == 0 {
		return errRefused
	}
	return err
}

func spotsTables(w io.Writer, found *office.Spots, u units) {
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
		missesTable(w, found.Misses, u)
	}
	fmt.Fprintln(w, "A planning aid, not for navigation: look at the bottom and ask the harbormaster before an anchor is set.")
}

// missesTable shows where a boat that fits nowhere fails by least, and what would free each place.
func missesTable(w io.Writer, misses []room.NearMiss, u units) {
	t := newTable(w, "Near miss", "Short by", "Radius", "Depth", "Rode", "From the mark", "Against")
	for _, m := range misses {
		t.row(append([]string{m.Position.DDM(), u.length(-m.ClearanceM)}, spotCells(&m.Spot, u)...)...)
	}
	t.end("")
	for _, m := range misses {
		for _, r := range m.Freeing {
			fmt.Fprintf(w, "%s would be free with %s.\n", m.Position.DDM(), r.Words.In(u.units()))
		}
	}
	fmt.Fprintln(w)
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

// maxLimitsShown is how many of those that limit a place the table names, the nearest first.
const maxLimitsShown = 3

// spotCells are what places and near misses have in common.
func spotCells(s *room.Spot, u units) []string {
	limits := []string{}
	for _, l := range s.Limits[:min(maxLimitsShown, len(s.Limits))] {
		limits = append(limits, l.Name+" "+u.length(l.ClearanceM))
	}
	mark := "–"
	if d, known := s.DistanceM.Get(); known {
		mark = fmt.Sprintf("%s at %03.0f° true", u.length(d), s.BearingTrueDeg.Or(0))
	}
	return []string{maybe(s.Radius, u.metres), maybe(s.Depth, u.metres), maybe(s.Rode, u.metres), mark, strings.Join(limits, ", ")}
}

func spotsCSV(w io.Writer, spots []room.Spot) error {
	rows := [][]string{{"place", "lat", "lon", "position", "clearance_m", "bound_m", "radius_m", "depth_m", "rode_m"}}
	metres := func(m geo.Maybe[geo.Metres]) string { return fixed(float64(m.Or(0)), 3) }
	for i, s := range spots {
		rows = append(rows, []string{strconv.Itoa(i + 1), degrees(s.Position.LatDeg), degrees(s.Position.LonDeg), s.Position.DDM(),
			fixed(s.ClearanceM, 3), fixed(s.BoundM, 3), metres(s.Radius), metres(s.Depth), metres(s.Rode)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
