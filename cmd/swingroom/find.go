package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/geo"
)

type findCommand struct {
	which
	What   []string `arg:"" sep:"none" help:"A mooring's number, a boat's name, or a position in any form that people paste."`
	Count  int      `help:"How many moorings to name for a position." short:"n" default:"5"`
	Format string   `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	unitsFlag
}

func (findCommand) Help() string {
	return `Examples:
  swingroom find 217 --db harbor.db
  swingroom find "Grey Heron" --db harbor.db
  swingroom find "44° 12.345' N 041° 30.123' W" --db harbor.db     (nearest moorings with distance and bearing, true)

A position that begins with a minus sign follows two dashes:
  swingroom find --db harbor.db -- -36.84 174.77`
}

// Run prints what was found, and refuses with the readings where a position is ambiguous.
func (c *findCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	found, err := office.Find(field, strings.Join(c.What, " "), c.Count)
	var refused *geo.PositionError
	if errors.As(err, &refused) {
		fmt.Fprintln(s.errOut, refused)
		tellReadings(s.errOut, refused)
		return errRefused
	}
	if err != nil {
		return err
	}
	err = s.print(c.Format, output{
		json:    found,
		geojson: func() []byte { return geojson.Found(found) },
		csv:     func(w io.Writer) error { return foundCSV(w, found) },
		table:   func(w io.Writer) { foundTable(w, found, c.unitsOf(field.Harbor())) },
	})
	if err == nil && len(found.Results) == 0 {
		return errRefused
	}
	return err
}

func foundTable(w io.Writer, found *office.Found, u units) {
	if found.Understood != nil {
		nearestTable(w, found, u)
		return
	}
	t := newTable(w, "Mooring", "Boat", "Area", "Position")
	for _, r := range found.Results {
		t.row(r.Number, orText(r.Boat, "–"), orText(r.Area, "–"), r.PositionDDM)
	}
	t.end("no mooring has that number, no boat that name, and it is no position")
}

// nearestTable shows how a position was understood, and the moorings nearest to it.
func nearestTable(w io.Writer, found *office.Found, u units) {
	p := found.Understood
	fmt.Fprintf(w, "Understood as %s\n           or %s\n           or %s\n\n", p.DDM, p.DD, p.DMS)
	t := newTable(w, "Mooring", "Boat", "Area", "Distance", "Bearing", "Position")
	for _, r := range found.Results {
		t.row(r.Number, orText(r.Boat, "–"), orText(r.Area, "–"), u.length(r.DistanceM.Or(0)),
			fmt.Sprintf("%03.0f° true", r.BearingTrueDeg.Or(0)), r.PositionDDM)
	}
	t.end("no moorings on file")
}

func foundCSV(w io.Writer, found *office.Found) error {
	rows := [][]string{{"number", "boat", "area", "lat", "lon", "position", "distance_m", "bearing_true_deg"}}
	for _, r := range found.Results {
		rows = append(rows, []string{plainCell(r.Number), plainCell(r.Boat), plainCell(r.Area), degrees(r.LatDeg), degrees(r.LonDeg),
			r.PositionDDM, fixedOrEmpty(r.DistanceM, 2), fixedOrEmpty(r.BearingTrueDeg, 1)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
