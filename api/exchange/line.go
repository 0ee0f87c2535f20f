package exchange

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
)

// Keys that are a unit and nothing else, and what is taken in newtons.
var (
	massesPerLength = []unit{{"kg_per_m", 1}, {"lb_per_ft", geo.KilogramsPerPound / geo.MetresPerFoot}}
	densities       = []unit{{"density_kg_m3", 1}}
	pulls           = []unit{{"n", 1}, {"lb", float64(geo.PoundsForce(1))}}
	strains         = []unit{{"strain", 1}}
	masses          = []unit{{"kg", unitMetres["kg"]}, {"lb", unitMetres["lb"]}}
)

// lines takes the harbor's own tables of chain and rope. A table of the file takes the place of that on file as a whole. Where an entry
// cannot be read both stay as they are: the core judges an entry by its place among the others, and would name another one.
func (f *fields) lines(to *geo.Lines) {
	l := *to
	if list, ok := f.take("chain"); ok {
		l.Chain = nil
		for _, row := range f.rows("chain", list, "chain, row", `{"size_mm", "kg_per_m"}`) {
			l.Chain = append(l.Chain, geo.ChainSize{Size: geo.Metres(row.needed("size", sizes)),
				MassKgPerM: row.needed("", massesPerLength)})
			f.end(row)
		}
	}
	if list, ok := f.take("ropes"); ok {
		l.Ropes = nil
		for _, row := range f.rows("ropes", list, "rope", `{"material", "size_mm", "kg_per_m", "density_kg_m3", "stretch"}`) {
			l.Ropes = append(l.Ropes, row.rope())
			f.end(row)
		}
	}
	if list, ok := f.take("tables"); ok {
		l.Tables = nil
		for _, table := range f.rows("tables", list, "table", `{"name", "source", "areas", "rows"}`) {
			l.Tables = append(l.Tables, table.tackleTable())
			f.end(table)
		}
	}
	if list, ok := f.take("holding"); ok {
		l.Holding = nil
		for _, row := range f.rows("holding", list, "holding, row", `{"anchor", "over_weight"}`) {
			a := geo.AnchorHolding{WeightRatio: row.needed("", []unit{{"over_weight", 1}})}
			a.Anchor, _ = row.text("anchor")
			l.Holding = append(l.Holding, a)
			f.end(row)
		}
	}
	f.truth("hardware_unrecorded", &l.HardwareUnrecorded)
	f.left()
	if f.good {
		*to = l
	}
}

// rope takes one kind of rope; without points of stretch it does not stretch.
func (f *fields) rope() (k geo.RopeKind) {
	k.Material, _ = f.text("material")
	f.of = strings.TrimSpace(f.of + " " + k.Material)
	k.Size = geo.Metres(f.needed("size", sizes))
	k.MassKgPerM = f.needed("", massesPerLength)
	k.DensityKgPerM3 = f.needed("", densities)
	if v, known := f.measure("break", pulls); known {
		k.BreakN = geo.Known(v)
	}
	if list, ok := f.take("stretch"); ok {
		for _, point := range f.rows("stretch", list, f.of+", point", `{"pull_n", "strain"}`) {
			k.Stretch = append(k.Stretch, geo.StretchPoint{PullN: point.needed("pull", pulls), StrainRatio: point.needed("", strains)})
			f.end(point)
		}
	}
	return k
}

// tackleTable takes what is asked of tackle by the length of a boat.
func (f *fields) tackleTable() (t geo.TackleTable) {
	t.Name, _ = f.text("name")
	f.of = strings.TrimSpace(f.of + " " + t.Name)
	t.Source, _ = f.text("source")
	if list, ok := f.take("areas"); ok && json.Unmarshal(list, &t.Areas) != nil {
		f.wrong("areas", shorten(string(list)), "a list of names is expected")
	}
	list, _ := f.take("rows")
	for _, row := range f.rows("rows", list, f.of+", row",
		`{"up_to_ft", "anchor_lb", "ground_chain_size_in", "top_chain_size_in", "pennant_size_in"}`) {
		r := geo.TackleRow{UpTo: geo.Metres(row.needed("up_to", lengths)), GroundChain: row.size("ground_chain_size"),
			TopChain: row.size("top_chain_size"), Pennant: row.size("pennant_size")}
		r.AnchorKind, _ = row.text("anchor")
		if n, ok := row.number("anchors", ""); ok {
			if r.Anchors = int(n); n != math.Trunc(n) {
				row.wrong("anchors", fmt.Sprint(n), "a whole number is expected")
			}
		}
		// A bare "anchor" says what kind it is, so the weight is taken by its keys alone.
		for i, key := range keys("anchor", masses) {
			if v, ok := row.number(key, masses[i].name); ok {
				r.Anchor = geo.Known(geo.Kilograms(v * masses[i].one))
			}
		}
		t.Rows = append(t.Rows, r)
		f.end(row)
	}
	return t
}

// size takes a diameter: pennant_size_mm or pennant_size_in.
func (f *fields) size(name string) (m geo.Maybe[geo.Metres]) {
	if v, known := f.measure(name, sizes); known {
		m = geo.Known(geo.Metres(v))
	}
	return m
}

// rows takes a list of objects apart. Each is told of as one and its place; holds is what belongs into one.
func (f *fields) rows(key string, list json.RawMessage, one, holds string) (rows []*fields) {
	var raw []map[string]json.RawMessage
	if json.Unmarshal(list, &raw) != nil {
		f.wrong(key, shorten(string(list)), "a list of "+holds+" is expected")
	}
	for i, r := range raw {
		rows = append(rows, f.r.fields(fmt.Sprintf("%s %d", one, i+1), r))
	}
	return rows
}

// end is done with a row: what is wrong in it is wrong in the whole.
func (f *fields) end(row *fields) {
	row.left()
	f.good = f.good && row.good
}

// needed takes a figure that its entry cannot be without.
func (f *fields) needed(name string, units []unit) float64 {
	told := len(f.r.im.Problems)
	v, known := f.measure(name, units)
	if !known && len(f.r.im.Problems) == told { // a figure that is there and cannot be read is told once
		f.wrong(strings.Join(keys(name, units), " or "), "", "a figure is expected")
	}
	return v
}
