package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"time"

	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/rode"
)

type weatherCommand struct {
	which
	WindFrom float64 `help:"True direction from which the wind blows, degrees." placeholder:"DEG"`
	WindKn   float64 `help:"Mean wind, knots." placeholder:"KN"`
	Gust     float64 `help:"Gust over mean wind." default:"1"`
	StreamTo float64 `help:"True direction towards which the stream sets, degrees." placeholder:"DEG"`
	StreamKn float64 `help:"Stream, knots." placeholder:"KN"`
	Level    string  `help:"Water level: low, high, now by the tide, or metres above chart datum." default:"low"`
	At       string  `help:"The time that --level now is meant for, such as ${moment}." placeholder:"TIME"`
	Format   string  `help:"table, json, csv or geojson." enum:"table,json,csv,geojson" default:"table"`
	unitsFlag
}

func (weatherCommand) Help() string {
	return `Example:
  swingroom weather --db harbor.db --wind-from 225 --wind-kn 25 --gust 1.3 --stream-to 20 --stream-kn 1.2

Lays every boat of the field to the wind and stream, and lists the hulls that come nearer than the margin. The table names the gaps; json
has every boat as it lies as well, geojson its outline, csv one boat a row.`
}

// Run lays the field to a weather and prints the gaps under the margin.
func (c *weatherCommand) Run(s *session) error {
	field, err := c.field(s.ctx)
	if err != nil {
		return err
	}
	weather, err := c.weather(field.Harbor())
	if err != nil {
		return err
	}
	x, err := field.Weather(weather)
	if err != nil {
		return err
	}
	return s.print(c.Format, output{
		json:    x,
		geojson: func() []byte { return geojson.Weather(x, field) },
		csv:     func(w io.Writer) error { return weatherCSV(w, x) },
		table:   func(w io.Writer) { weatherTables(w, x, c.unitsOf(field.Harbor())) },
	})
}

// weather is the weather that is asked for.
func (c *weatherCommand) weather(h *geo.Harbor) (w geo.Weather, err error) {
	now := time.Now()
	if c.At != "" {
		if now, err = geo.ParseTime(c.At); err != nil {
			return w, err
		}
	}
	level, err := office.Level(h, c.Level, now)
	return geo.Weather{WindFromDeg: c.WindFrom, Wind: geo.Knots(c.WindKn), GustRatio: c.Gust, StreamToDeg: c.StreamTo,
		Stream: geo.Knots(c.StreamKn), Level: level}, err
}

func weatherTables(w io.Writer, x *clearance.InWeather, u units) {
	at := x.Weather
	fmt.Fprintf(w, "Wind from %03.0f° at %.0f kn (gusts %.0f kn), stream to %03.0f° at %.1f kn, level %s above chart datum\n\n",
		at.WindFromDeg, at.Wind.Knots(), at.Wind.Knots()*at.GustRatio, at.StreamToDeg, at.Stream.Knots(), u.length(float64(at.Level)))
	gapsTable(w, x, u)
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

// gapsTable shows the hulls that come nearer than the margin.
func gapsTable(w io.Writer, x *clearance.InWeather, u units) {
	t := newTable(w, "Hulls", "State", "Gap", "Margin", "At")
	for _, g := range x.Gaps {
		t.row(g.A+" – "+g.B, words(string(g.State)), u.length(g.GapM), u.length(g.MarginM), g.At.DDM())
	}
	none := "all hulls keep their margin"
	if len(x.Boats) == 0 {
		none = "nothing could be checked: no boat could be laid"
	} else if len(x.Unknown) > 0 {
		none = "all hulls that could be laid keep their margin"
	}
	t.end(none)
}

func weatherCSV(w io.Writer, x *clearance.InWeather) error {
	rows := [][]string{{"number", "boat", "lies_to", "load_n", "reach_m", "load_deg", "stern_deg", "state", "nearest", "gap_m"}}
	for _, b := range x.Boats {
		rows = append(rows, []string{plainCell(b.Number), plainCell(b.Boat), string(b.To), fixed(float64(b.Load), 1),
			fixed(float64(b.Reach), 3), fixed(b.LoadDeg, 1), fixed(b.SternDeg, 1), string(b.State), plainCell(b.Nearest),
			fixedOrEmpty(b.GapM, 3)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
