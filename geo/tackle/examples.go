package tackle

import "swingroom/geo"

// printedTable is a table of tackle as it stands in print.
type printedTable struct {
	name, source, anchorKind string
	anchors                  int // anchors of each mooring; 0 is not said
	rows                     []printedRow
}

// printedRow is one row in the units of print: for boats up to a length, the weight of the anchor and the sizes of chain and pennant. 0 is
// not said.
type printedRow struct{ upToFt, anchorLb, groundChainIn, topChainIn, pennantIn float64 }

// printedTables are tables that towns and a club have published.
var printedTables = []printedTable{
	{
		name: "Falmouth, Massachusetts", anchorKind: "mushroom",
		source: "town code section 269-5; its columns run together in print and were parted by hand",
		rows: []printedRow{
			{13, 100, 0.375, 0.375, 0.5},
			{19, 150, 0.5, 0.375, 0.5},
			{25, 200, 0.5, 0.5, 0.625},
			{29, 300, 0.625, 0.5, 0.625},
			{39, 500, 0.75, 0.625, 0.75},
			{60, 700, 0.75, 0.625, 1},
		},
	},
	{
		name: "Barnstable, Massachusetts, salt water", anchorKind: "mushroom",
		source: "town code section 406-3; boats over 40 ft as the harbormaster says",
		rows: []printedRow{
			{13, 50, 0.5, 0.375, 0.5},
			{17, 75, 0.5, 0.375, 0.625},
			{21, 150, 0.5, 0.375, 0.625},
			{25, 200, 0.625, 0.5, 0.625},
			{31, 250, 0.625, 0.5, 0.75},
			{35, 300, 0.625, 0.5, 0.75},
			{40, 500, 0.75, 0.5, 0.75},
		},
	},
	{
		name: "an island's regulations", anchorKind: "mushroom",
		source: "brantpointmarine.com; the limits of its chain cannot be read and are left out; boats over 65 ft by a ruling",
		rows: []printedRow{
			{14, 50, 0, 0, 0},
			{18, 75, 0, 0, 0},
			{22, 100, 0, 0, 0},
			{28, 150, 0, 0, 0},
			{32, 200, 0, 0, 0},
			{50, 500, 0, 0, 0},
			{65, 700, 0, 0, 0},
		},
	},
	{
		name: "Addison, Maine", anchorKind: "block",
		source: "town ordinance, granite blocks; boats of 45 ft and over as the harbormaster says",
		rows: []printedRow{
			{16, 300, 0.5, 0.375, 0},
			{25, 500, 0.5, 0.5, 0},
			{30, 1500, 1, 0.5, 0},
			{36, 3000, 1, 0.5, 0},
			{45, 3500, 1, 0.5, 0},
		},
	},
	{
		name: "Rockport, Massachusetts", anchorKind: "mushroom", anchors: 2,
		source: "harbormasters' mooring page: two anchors each",
		rows: []printedRow{
			{14, 75, 0.75, 0.5, 0.75},
			{19, 75, 0.75, 0.5, 0.75},
			{25, 150, 0.75, 0.5, 0.75},
			{30, 200, 0.75, 0.5, 0.75},
			{35, 250, 0.75, 0.5, 0.75},
			{40, 300, 0.75, 0.5, 0.75},
		},
	},
	{
		name: "a boat club on the Hudson", anchorKind: "mushroom",
		source: "nyackboatclub.org, the least that is asked",
		rows: []printedRow{
			{18, 200, 0.5, 0.375, 0.5},
			{21, 250, 0.5, 0.5, 0.5},
			{24, 300, 0.625, 0.5, 0.625},
			{27, 350, 0.625, 0.5, 0.625},
			{30, 400, 0.625, 0.5, 0.75},
			{33, 500, 0.75, 0.625, 0.75},
			{36, 500, 1, 0.625, 1},
			{39, 600, 1, 0.75, 1},
			{42, 800, 1, 0.75, 1},
		},
	},
}

// Examples are tables of tackle by the length of the boat as towns and a club have printed them. None is the rule: the same boat gets very
// different anchors from town to town, and each harbor has its own.
func Examples() []geo.TackleTable {
	tables := make([]geo.TackleTable, len(printedTables))
	for i, p := range printedTables {
		tables[i] = geo.TackleTable{Name: p.name, Source: p.source}
		for _, r := range p.rows {
			tables[i].Rows = append(tables[i].Rows, r.metric(p.anchorKind, p.anchors))
		}
	}
	return tables
}

// metric is the row in metres and kilograms, for anchors of a kind.
func (r printedRow) metric(anchorKind string, anchors int) geo.TackleRow {
	row := geo.TackleRow{UpTo: geo.Feet(r.upToFt), AnchorKind: anchorKind, Anchors: anchors,
		GroundChain: inchesIfPrinted(r.groundChainIn), TopChain: inchesIfPrinted(r.topChainIn), Pennant: inchesIfPrinted(r.pennantIn)}
	if r.anchorLb > 0 {
		row.Anchor = geo.Known(geo.Pounds(r.anchorLb))
	}
	return row
}

// inchesIfPrinted is a size, unknown where the table has none.
func inchesIfPrinted(in float64) geo.Maybe[geo.Metres] {
	if in > 0 {
		return geo.Known(geo.Feet(in / 12))
	}
	return geo.Maybe[geo.Metres]{}
}
