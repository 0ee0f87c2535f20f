package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"time"

	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/rode"
)

type weatherCommand struct {
	which    `embed:""`
	WindFrom float64   `help:"True direction from which the wind blows, degrees." placeholder:"DEG"`
	WindKn   float64   `help:"Mean wind, knots." placeholder:"KN"`
	Gust     float64   `help:"Gust over mean wind." default:"1"`
	StreamTo float64   `help:"True direction towards which the stream sets, degrees." placeholder:"DEG"`
	StreamKn float64   `help:"Stream, knots." placeholder:"KN"`
	Level    string    `help:"Water level: low, high, now by the tide, or metres above chart datum." default:"low"`
	At       string    `help:"The time that --level now is meant for, as 2026-07-01T09:30-04:00, or 2026-07-01 09:30 in UTC." placeholder:"TIME"`
	Format   string    `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	Units    geo.Units `help:"feet or metres, for the table; the harbor's own unless given." enum:"feet,metres," default:""`
}

func (weatherCommand) Help() string {
	return `Example:
  swingroom weather --db harbor.db --wind-from 225 --wind-kn 25 --gust 1.3 --stream-to 20 --stream-kn 1.2

Lays every boat of the field to the wind and stream, and lists the hulls that come nearer than the margin. The table names the gaps; json has every boat as
she lies as well, geojson her outline, csv one boat a row.`
}

// Run lays the field to a weather and prints the gaps under the margin.
func (c *weatherCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	now := time.Now()
	if c.At != "" {
		if now, err = geo.ParseTime(c.At); err != nil {
			return err
		}
	}
	level, err := office.Level(field.Harbor(), c.Level, now)
	if err != nil {
		return err
	}
	x, err := field.Weather(geo.Weather{WindFromDeg: c.WindFrom, Wind: geo.Knots(c.WindKn), GustRatio: c.Gust, StreamToDeg: c.StreamTo,
		Stream: geo.Knots(c.StreamKn), Level: level})
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		return writeJSON(s.out, x)
	case "geojson":
		_, err = s.out.Write(append(geojson.Weather(x, field), '\n'))
		return err
	case "csv":
		return weatherCSV(s.out, x)
	}
	weatherTable(s.out, x, unitsOf(c.Units, field))
	return nil
}

func weatherTable(w io.Writer, x *clearance.InWeather, u units) {
	at := x.Weather
	fmt.Fprintf(w, "Wind from %03.0f° at %.0f kn (gusts %.0f kn), stream to %03.0f° at %.1f kn, level %s above chart datum\n\n",
		at.WindFromDeg, at.Wind.Knots(), at.Wind.Knots()*at.GustRatio, at.StreamToDeg, at.Stream.Knots(), u.length(float64(at.Level)))
	gaps := newTable(w, "Hulls", "State", "Gap", "Margin", "At")
	for _, g := range x.Gaps {
		gaps.row(g.A+" – "+g.B, words(string(g.State)), u.length(g.GapM), u.length(g.MarginM), g.At.DDM())
	}
	none := "all hulls keep their margin"
	if len(x.Boats) == 0 {
		none = "nothing could be checked: no boat could be laid"
	} else if len(x.Unknown) > 0 {
		none = "all hulls that could be laid keep their margin"
	}
	gaps.end(none)
	unknown := newTable(w, "Not laid", "In words")
	for _, n := range x.Unknown {
		unknown.row(n.Mooring, n.Words.In(u.units()))
	}
	unknown.end("every boat could be laid")
	to := map[rode.LiesTo]int{}
	for _, b := range x.Boats {
		to[b.To]++
	}
	fmt.Fprintf(w, "%d boats: %d lie to the wind, %d to the stream, %d between the two, %d to neither. %d gaps under the margin, %d not "+
		"laid. A planning aid, not for navigation.\n",
		len(x.Boats), to[rode.ToWind], to[rode.ToStream], to[rode.ToBoth], to[rode.ToNone], len(x.Gaps), len(x.Unknown))
}

func weatherCSV(w io.Writer, x *clearance.InWeather) error {
	num := func(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	rows := [][]string{{"number", "boat", "lies_to", "load_n", "reach_m", "load_deg", "stern_deg", "state", "nearest", "gap_m"}}
	for _, b := range x.Boats {
		gap := ""
		if g, known := b.GapM.Get(); known {
			gap = num(g, 3)
		}
		rows = append(rows, []string{plainCell(b.Number), plainCell(b.Boat), string(b.To), num(float64(b.Load), 1),
			num(float64(b.Reach), 3), num(b.LoadDeg, 1), num(b.SternDeg, 1), string(b.State), plainCell(b.Nearest), gap})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
