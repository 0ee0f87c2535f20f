package tackle

import "swingroom/geo"

// Examples are tables of tackle by the length of the boat as towns and a club have printed them. None is the rule: the same boat gets very
// different anchors from town to town, and each harbor has its own.
func Examples() []geo.TackleTable {
	// Each row: up to ft, anchor lb, ground chain, top chain and pennant in inches; 0 is not said.
	table := func(name, source, kind string, anchors int, rows ...[5]float64) geo.TackleTable {
		t := geo.TackleTable{Name: name, Source: source}
		for _, r := range rows {
			row := geo.TackleRow{UpTo: geo.Feet(r[0]), AnchorKind: kind, Anchors: anchors}
			if r[1] > 0 {
				row.Anchor = geo.Known(geo.Pounds(r[1]))
			}
			for i, to := range []*geo.Maybe[geo.Metres]{&row.GroundChain, &row.TopChain, &row.Pennant} {
				if in := r[2+i]; in > 0 {
					*to = geo.Known(geo.Feet(in / 12))
				}
			}
			t.Rows = append(t.Rows, row)
		}
		return t
	}
	return []geo.TackleTable{
		table("Falmouth, Massachusetts", "town code section 269-5; its columns run together in print and were parted by hand", "mushroom",
			0,
			[5]float64{13, 100, 0.375, 0.375, 0.5}, [5]float64{19, 150, 0.5, 0.375, 0.5}, [5]float64{25, 200, 0.5, 0.5, 0.625},
			[5]float64{29, 300, 0.625, 0.5, 0.625}, [5]float64{39, 500, 0.75, 0.625, 0.75}, [5]float64{60, 700, 0.75, 0.625, 1}),
		table("Barnstable, Massachusetts, salt water", "town code section 406-3; boats over 40 ft as the harbormaster says", "mushroom", 0,
			[5]float64{13, 50, 0.5, 0.375, 0.5}, [5]float64{17, 75, 0.5, 0.375, 0.625}, [5]float64{21, 150, 0.5, 0.375, 0.625},
			[5]float64{25, 200, 0.625, 0.5, 0.625}, [5]float64{31, 250, 0.625, 0.5, 0.75}, [5]float64{35, 300, 0.625, 0.5, 0.75},
			[5]float64{40, 500, 0.75, 0.5, 0.75}),
		table("an island's regulations", "brantpointmarine.com; the limits of its chain cannot be read and are left out; boats over 65 "+
			"ft by a ruling", "mushroom", 0,
			[5]float64{14, 50}, [5]float64{18, 75}, [5]float64{22, 100}, [5]float64{28, 150}, [5]float64{32, 200}, [5]float64{50, 500},
			[5]float64{65, 700}),
		table("Addison, Maine", "town ordinance, granite blocks; boats of 45 ft and over as the harbormaster says", "block", 0,
			[5]float64{16, 300, 0.5, 0.375, 0}, [5]float64{25, 500, 0.5, 0.5, 0}, [5]float64{30, 1500, 1, 0.5, 0},
			[5]float64{36, 3000, 1, 0.5, 0}, [5]float64{45, 3500, 1, 0.5, 0}),
		table("Rockport, Massachusetts", "harbormasters' mooring page: two anchors each", "mushroom", 2,
			[5]float64{14, 75, 0.75, 0.5, 0.75}, [5]float64{19, 75, 0.75, 0.5, 0.75}, [5]float64{25, 150, 0.75, 0.5, 0.75},
			[5]float64{30, 200, 0.75, 0.5, 0.75}, [5]float64{35, 250, 0.75, 0.5, 0.75}, [5]float64{40, 300, 0.75, 0.5, 0.75}),
		table("a boat club on the Hudson", "nyackboatclub.org, the least that is asked", "mushroom", 0,
			[5]float64{18, 200, 0.5, 0.375, 0.5}, [5]float64{21, 250, 0.5, 0.5, 0.5}, [5]float64{24, 300, 0.625, 0.5, 0.625},
			[5]float64{27, 350, 0.625, 0.5, 0.625}, [5]float64{30, 400, 0.625, 0.5, 0.75}, [5]float64{33, 500, 0.75, 0.625, 0.75},
			[5]float64{36, 500, 1, 0.625, 1}, [5]float64{39, 600, 1, 0.75, 1}, [5]float64{42, 800, 1, 0.75, 1}),
	}
}
