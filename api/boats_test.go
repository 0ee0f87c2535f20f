package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"swingroom/api"
	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/room"
)

const by = `,"who":"harbormaster","why":"asked for"`

// acted posts an act that has to be done.
func acted(t *testing.T, s *api.Service, act, body string) (done office.Result) {
	t.Helper()
	w := post(s, "/api/acts/"+act, "{"+body+by+"}")
	if err := json.Unmarshal(w.Body.Bytes(), &done); err != nil || w.Code != 200 {
		t.Fatalf("%s: %d %s", act, w.Code, w.Body)
	}
	return done
}

func onRecord(t *testing.T, db *store.Store, number string) *geo.Mooring {
	t.Helper()
	h, _, err := db.Harbor(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	for i := range h.Moorings {
		if h.Moorings[i].Number == number {
			return &h.Moorings[i]
		}
	}
	return nil
}

// A boat comes, moves her anchor, goes and leaves the mooring vacant; it is given up at last. Every act is on record.
func TestTheLifeOfAMooring(t *testing.T) {
	s, db := writing(t, demo(t))
	const boat = `"loa_m":9.4,"beam_m":3,"draft_m":1.5,"bow_height_m":1.2,"boat_kind":"sloop","boat":"Wren","owner":"Ada Example"`
	done := acted(t, s, "assign", `"number":"332",`+boat)
	if m := onRecord(t, db, "332"); m.Boat == nil || m.Boat.Name != "Wren" || m.Status != geo.Occupied || len(done.Fits) != 1 {
		t.Fatalf("%+v %+v", m, done)
	}
	if w := post(s, "/api/acts/assign", `{"number":"332",`+boat+by+`}`); w.Code != 400 ||
		!strings.Contains(w.Body.String(), "Wren lies on 332") {
		t.Errorf("an occupied mooring: %d %s", w.Code, w.Body)
	}
	if w := post(s, "/api/acts/retire", `{"number":"332"`+by+`}`); w.Code != 400 {
		t.Errorf("retired with a boat on it: %d %s", w.Code, w.Body)
	}
	before := onRecord(t, db, "332").Position
	to := geo.Ahead(before, 45, 1.5)
	acted(t, s, "anchor", fmt.Sprintf(`"number":"332","position":%q`, to.DD()))
	if m := onRecord(t, db, "332"); geo.Distance(m.Position, to) > 0.05 || m.Depth.IsKnown() {
		t.Errorf("%.2f m from where it was moved to", float64(geo.Distance(m.Position, to)))
	}
	acted(t, s, "vacate", `"number":"332"`)
	if m := onRecord(t, db, "332"); m.Boat != nil || m.Status != geo.Vacant || !m.LargestLOA.IsKnown() {
		t.Errorf("%+v", m)
	}
	acted(t, s, "retire", `"number":"332"`)
	if m := onRecord(t, db, "332"); m != nil {
		t.Errorf("%+v", m)
	}
	r := get(t, s, "/api/moorings/332/fit?loa_m=8")
	if text := string(body(t, r)); r.StatusCode != 404 || !strings.Contains(text, "it was retired on ") ||
		!strings.Contains(text, "by harbormaster: asked for") {
		t.Errorf("a retired mooring: %s %s", r.Status, text)
	}
	history, err := db.History(context.Background(), "", "mooring", "332")
	if err != nil || len(history) != 5 || history[0].Who != "harbormaster" && history[len(history)-1].Who != "harbormaster" {
		t.Errorf("%v: %d rows of history", err, len(history))
	}
}

// A swap that the fit check proposes is carried out as it says: both boats change places, in one revision.
func TestAProposedSwapIsDone(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	s, db := writing(t, demo(t))
	loaM := loaOf(t, "035") + 1
	acted(t, s, "assign", fmt.Sprintf(`"number":"035","replace":true,"despite":"she is bought, and will `+
		`swap","boat":"Larger","loa_m":%.2f,"beam_m":%.2f,"draft_m":1,"bow_height_m":1.2,"boat_kind":"sloop"`, loaM, loaM*0.31))
	var fit room.Fitting
	if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/035/fit")), &fit); err != nil {
		t.Fatal(err)
	}
	for _, way := range fit.Remedies {
		if way.Kind != room.Swapped {
			continue
		}
		other := onRecord(t, db, way.Mooring).Boat.Name
		done := acted(t, s, "ring", fmt.Sprintf(`"ring":"035,%s","despite":"the tackle is laid with it"`, way.Mooring))
		if a, b := onRecord(t, db, "035"), onRecord(t, db, way.Mooring); a.Boat.Name != other || b.Boat.Name != "Larger" ||
			len(done.Fits) != 2 {
			t.Errorf("%s on 035, %s on %s", a.Boat.Name, b.Boat.Name, way.Mooring)
		}
		return
	}
	t.Fatal("no swap is proposed")
}

// Every kind of way out that the check tells is carried out as told, and its boats then fit by the check itself.
func TestAWayOutIsTaken(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	taken := map[room.RemedyKind]bool{}
	for number, loaM := range map[string]float64{"035": loaOf(t, "035") + 1, "010": loaOf(t, "010")} {
		for takesOneMore(t, number, loaM, taken) {
		}
	}
	for _, kind := range []room.RemedyKind{room.OtherTackle, room.OtherPlace, room.NeighbourShorter, room.Swapped, room.NeighbourAway,
		room.NeighbourSmaller, room.AnchorMoved} {
		if !taken[kind] {
			t.Errorf("no way of kind %s was told", kind)
		}
	}
}

// loaOf is the length of the boat that lies on a mooring of the demo harbor.
func loaOf(t *testing.T, number string) float64 {
	t.Helper()
	h := demo(t)
	i := slices.IndexFunc(h.Moorings, func(m geo.Mooring) bool { return m.Number == number })
	return float64(h.Moorings[i].Boat.LOA.Or(0))
}

// takesOneMore takes a way out of a kind that was not taken yet; false where there is none.
func takesOneMore(t *testing.T, number string, loaM float64, taken map[room.RemedyKind]bool) bool {
	t.Helper()
	s, db := writing(t, demo(t))
	q := fmt.Sprintf("?loa_m=%.2f&beam_m=%.2f&draft_m=1&bow_height_m=1.2&boat_kind=sloop", loaM, loaM*0.31)
	boat := fmt.Sprintf(`"loa_m":%.2f,"beam_m":%.2f,"draft_m":1,"bow_height_m":1.2,"boat_kind":"sloop"`, loaM, loaM*0.31)
	var fit room.Fitting
	if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/"+number+"/fit"+q)), &fit); err != nil {
		t.Fatal(err)
	}
	for _, way := range fit.Remedies {
		if taken[way.Kind] {
			continue
		}
		taken[way.Kind] = true
		done := acted(t, s, "remedy", fmt.Sprintf(`"number":%q,"boat":"Larger",%s,"remedy":%q,"despite":"the wear"`, number, boat, way.ID))
		if last, err := db.HistoryPage(t.Context(), "", store.Page{Limit: 1}); err != nil || !strings.HasSuffix(last[0].Why, ": the wear") {
			t.Errorf("what was said is not kept: %v %+v", err, last)
		}
		if m := onRecord(t, db, way.Mooring); m.Boat == nil || m.Boat.Name != "Larger" || len(done.Fits) == 0 {
			t.Errorf("%s: %+v", way.Words.Metres, m)
		}
		if m := onRecord(t, db, number); way.Kind == room.OtherPlace && (m.Boat != nil || m.Status != geo.Vacant) {
			t.Errorf("%s: the old mooring has %+v", way.Words.Metres, m.Boat)
		}
		if w := post(s, "/api/acts/remedy", fmt.Sprintf(`{"number":%q,%s,"remedy":"a bridge over the fairway"`+by+`}`, number,
			boat)); w.Code != 409 && w.Code != 400 {
			t.Errorf("a way that is none: %d %s", w.Code, w.Body)
		}
		return true
	}
	return false
}

func TestABoatMovesToAVacantMooring(t *testing.T) {
	s, db := writing(t, demo(t))
	name := onRecord(t, db, "301").Boat.Name
	acted(t, s, "ring", `"ring":"301,332"`)
	if a, b := onRecord(t, db, "301"), onRecord(t, db, "332"); a.Boat != nil || a.Status != geo.Vacant || b.Boat == nil ||
		b.Boat.Name != name {
		t.Errorf("%+v %+v", a, b)
	}
}

func TestActsOnBoatsThatAreRefused(t *testing.T) {
	s, db := writing(t, demo(t))
	for name, c := range map[string]struct {
		act, body string
		status    int
		want      string
	}{
		"one boat on two moorings": {"ring", `"ring":"301,302,301"`, 400, "301 stands twice"},
		"a ring of one":            {"ring", `"ring":"301"`, 400, "two to six"},
		"a vacant one between":     {"ring", `"ring":"332,301"`, 400, "no boat lies on 332"},
		"not there":                {"ring", `"ring":"301,9999"`, 404, "9999"},
		"a boat with no length":    {"assign", `"number":"332","boat":"Wren"`, 400, "loa_m"},
		"far too long": {"assign", `"number":"332","loa_m":20,"beam_m":6,"draft_m":2,"bow_height_m":2`, 409,
			"is the longest boat of Middle Ground"},
		"nobody to leave": {"vacate", `"number":"332"`, 400, "no boat lies on 332"},
		"onto land":       {"anchor", `"number":"301","position":"44.5 -41.5"`, 409, "area"},
		"nowhere":         {"anchor", `"number":"301","position":"by the ledge"`, 400, ""},
		"not waiting":     {"assign", `"number":"332","waiting":"Nobody Inparticular"`, 404, "waiting list"},
	} {
		w := post(s, "/api/acts/"+c.act, "{"+c.body+by+"}")
		if w.Code != c.status || !strings.Contains(w.Body.String(), c.want) {
			t.Errorf("%s: %d %s; want %d with %q", name, w.Code, w.Body, c.status, c.want)
		}
	}
	if _, info, err := db.Harbor(context.Background(), ""); err != nil || info.Revision != 1 {
		t.Errorf("%v: revision %d", err, info.Revision)
	}
}
