package swing

import (
	"swingroom/geo"
	"swingroom/geo/rode"
)

// ReachRow is how a boat lies at one level in one wind.
type ReachRow struct {
	Level geo.Metres          `json:"level_m"` // above chart datum
	Wind  geo.MetresPerSecond `json:"wind_ms"` // mean speed
	// Load is horizontal, at the bow, by the drag formula in the gusts; TableLoad by the published table of design loads at the mean speed,
	// which counts gusts and yawing in.
	Load      geo.Newtons            `json:"load_n"`
	TableLoad geo.Maybe[geo.Newtons] `json:"table_load_n"`
	TableWhy  geo.Words              `json:"table_why"` // why the table has no load
	// Radius is the reach under Load and the boat's length beyond it; TableRadius under TableLoad.
	Radius      geo.Maybe[geo.Metres] `json:"radius_m"`
	TableRadius geo.Maybe[geo.Metres] `json:"table_radius_m"`
	State       *rode.State           `json:"state"` // of the line under Load; null: Words says why
	Words       geo.Words             `json:"words"` // what is wrong: a line too short, a buoy that goes under
}

// Reaches is a mooring's line with how its boat lies over levels and winds.
type Reaches struct {
	Mooring string        `json:"mooring"`
	Length  geo.Metres    `json:"length_m"` // of the boat, from its bow attachment
	Windage rode.Windage  `json:"windage"`
	Parts   []PartInWater `json:"parts"`
	// Lift is the most that the buoy carries besides itself; unknown where there is none or its size is not on record.
	Lift      geo.Maybe[geo.Newtons] `json:"buoy_lift_n"`
	Assumed   []string               `json:"assumed"`
	GustRatio float64                `json:"gust"`
	Stream    geo.MetresPerSecond    `json:"stream_ms"`
	Rows      []ReachRow             `json:"rows"`
}

// PartInWater is a part of the line with its weight.
type PartInWater struct {
	Name        string     `json:"name"`
	Length      geo.Metres `json:"length_m"`
	WeightNPerM float64    `json:"weight_n_per_m"` // in water below the buoy, in air above it; below 0 it floats
	Stretches   bool       `json:"stretches"`
}

// ReachTable works out how the boat on a mooring lies at levels and in mean winds, with a stream along the wind. Errors: as [NewVessel],
// and geo.FieldError where a stream meets a boat without a draft on record.
func ReachTable(in Input, levels []geo.Metres, winds []geo.MetresPerSecond, gustRatio float64, stream geo.MetresPerSecond) (*Reaches,
	error) {
	c, err := NewVessel(in)
	if err != nil {
		return nil, err
	}
	t := c.emptyTable()
	t.GustRatio, t.Stream = gustRatio, stream
	for _, level := range levels {
		for _, wind := range winds {
			row, err := c.row(in.Mooring.Boat, geo.Weather{WindFromDeg: 180, Wind: wind, GustRatio: gustRatio, Stream: stream,
				Level: level})
			if err != nil {
				return nil, err
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t, nil
}

// emptyTable is the boat with its line, without rows.
func (c *Vessel) emptyTable() *Reaches {
	t := &Reaches{Mooring: c.Number, Length: c.Length, Windage: c.Windage, Assumed: append([]string{}, c.Tackle.Assumed...),
		Rows: []ReachRow{}}
	for _, p := range c.Tackle.Line.Parts {
		t.Parts = append(t.Parts, PartInWater{p.Name, p.Length, p.WeightNPerM, len(p.Stretch) > 0})
	}
	if b := c.Tackle.Line.Buoy; b != nil && b.Lift < rode.UnlimitedLift {
		t.Lift = geo.Known(b.Lift)
	}
	return t
}

// row is one row of the table.
func (c *Vessel) row(boat *geo.Boat, w geo.Weather) (ReachRow, error) {
	row := ReachRow{Level: w.Level, Wind: w.Wind}
	pull, err := rode.PullOf(c.Windage, w)
	if err != nil {
		return row, c.noDraft()
	}
	row.Load = pull.Load
	if table, err := rode.DesignLoad(lengthForTable(boat), boat.Beam, c.Windage.Motor, w.Wind); err != nil {
		row.TableWhy = geo.ErrorWords(err)
	} else {
		row.TableLoad = geo.Known(table)
	}
	if err := row.addLine(c); err != nil {
		row.Words = geo.ErrorWords(err)
	}
	return row, nil
}

// addLine adds how the line hangs under the loads of a row. The error says why it does not.
func (row *ReachRow) addLine(c *Vessel) error {
	m, err := c.At(row.Level)
	if err != nil {
		return err
	}
	state, err := m.Rode.At(row.Load)
	if err != nil {
		return err
	}
	row.State, row.Radius = &state, geo.Known(state.Reach+c.Length)
	row.Words, _ = BuoyWords(state.Buoy)
	if table, known := row.TableLoad.Get(); known {
		if reach, err := m.Rode.Reach(table); err == nil {
			row.TableRadius = geo.Known(reach + c.Length)
		}
	}
	return nil
}
