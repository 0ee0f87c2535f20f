package room_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

// inCove is a position in the cove of the examples, metres east and north of its south west corner.
func inCove(eastM, northM float64) geo.Position {
	corner := geo.Position{LatDeg: 44.2, LonDeg: -41.5}
	return geo.Ahead(geo.Ahead(corner, 90, geo.Metres(eastM)), 0, geo.Metres(northM))
}

// rectangle is a shape of the cove, from its south west to its north east corner.
func rectangle(westM, southM, eastM, northM float64) orb.MultiPolygon {
	ring := orb.Ring{inCove(westM, southM).Point(), inCove(eastM, southM).Point(), inCove(eastM, northM).Point(),
		inCove(westM, northM).Point()}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

// tackleOf is a mushroom anchor of 1500 pounds with chain of an inch and a pennant of five metres, so long in all.
func tackleOf(lengthM geo.Metres) geo.Tackle {
	const pennant = 5
	inch := geo.Known(geo.Feet(1.0 / 12))
	return geo.Tackle{
		{Kind: geo.Anchor, Material: "mushroom", Weight: geo.Known(geo.Pounds(1500))},
		{Kind: geo.GroundChain, Length: geo.Known((lengthM - pennant) / 2), Size: inch, LeftRatio: geo.Known(1.0)},
		{Kind: geo.TopChain, Length: geo.Known((lengthM - pennant) / 2), Size: inch, LeftRatio: geo.Known(1.0)},
		{Kind: geo.Pennant, Material: "nylon", Length: geo.Known[geo.Metres](pennant), Size: inch, LeftRatio: geo.Known(1.0)},
	}
}

// boatOf is a boat of a length, of common draft and height.
func boatOf(name string, loaM geo.Metres) *geo.Boat {
	return &geo.Boat{Name: name, Kind: "sloop", LOA: geo.Known(loaM), Beam: geo.Known(loaM / 3), Draft: geo.Known[geo.Metres](1.2),
		BowHeight: geo.Known[geo.Metres](0.9)}
}

// cove is a harbor of one area, 200 m by 150 m, five metres deep all over. A boat swings as far as its tackle reaches from the bed to the
// bow at low water, and its own length besides. Two moorings are taken, and one is vacant.
func cove(waiting ...geo.Waiting) *clearance.Field {
	h := &geo.Harbor{Name: "Cove", Units: geo.UnitsMetres, Waiting: waiting, Defaults: geo.NewDefaults(),
		Levels: geo.Known(geo.Levels{Datum: "chart datum", Low: 0, High: 2})}
	h.Defaults.Lines.Holding = []geo.AnchorHolding{{Anchor: "mushroom", WeightRatio: 20}}
	h.Defaults.Lines.HardwareUnrecorded = true
	var soundings []float64
	for eastM := -100.0; eastM <= 300; eastM += 50 {
		for northM := -100.0; northM <= 250; northM += 50 {
			p := inCove(eastM, northM)
			soundings = append(soundings, p.LonDeg, p.LatDeg, 5)
		}
	}
	h.Soundings = geom.NewMultiPointFlat(geom.XYZ, soundings)
	h.Shoreline.Land = rectangle(-100, 200, 300, 250)
	h.Areas = []geo.Area{{Name: "Cove", Shape: rectangle(0, 0, 200, 150),
		Rules: geo.Rules{Swing: geo.SwingRule{Kind: geo.TautStretch}, Margin: 1, KeelMargin: 0.5, Lying: geo.Independent}}}
	for _, m := range []geo.Mooring{
		{Number: "1", Position: inCove(30, 40), Status: geo.Occupied, Boat: boatOf("Dabchick", 9), Tackle: tackleOf(20)},
		{Number: "2", Position: inCove(40, 110), Status: geo.Occupied, Boat: boatOf("Grebe", 8), Tackle: tackleOf(20)},
		{Number: "3", Position: inCove(160, 75), Status: geo.Vacant, LargestLOA: geo.Known[geo.Metres](12), Tackle: tackleOf(20)},
	} {
		m.Area, m.Accuracy = "Cove", geo.Known[geo.Metres](0)
		h.Moorings = append(h.Moorings, m)
	}
	f, err := clearance.NewField(h)
	if err != nil {
		log.Fatal(err)
	}
	return f
}

// ask is where a boat of nine metres may lie in the cove, on a tackle of 13 m.
func ask() *room.Question {
	q, err := room.New(cove()).Ask(room.Ask{Area: "Cove", Boat: *boatOf("Teal", 9), Tackle: tackleOf(13)})
	if err != nil {
		log.Fatal(err)
	}
	return q
}

// Where does one more boat lie best, and what limits the place? No place in the area has more room than the bound says.
func ExampleQuestion_Best() {
	spots, err := ask().Best(context.Background(), 2, 20)
	if err != nil {
		log.Fatal(err)
	}
	for i, s := range spots {
		fmt.Printf("%d: %s, %.1f m to spare, no place more than %.1f m\n", i+1, s.Position.DDM(), s.ClearanceM, s.BoundM)
		fmt.Printf("   swings %.1f m, nearest: %s %s\n", float64(s.Radius.Or(0)), s.Limits[0].Kind, s.Limits[0].Name)
	}
	// Output:
	// 1: 44° 12.0208' N  041° 29.9263' W, 17.4 m to spare, no place more than 17.4 m
	//    swings 21.1 m, nearest: mooring 3
	// 2: 44° 12.0368' N  041° 29.9322' W, 15.8 m to spare, no place more than 15.8 m
	//    swings 21.1 m, nearest: mooring 1
}

// Does a longer boat fit on a mooring, and if not, what would help? Every way out has passed the same check.
func ExampleFit() {
	f := cove()
	m := f.Harbor().Moorings[0]
	m.Boat = boatOf("Heron", 14)
	fit, err := room.Fit(context.Background(), room.New(f), m, room.NewLengths(f))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(fit.Outcome)
	for _, v := range fit.Against() {
		fmt.Println("-", v.Sentence(geo.UnitsMetres))
	}
	for _, way := range fit.Remedies {
		fmt.Printf("%s: %s\n", way.Kind, way.Words.Metres)
	}
	// Output:
	// fits_if
	// - swings 3.9 m beyond the edge of Cove
	// swap: a swap with 2 (Grebe, 8 m)
	// anchor_moved: the anchor moved 4 m on 090° true
}

// How much of the area is open to the anchor of one more boat?
func ExampleQuestion_Region() {
	region, err := ask().Region(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d parts, %.0f m² of 30000\n", len(region.Polygons), region.AreaM2)
	// Output:
	// 3 parts, 3793 m² of 30000
}

// Who on the waiting list comes next for each vacant mooring?
func ExampleServe() {
	f := cove(geo.Waiting{Name: "Ash", Since: "2019-04-01", Boat: *boatOf("Bittern", 14)},
		geo.Waiting{Name: "Birch", Since: "2021-06-15", Boat: *boatOf("Coot", 9)},
		geo.Waiting{Name: "Cedar", Since: "2022-01-20", Boat: *boatOf("Dunlin", 8)})
	served, err := room.Serve(context.Background(), f, nil, nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range served.Offers {
		fmt.Printf("mooring %s, for a boat of %.1f m at most, goes to %s\n", o.Mooring, served.LargestM[o.Mooring], o.Name)
		for _, p := range o.Passed {
			fmt.Printf("  not to %s: %s\n", p.Name, p.Words.Metres)
		}
	}
	// Output:
	// mooring 3, for a boat of 12.0 m at most, goes to Birch
	//   not to Ash: longer, deeper or shorter than is set for the place or its area, or not known not to be
}

// How many more boats of nine metres does the area take, and how many at most by any layout? What is found until a search is stopped is
// valid.
func ExampleQuestion_CapacityAfresh() {
	c, err := ask().CapacityAfresh(context.Background(), room.Hexagonal, nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d boats in %d rows, and no layout has more than %d\n", c.Count, c.Rows, c.UpperBound)

	ctx, stop := context.WithCancel(context.Background())
	stop() // an answer is not waited for
	c, err = ask().CapacityAsIs(ctx, nil)
	fmt.Println(err, room.Partial(err), c.Ended)
	// Output:
	// 13 boats in 5 rows, and no layout has more than 17
	// the search was stopped: context canceled true true
}
