package exchange

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"swingroom/geo"
)

// lines takes the harbor's own tables of chain and rope. A table of the file takes the place of that on file as a whole. Where an entry
// cannot be read all stay as they are: the core judges an entry by its place among the others, and would name another one.
func (o *object) lines(to *geo.Lines) {
	l := *to
	readList(o, "chain", "chain, row", `{"size_mm", "kg_per_m"}`, &l.Chain, (*object).chainSize)
	readList(o, "ropes", "rope", `{"material", "size_mm", "kg_per_m", "density_kg_m3", "stretch"}`, &l.Ropes, (*object).rope)
	readList(o, "tables", "table", `{"name", "source", "areas", "rows"}`, &l.Tables, (*object).tackleTable)
	readList(o, "holding", "holding, row", `{"anchor", "over_weight"}`, &l.Holding, (*object).holding)
	o.truth("hardware_unrecorded", &l.HardwareUnrecorded)
	o.reportUnknown()
	if o.good {
		*to = l
	}
}

// readList takes a list of entries in place of the one on file, if it is there.
func readList[T any](o *object, key, one, holds string, to *[]T, read func(*object) T) {
	list, ok := o.take(key)
	if !ok {
		return
	}
	*to = nil
	for _, entry := range o.entries(key, list, one, holds) {
		*to = append(*to, read(entry))
		o.end(entry)
	}
}

func (o *object) chainSize() geo.ChainSize {
	return geo.ChainSize{Size: needed(o, "size", sizes), MassKgPerM: needed(o, "", massesPerLength)}
}

func (o *object) holding() geo.AnchorHolding {
	anchor, _ := o.text("anchor")
	return geo.AnchorHolding{Anchor: anchor, WeightRatio: needed(o, "", weightRatios)}
}

// rope takes one kind of rope; without points of stretch it does not stretch.
func (o *object) rope() (k geo.RopeKind) {
	k.Material, _ = o.text("material")
	o.of = strings.TrimSpace(o.of + " " + k.Material)
	k.Size = needed(o, "size", sizes)
	k.MassKgPerM = needed(o, "", massesPerLength)
	k.DensityKgPerM3 = needed(o, "", densities)
	k.BreakN = figureAt(o, "break", pulls)
	readList(o, "stretch", o.of+", point", `{"pull_n", "strain"}`, &k.Stretch, (*object).stretchPoint)
	return k
}

func (o *object) stretchPoint() geo.StretchPoint {
	return geo.StretchPoint{PullN: needed(o, "pull", pulls), StrainRatio: needed(o, "", strains)}
}

// tackleTable takes what is asked of tackle by the length of a boat.
func (o *object) tackleTable() (t geo.TackleTable) {
	t.Name, _ = o.text("name")
	o.of = strings.TrimSpace(o.of + " " + t.Name)
	t.Source, _ = o.text("source")
	if list, ok := o.take("areas"); ok && json.Unmarshal(list, &t.Areas) != nil {
		o.refuse("areas", shorten(string(list)), "a list of names is expected")
	}
	readList(o, "rows", o.of+", row", `{"up_to_ft", "anchor_lb", "ground_chain_size_in", "top_chain_size_in", "pennant_size_in"}`,
		&t.Rows, (*object).tackleRow)
	return t
}

// tackleRow takes what is asked for boats up to a length. A bare "anchor" says what kind it is, so the weight is taken by its keys alone.
func (o *object) tackleRow() (r geo.TackleRow) {
	r.UpTo = needed(o, "up_to", lengths)
	r.GroundChain = figureAt(o, "ground_chain_size", sizes)
	r.TopChain = figureAt(o, "top_chain_size", sizes)
	r.Pennant = figureAt(o, "pennant_size", sizes)
	r.Anchor = unitFigure(o, "anchor", masses)
	r.AnchorKind, _ = o.text("anchor")
	if n, ok := o.number("anchors", ""); ok {
		if r.Anchors = int(n); n != math.Trunc(n) {
			o.refuse("anchors", fmt.Sprint(n), "a whole number is expected")
		}
	}
	return r
}
