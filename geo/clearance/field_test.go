package clearance_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// basin is a small harbor drawn in metres round a position: a basin 400 m by 400 m, land to the west, a fairway along the
// east side, closed water in the north, and one area in the middle; 5 m deep, with a rock at (200, 100).
func basin(origin geo.Position, moorings ...geo.Mooring) *geo.Harbor {
	frame := geo.NewFrame(origin)
	box := func(west, south, east, north float64) orb.MultiPolygon {
		var ring orb.Ring
		for _, o := range []geo.Offset{{EastM: west, NorthM: south}, {EastM: east, NorthM: south}, {EastM: east, NorthM: north},
			{EastM: west, NorthM: north}, {EastM: west, NorthM: south}} {
			ring = append(ring, frame.Position(o).Point())
		}
		return orb.MultiPolygon{{ring}}
	}
	var flat []float64
	for east := 0.0; east <= 400; east += 20 {
		for north := 0.0; north <= 400; north += 20 {
			depth := 5.0
			if east == 200 && north == 100 {
				depth = 1
			}
			p := frame.Position(geo.Offset{EastM: east, NorthM: north})
			flat = append(flat, p.LonDeg, p.LatDeg, depth)
		}
	}
	h := &geo.Harbor{
		Name: "Basin", Units: geo.UnitsMetres, Levels: geo.Known(geo.Levels{Datum: "chart datum", Low: -0.5, High: 3}),
		Defaults:  geo.NewDefaults(),
		Shoreline: geo.Shoreline{Land: box(-200, -100, 0, 500)},
		KeepOuts: []geo.KeepOut{
			{Name: "Main", Kind: geo.Fairway, Shape: box(350, 0, 400, 400), Setback: 5},
			{Name: "North", Kind: geo.ClosedWater, Reason: "eelgrass", Shape: box(0, 360, 340, 400)},
		},
		Areas:     []geo.Area{{Name: "Middle", Shape: box(0, 20, 345, 380), Rules: geo.DefaultRules()}},
		Soundings: geom.NewMultiPointFlat(geom.XYZ, flat), Moorings: moorings,
	}
	return h
}

// moored is a mooring with a stated radius, a boat of 1.5 m draft and a position known to 1 m.
func moored(origin geo.Position, number string, east, north, radius float64) geo.Mooring {
	return geo.Mooring{
		Number: number, Status: geo.Occupied, Position: geo.NewFrame(origin).Position(geo.Offset{EastM: east, NorthM: north}),
		Accuracy: geo.Known(geo.Metres(1)), StatedRadius: geo.Known(geo.Metres(radius)), Boat: &geo.Boat{Draft: geo.Known(geo.Metres(1.5))},
	}
}

func field(t testing.TB, h *geo.Harbor) *clearance.Field {
	t.Helper()
	// The plane has to touch at the origin of the drawing, or the metres of the drawing are not those of the field.
	f, err := clearance.NewField(h)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

var places = map[string]geo.Position{
	"north":               {LatDeg: 44.2, LonDeg: -41.5},
	"south":               {LatDeg: -44.2, LonDeg: 174.77},
	"on the antimeridian": {LatDeg: -17, LonDeg: 179.998},
	"high north":          {LatDeg: 70, LonDeg: 25},
}

func TestEveryHazardHasItsMetres(t *testing.T) {
	for name, origin := range places {
		for _, tc := range []struct {
			what                string
			east, north, radius float64
			area                string
			want                map[clearance.HazardKind]float64
			at                  geo.Offset // where the first is worst
		}{
			{"clear of everything", 100, 200, 20, "Middle", nil, geo.Offset{}},
			{"over the shore", 15, 200, 20, "", map[clearance.HazardKind]float64{clearance.Shore: 5}, geo.Offset{EastM: 0, NorthM: 200}},
			{"anchor on land", -10, 200, 20, "", map[clearance.HazardKind]float64{clearance.Shore: 30},
				geo.Offset{EastM: -10, NorthM: 200}},
			{"into the fairway's setback", 328, 200, 20, "", map[clearance.HazardKind]float64{clearance.Fairway: 3},
				geo.Offset{EastM: 350, NorthM: 200}},
			{"anchor in the fairway", 360, 200, 20, "", map[clearance.HazardKind]float64{clearance.Fairway: 35},
				geo.Offset{EastM: 360, NorthM: 200}},
			{"into closed water", 100, 345, 20, "", map[clearance.HazardKind]float64{clearance.Closed: 5},
				geo.Offset{EastM: 100, NorthM: 360}},
			{"over the edge of its area", 100, 30, 20, "Middle", map[clearance.HazardKind]float64{clearance.AreaEdge: 10},
				geo.Offset{EastM: 100, NorthM: 20}},
			{"anchor outside its area", 100, 15, 10, "Middle", map[clearance.HazardKind]float64{clearance.AreaEdge: 15},
				geo.Offset{EastM: 100, NorthM: 15}},
			// The rock has 1 m, 0.5 m at the low level; 1.5 m draft and 0.3 m margin need 1.8 m.
			{"over the rock", 190, 100, 15, "", map[clearance.HazardKind]float64{clearance.Shoal: 1.3},
				geo.Offset{EastM: 200, NorthM: 100}},
		} {
			t.Run(name+"/"+tc.what, func(t *testing.T) {
				m := moored(origin, "1", tc.east, tc.north, tc.radius)
				m.Area = tc.area
				h := basin(origin, m)
				got := map[clearance.HazardKind]float64{}
				for i, z := range field(t, h).Report().Hazards {
					got[z.Kind] = z.ByM
					if at := geo.NewFrame(origin).Project(z.At); i == 0 && float64(at.Sub(tc.at).Length()) > 0.01 {
						t.Errorf("worst at %v, want %v", at, tc.at)
					}
				}
				if len(got) != len(tc.want) {
					t.Errorf("got %v, want %v", got, tc.want)
				}
				for kind, want := range tc.want {
					if math.Abs(got[kind]-want) > 0.001 /* 1 mm */ {
						t.Errorf("%s by %.4f m, want %.4f", kind, got[kind], want)
					}
				}
			})
		}
	}
}

func TestConflictsHaveTheirStateAndCertainty(t *testing.T) {
	// Both positions are known to 1 m: together 1.41 m. The area asks for 3 m between the circles.
	for _, tc := range []struct {
		apart     float64
		state     clearance.State
		certainty clearance.Certainty
		conflict  bool
	}{
		{37, clearance.Touching, clearance.Certain, true},
		{39.99, clearance.MayTouch, clearance.Certain, true},
		{40.01, clearance.MayTouch, clearance.Certain, true},
		{41.5, clearance.Tight, clearance.Certain, true},
		{42.9, clearance.Tight, clearance.Possible, true},
		{43.1, clearance.Unsaid, "", false}, // their tackle is not on record
	} {
		for name, origin := range places {
			h := basin(origin, moored(origin, "1", 100, 200, 20), moored(origin, "2", 100+tc.apart, 200, 20))
			h.Defaults.Rules.Margin = 3
			f := field(t, h)
			conflicts := f.Report().Conflicts
			if (len(conflicts) == 1) != tc.conflict || f.State(0) != tc.state || f.State(1) != tc.state {
				t.Errorf("%s, %g m apart: %+v, state %s", name, tc.apart, conflicts, f.State(0))
				continue
			}
			if tc.conflict {
				k := conflicts[0]
				if k.State != tc.state || k.Certainty != tc.certainty || math.Abs(k.DistanceM-tc.apart) > 1e-3 ||
					math.Abs(k.OverlapM-40+tc.apart) > 1e-3 {
					t.Errorf("%s, %g m apart: %+v", name, tc.apart, k)
				}
			}
		}
	}
}

func TestCirclesDrawnToTouchAreNotCertain(t *testing.T) {
	origin := places["north"]
	k := field(t, basin(origin, moored(origin, "1", 100, 200, 20), moored(origin, "2", 139.98, 200, 20))).Report().Conflicts
	if len(k) != 1 || k[0].Certainty != clearance.Possible || math.Abs(k[0].OverlapM-0.02) > 1e-3 {
		t.Errorf("%+v", k)
	}
}

func TestWhatIsUnknownIsToldAndNotPassed(t *testing.T) {
	origin := places["north"]
	noRadius := moored(origin, "no radius", 100, 100, 20)
	noRadius.StatedRadius = geo.Maybe[geo.Metres]{}
	noDraft := moored(origin, "no draft", 100, 200, 20)
	noDraft.Boat = &geo.Boat{}
	noDepth := moored(origin, "no depth", 390, 390, 20)
	stray := moored(origin, "stray", 100, 300, 20)
	stray.Position.LonDeg += 20
	h := basin(origin, noRadius, noDraft, noDepth, stray)
	what := map[string]string{}
	for _, u := range field(t, h).Report().Unknown {
		if u.Verdict.Constraint.Kind() != clearance.KindTackle { // there is none on record of any of them
			what[u.Mooring] += string(u.Verdict.Reason) + " "
		}
	}
	// A radius that is stated cannot be held against the line, for no rode is on record.
	want := map[string]string{"no radius": "radius_unknown no_area ", "no draft": "no_draft shorter_than_line no_area ",
		"no depth": "not_sounded shorter_than_line no_area ",
		"stray":    "shorter_than_line far_away "}
	if fmt.Sprint(what) != fmt.Sprint(want) {
		t.Errorf("got %v, want %v", what, want)
	}
}

func TestAVacantMooringKeepsItsLargestBoatsWaterOrNone(t *testing.T) {
	origin := places["north"]
	vacant := moored(origin, "2", 130, 200, 20)
	vacant.Boat, vacant.Status, vacant.StatedRadius = nil, geo.Vacant, geo.Maybe[geo.Metres]{}
	vacant.Tackle = geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(15))}}
	if k := field(t, basin(origin, moored(origin, "1", 100, 200, 20), vacant)).Report().Conflicts; len(k) != 0 {
		t.Errorf("it keeps no water, but: %+v", k)
	}
	vacant.LargestLOA = geo.Known(geo.Metres(10))
	if k := field(t, basin(origin, moored(origin, "1", 100, 200, 20), vacant)).Report().Conflicts; len(k) != 1 {
		t.Errorf("it keeps the water of a boat of 10 m, but: %+v", k)
	}
}

func ExampleField_Fit() {
	origin := geo.Position{LatDeg: 44.2, LonDeg: -41.5}
	f, err := clearance.NewField(basin(origin, moored(origin, "101", 100, 200, 20)))
	if err != nil {
		panic(err)
	}
	fit := f.Fit(moored(origin, "new", 130, 210, 18))
	fmt.Printf("radius %.1f m: %s\n", float64(fit.Swing.Radius.Or(0)), fit.Outcome)
	for _, v := range fit.Verdicts {
		if v.Constraint == clearance.ByNeighbour {
			fmt.Println(v.Sentence(geo.UnitsMetres))
		}
	}
	// Output:
	// radius 18.0 m: does_not_fit
	// touches 101: the swing circles overlap by 6.4 m
}

func TestSoundingsThatLieTooFarAreTold(t *testing.T) {
	origin := geo.Position{LatDeg: 44, LonDeg: -41}
	h := basin(origin, moored(origin, "1", 200, 250, 30))
	told := func() (n int) {
		for _, u := range field(t, h).Report().Unknown {
			if u.Verdict.Reason == clearance.SoundingsLeftOut {
				n++
			}
		}
		return n
	}
	if n := told(); n != 0 {
		t.Fatalf("%d gaps in a survey that lies in the harbor", n)
	}
	h.Soundings = geom.NewMultiPointFlat(geom.XYZ, append(h.Soundings.FlatCoords(), 41, 44, 5)) // a sign is wrong
	if n := told(); n != 1 {
		t.Errorf("%d gaps are told for one sounding on the other side of the ocean", n)
	}
}
