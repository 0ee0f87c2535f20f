package api_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
	"github.com/paulmach/orb/planar"

	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

const forASloop = "area=Landing+Reach&loa_m=8&beam_m=2.6&draft_m=1.2&bow_height_m=1&rode_m=22"

func TestSpotsAndOpenWaterAgree(t *testing.T) {
	s := service(t, demo(t))
	var found office.Spots
	if err := json.Unmarshal(body(t, get(t, s, "/api/spots?count=4&"+forASloop+"&mark=44.207,-41.495")), &found); err != nil {
		t.Fatal(err)
	}
	fc, err := geojson.UnmarshalFeatureCollection(body(t, get(t, s, "/api/open_water?"+forASloop)))
	if err != nil || len(fc.Features) == 0 || len(found.Spots) != 4 {
		t.Fatalf("%v: %d pieces of water, %+v", err, len(fc.Features), found)
	}
	for i, spot := range found.Spots {
		inside := false
		for _, f := range fc.Features {
			inside = inside || planar.MultiPolygonContains(f.Geometry.(orb.MultiPolygon), spot.Position.Point())
		}
		if !inside || spot.ClearanceM < 0 || spot.BoundM-spot.ClearanceM > room.Close ||
			failing(spot.Fit, clearance.KindConflict)+failing(spot.Fit, clearance.KindHazard) > 0 || !spot.DistanceM.IsKnown() {
			t.Errorf("place %d: inside %v, %+v", i+1, inside, spot)
		}
		if i > 0 && spot.ClearanceM > found.Spots[i-1].ClearanceM || i > 0 && geo.Distance(spot.Position, found.Spots[0].Position) < 19.9 {
			t.Errorf("place %d is better or too near", i+1)
		}
		var tried room.Spot
		if err := json.Unmarshal(body(t, get(t, s, "/api/spot?"+forASloop+"&position="+strings.ReplaceAll(spot.Position.DD(), " ", "+"))),
			&tried); err != nil {
			t.Fatal(err)
		}
		if math.Abs(tried.ClearanceM-spot.ClearanceM) > 0.05 { // the position is written to a few centimetres
			t.Errorf("place %d has %.3f m, tried %.3f m", i+1, spot.ClearanceM, tried.ClearanceM)
		}
	}
}

func TestWhereNothingFitsTheNearMissesAreTold(t *testing.T) {
	s := service(t, demo(t))
	var found office.Spots
	if err := json.Unmarshal(body(t, get(t, s, "/api/spots?area=Landing+Reach&loa_m=13&draft_m=1.6&bow_height_m=1.2&rode_m=30")),
		&found); err != nil {
		t.Fatal(err)
	}
	if len(found.Spots) != 0 || len(found.Misses) < 5 || len(found.Misses[0].Freeing) == 0 ||
		!strings.HasPrefix(found.Words.Feet, "This boat fits nowhere") {
		t.Errorf("%+v", found)
	}
	for path, want := range map[string]string{
		"/api/spots?loa_m=8":                                                             "one of Town Cove",
		"/api/spots?area=Town+Cove&draft_m=1&rode_m=20":                                  "loa_m",
		"/api/spots?area=Town+Cove&loa_m=8&rode_m=20":                                    "draft_m",
		"/api/spots?area=Town+Cove&loa_m=8&draft_m=1":                                    "rode_m",
		"/api/spots?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&scope=3":                  "one of rode_m, scope and tackle_of",
		"/api/spots?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&rule=guess":               "rule",
		"/api/spots?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&without=nobody":           "nobody",
		"/api/spots?area=Town+Cove&loa_m=-8&draft_m=1&rode_m=20":                         "loa_m",
		"/api/spots?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&count=99":                 "count",
		"/api/spots?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&apart_m=-1":               "apart_m",
		"/api/spot?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&position=somewhere":        "",
		"/api/spot?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&position=89.5+N+10+E":      "between 89° S and 89° N",
		"/api/find?q=89.5+S+10+E":                                                        "between 89° S and 89° N",
		"/api/open_water?area=Town+Cove&loa_m=8&draft_m=1&rode_m=20&mark=12+apples+east": "",
	} {
		r := get(t, s, path)
		if text := string(body(t, r)); r.StatusCode < 400 || r.StatusCode >= 500 || !strings.Contains(text, want) {
			t.Errorf("%s: %d %s", path, r.StatusCode, text)
		}
	}
}

func TestTheWaitingListIsServed(t *testing.T) {
	h := demo(t)
	s := service(t, h)
	var got room.Assignments
	if err := json.Unmarshal(body(t, get(t, s, "/api/waiting")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Given) != len(h.Waiting) || len(got.Given) < 20 || len(got.Offers) == 0 {
		t.Errorf("%+v", got)
	}
}
