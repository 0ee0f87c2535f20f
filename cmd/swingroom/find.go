package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/geo"
)

type findCommand struct {
	which  `embed:""`
	What   []string  `arg:"" help:"A mooring's number, a boat's name, or a position in any form that people paste."`
	Count  int       `help:"How many moorings to name for a position." short:"n" default:"5"`
	Format string    `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	Units  geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
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
		fmt.Fprintf(s.errOut, "%s\n", refused.Error())
		for _, r := range refused.Readings {
			fmt.Fprintf(s.errOut, "  perhaps %s   (%s)\n", r.Position.DDM(), r.How)
		}
		return errRefused
	}
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		err = writeJSON(s.out, found)
	case "geojson":
		_, err = s.out.Write(append(geojson.Found(found), '\n'))
	case "csv":
		err = foundCSV(s.out, found)
	default:
		foundTable(s.out, found, unitsOf(c.Units, field))
	}
	if err == nil && len(found.Results) == 0 {
		return errRefused
	}
	return err
}

func foundTable(w io.Writer, found *office.Found, u units) {
	if p := found.Understood; p != nil {
		fmt.Fprintf(w, "Understood as %s\n           or %s\n           or %s\n\n", p.DDM, p.DD, p.DMS)
		t := newTable(w, "Mooring", "Boat", "Area", "Distance", "Bearing", "Position")
		for _, r := range found.Results {
			t.row(r.Number, orText(r.Boat, "–"), orText(r.Area, "–"), u.length(r.DistanceM.Or(0)),
				fmt.Sprintf("%03.0f° true", r.BearingTrueDeg.Or(0)), r.PositionDDM)
		}
		t.end("no moorings on file")
		return
	}
	t := newTable(w, "Mooring", "Boat", "Area", "Position")
	for _, r := range found.Results {
		t.row(r.Number, orText(r.Boat, "–"), orText(r.Area, "–"), r.PositionDDM)
	}
	t.end("no mooring has that number, no boat that name, and it is no position")
}

func foundCSV(w io.Writer, found *office.Found) error {
	rows := [][]string{{"number", "boat", "area", "lat", "lon", "position", "distance_m", "bearing_true_deg"}}
	for _, r := range found.Results {
		distance, bearing := "", ""
		if d, known := r.DistanceM.Get(); known {
			distance = strconv.FormatFloat(d, 'f', 2, 64)
		}
		if b, known := r.BearingTrueDeg.Get(); known {
			bearing = strconv.FormatFloat(b, 'f', 1, 64)
		}
		rows = append(rows, []string{plainCell(r.Number), plainCell(r.Boat), plainCell(r.Area),
			strconv.FormatFloat(r.LatDeg, 'f', 7, 64), strconv.FormatFloat(r.LonDeg, 'f', 7, 64), r.PositionDDM, distance, bearing})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
