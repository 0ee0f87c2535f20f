package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/account"
	"swingroom/api/office"
	"swingroom/geo"
)

// edit posts an edit with the tag that was looked at.
func edit(s *api.Service, tag, body string) (int, string) {
	w := post(s, "/api/acts/edit", body, "If-Match", tag)
	return w.Code, w.Body.String()
}

// recordOf reads a record and its tag.
func recordOf(t testing.TB, s *api.Service, noun, name string) (r struct {
	Revision int64
	Record   map[string]any
	May      []string
}, tag string) {
	t.Helper()
	w := get(t, s, "/api/records/"+noun+"/"+name)
	if err := json.Unmarshal(body(t, w), &r); err != nil || w.StatusCode != 200 {
		t.Fatalf("%s %s: %s %v", noun, name, w.Status, err)
	}
	return r, w.Header.Get("Etag")
}

func problem(t testing.TB, text string) (p api.Problem) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return p
}

func TestARecordIsEditedFieldByField(t *testing.T) {
	s, db := writing(t, demo(t))
	before, tag := recordOf(t, s, "mooring", "101")
	if tag != `"r1"` || before.Revision != 1 {
		t.Fatalf("tag %s", tag)
	}
	const name = `=SUM(A1) "Ärger" <b>ѣ</b>` // whatever stands there is text
	set, _ := json.Marshal(map[string]any{"boat.name": name, "permit.year": 2026, "permit.expires": "2026-12-31",
		"tackle[2].inspected": "2026-05-01"})
	code, text := edit(s, tag, fmt.Sprintf(`{"noun":"mooring","name":"101","set":%s,"who":"yard","why":"spring"}`, set))
	if code != 200 {
		t.Fatalf("%d %s", code, text)
	}
	h, info, err := db.Harbor(t.Context(), "")
	if err != nil || info.Revision != 2 {
		t.Fatal(err, info.Revision)
	}
	m := h.Moorings[0]
	for i := range h.Moorings {
		if h.Moorings[i].Number == "101" {
			m = h.Moorings[i]
		}
	}
	if m.Boat.Name != name || m.Permit != (geo.Permit{Year: 2026, Expires: "2026-12-31"}) || m.Tackle[1].Inspected != "2026-05-01" {
		t.Errorf("%+v", m)
	}
	after, tag2 := recordOf(t, s, "mooring", "101")
	if tag2 != `"r2"` || after.Record["boat"].(map[string]any)["name"] != name {
		t.Errorf("%s %v", tag2, after.Record["boat"])
	}
	// Another record keeps its own tag.
	if _, other := recordOf(t, s, "mooring", "102"); other != `"r1"` {
		t.Errorf("the tag of another mooring is %s", other)
	}
}

func TestAStaleEditIsToldWhatHasChangedFieldByField(t *testing.T) {
	s, db := writing(t, demo(t))
	if code, text := edit(s, `"r1"`, `{"noun":"mooring","name":"101","set":{"note":"new `+
		`swivel","permit.year":2025},"who":"Ann","why":"spring"}`); code != 200 {
		t.Fatal(code, text)
	}
	const late = `{"noun":"mooring","name":"101","set":{"note":"chain short"},"who":"Bo","why":"seen at low water"}`
	code, text := edit(s, `"r1"`, late)
	p := problem(t, text)
	if code != http.StatusPreconditionFailed || p.Revision != 2 || len(p.Changed) != 1 {
		t.Fatalf("%d %s", code, text)
	}
	c := p.Changed[0]
	if c.Who != "Ann" || c.Why != "spring" || c.Noun != "mooring" || c.Name != "101" || c.At.IsZero() {
		t.Errorf("%+v", c)
	}
	fields := map[string][2]string{}
	for _, f := range c.Fields {
		fields[f.Field] = [2]string{f.Before, f.After}
	}
	if len(fields) != 2 || fields["note"][1] != `"new swivel"` || fields["permit.year"][1] != "2025" {
		t.Errorf("%v", fields)
	}
	if _, info, _ := db.Harbor(t.Context(), ""); info.Revision != 2 {
		t.Errorf("something was written: revision %d", info.Revision)
	}
	if code, text := edit(s, fmt.Sprintf(`"r%d"`, p.Revision), late); code != 200 {
		t.Errorf("with the new tag: %d %s", code, text)
	}
	// What somebody else changed on another mooring is in nobody's way.
	if code, text := edit(s, `"r1"`, `{"noun":"mooring","name":"102","set":{"note":"x"},"who":"Bo","why":"y"}`); code != 200 {
		t.Errorf("another mooring: %d %s", code, text)
	}
}

func TestEditsThatAreRefusedChangeNothing(t *testing.T) {
	s, db := writing(t, demo(t))
	for name, c := range map[string]struct {
		body string
		code int
		want string
	}{
		"no such field":     {`{"noun":"mooring","name":"101","set":{"boat.captain":"x"}`, 400, "captain"},
		"no such noun":      {`{"noun":"ship","name":"101","set":{"a":1}`, 404, "there are those of mooring"},
		"no such thing":     {`{"noun":"owner","name":"Nobody At All","set":{"phone":"1"}`, 404, "not found"},
		"the number":        {`{"noun":"mooring","name":"101","set":{"number":"9"}`, 400, "number"},
		"the whole boat":    {`{"noun":"mooring","name":"101","set":{"boat":null}`, 400, "not set by this act"},
		"a text for a year": {`{"noun":"mooring","name":"101","set":{"permit.year":"soon"}`, 400, "year"},
		"far future":        {`{"noun":"mooring","name":"101","set":{"permit.expires":"9999-01-01"}`, 400, "2100"},
		"not inspected yet": {`{"noun":"mooring","name":"101","set":{"tackle[2].inspected":"2099-01-01"}`, 400, "has not come yet"},
		"a length below 0":  {`{"noun":"mooring","name":"101","set":{"boat.loa_m":-4}`, 400, "between"},
		"a boat too long": {`{"noun":"mooring","name":"101","set":{"boat.loa_m":40,"boat.length_all_m":null}`, 409,
			"the boat does not fit"},
		"nothing":            {`{"noun":"mooring","name":"101"`, 400, "set is expected"},
		"a plain set":        {`{"noun":"mooring","name":"101","set":"note"`, 400, "object"},
		"made twice":         {`{"noun":"waiting","name":"Ines Dunmarrow","new":true,"set":{"since":"2026-01-01"}`, 400, "already"},
		"a mooring is made":  {`{"noun":"mooring","name":"999","new":true,"set":{"note":"x"}`, 400, "not made by this act"},
		"a mooring goes":     {`{"noun":"mooring","name":"101","remove":true`, 400, "not taken away"},
		"an unknown setting": {`{"noun":"harbor","name":"","set":{"public":["passwords"]}`, 400, "public"},
	} {
		code, text := edit(s, "*", c.body+`,"who":"a","why":"b"}`)
		if code != c.code || !strings.Contains(text, c.want) {
			t.Errorf("%s: %d %.300s; want %d with %q", name, code, text, c.code, c.want)
		}
	}
	if _, info, _ := db.Harbor(t.Context(), ""); info.Revision != 1 {
		t.Errorf("revision %d", info.Revision)
	}
}

func TestOwnersAreMadeRenamedAndTakenAway(t *testing.T) {
	h := demo(t)
	s, db := writing(t, h)
	owner := h.Moorings[0].Boat.Owner
	do := func(body string) {
		t.Helper()
		if code, text := edit(s, "*", body+`,"who":"a","why":"b"}`); code != 200 {
			t.Fatalf("%s: %d %s", body, code, text)
		}
	}
	if _, ok := h.Owner(owner); !ok {
		do(fmt.Sprintf(`{"noun":"owner","name":%q,"new":true,"set":{"name":%q,"phone":"+00 555 0100"}`, owner, owner))
	}
	do(fmt.Sprintf(`{"noun":"owner","name":%q,"set":{"name":"Renamed Person","resident":true}`, owner))
	got, _, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	if o, ok := got.Owner("Renamed Person"); !ok || !o.Resident.Or(false) {
		t.Errorf("%+v", got.Owners)
	}
	for _, m := range got.Moorings {
		if m.Boat != nil && m.Boat.Owner == owner {
			t.Errorf("the boat on %s is still of %s", m.Number, owner)
		}
	}
	do(`{"noun":"owner","name":"Renamed Person","remove":true`)
	if got, _, _ = db.Harbor(t.Context(), ""); len(got.Owners) != max(len(h.Owners)-1, 0) {
		t.Errorf("%d owners", len(got.Owners))
	}
}

func TestOnesLastActIsUndoneAsANewOne(t *testing.T) {
	s, db := writing(t, demo(t))
	if code, text := edit(s, "*", `{"noun":"mooring","name":"101","set":{"note":"wrong buoy"},"who":"Ann","why":"typed"}`); code != 200 {
		t.Fatal(code, text)
	}
	if w := post(s, "/api/acts/vacate", `{"number":"102","who":"Bo","why":"sold"}`); w.Code != 200 {
		t.Fatal(w.Body)
	}
	if w := post(s, "/api/acts/undo", `{"who":"Ann","why":"it was 110","revision":1}`); w.Code != http.StatusPreconditionFailed {
		t.Errorf("another act than the last: %d %s", w.Code, w.Body)
	}
	if w := post(s, "/api/acts/undo", `{"who":"Ann","why":"it was 110","revision":2}`); w.Code != 200 {
		t.Fatal(w.Body)
	}
	h, info, err := db.Harbor(t.Context(), "")
	if err != nil || info.Revision != 4 {
		t.Fatal(err, info.Revision)
	}
	before, _ := db.HarborAt(t.Context(), "", 1)
	for i := range h.Moorings {
		if h.Moorings[i].Number == "101" && h.Moorings[i].Note != before.Moorings[i].Note {
			t.Errorf("note %q", h.Moorings[i].Note)
		}
	}
	history, err := db.History(t.Context(), "", "mooring", "101")
	if err != nil || len(history) != 3 || history[0].Who != "Ann" ||
		!strings.Contains(history[0].Why, "undo of revision 2 (typed): it was 110") {
		t.Errorf("%v %+v", err, history)
	}
	// The boat that left comes back; then nobody's act may be undone on which another has built.
	if w := post(s, "/api/acts/undo", `{"who":"Bo","why":"not sold","despite":"she lay there before"}`); w.Code != 200 {
		t.Fatal(w.Body)
	}
	if code, text := edit(s, "*", `{"noun":"mooring","name":"102","set":{"note":"hers again"},"who":"Cy","why":"typed"}`); code != 200 {
		t.Fatal(code, text)
	}
	w := post(s, "/api/acts/undo", `{"who":"Bo","why":"sold after all"}`)
	if p := problem(t, w.Body.String()); w.Code != http.StatusPreconditionFailed || len(p.Changed) != 1 || p.Changed[0].Who != "Cy" {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := post(s, "/api/acts/undo", `{"who":"Nobody","why":"x"}`); w.Code != http.StatusNotFound {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

func TestTheHistoryIsTurnedPageByPage(t *testing.T) {
	s, _ := writing(t, demo(t))
	for i := range 5 {
		if code, text := edit(s, "*", fmt.Sprintf(`{"noun":"mooring","name":"101","set":{"note":"step %d"},"who":"Ann","why":"step %d"}`, i,
			i)); code != 200 {
			t.Fatal(code, text)
		}
	}
	var whys []string
	var before int64
	for page := 0; ; page++ {
		path := "/api/history?noun=mooring&name=101&limit=2"
		if before > 0 {
			path += fmt.Sprintf("&before=%d", before)
		}
		var h office.History
		if err := json.Unmarshal(body(t, get(t, s, path)), &h); err != nil || len(h.Changes) > 2 {
			t.Fatal(err, len(h.Changes))
		}
		for _, c := range h.Changes {
			whys, before = append(whys, c.Why), c.ID
		}
		if !h.More {
			break
		}
	}
	if got := strings.Join(whys, ", "); got != "step 4, step 3, step 2, step 1, step 0, test" {
		t.Errorf("%s", got)
	}
}

func TestTheFieldIsShownAsItStood(t *testing.T) {
	s, db := writing(t, demo(t))
	_, info, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	if code, text := edit(s, "*", `{"noun":"mooring","name":"101","set":{"boat.name":"Another Name"},"who":"Ann","why":"x"}`); code != 200 {
		t.Fatal(code, text)
	}
	if r := get(t, s, "/api/harbors/tarrowick-harbor%40"+time.Now().Format(time.DateOnly)+"/moorings"); r.StatusCode != 200 {
		t.Errorf("the sign written as a browser may: %s", r.Status)
	}
	then := "/api/harbors/tarrowick-harbor@" + info.Changed.Format("2006-01-02T15:04:05.999Z07:00")
	if text := string(body(t, get(t, s, then+"/moorings"))); !strings.Contains(text, "Grey Sixpence") ||
		strings.Contains(text, "Another Name") {
		t.Error("the map does not show what was")
	}
	if text := string(body(t, get(t, s, "/api/moorings"))); strings.Contains(text, "Grey Sixpence") ||
		!strings.Contains(text, "Another Name") {
		t.Error("the map does not show what is")
	}
	var harbor office.HarborInfo
	if err := json.Unmarshal(body(t, get(t, s, then)), &harbor); err != nil || harbor.AsOf == nil || !strings.Contains(harbor.Slug, "@") {
		t.Errorf("%v %+v", err, harbor)
	}
	if w := post(s, then+"/acts/vacate", `{"number":"101","who":"a","why":"b"}`); w.Code != http.StatusForbidden ||
		!strings.Contains(w.Body.String(), "cannot be changed") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if r := get(t, s, then+"/changes"); r.StatusCode != http.StatusBadRequest {
		t.Errorf("a stream of what does not change: %s", r.Status)
	}
	for _, c := range []struct {
		at   string
		code int
	}{{"1999-01-01", 404}, {"2999-01-01", 400}, {"soon", 400}, {"", 400}} {
		if r := get(t, s, "/api/harbors/tarrowick-harbor@"+c.at+"/moorings"); r.StatusCode != c.code {
			t.Errorf("%q: %s", c.at, r.Status)
		}
	}
}

func TestEverythingOnRecordIsSearched(t *testing.T) {
	h := demo(t)
	h.Owners = append(h.Owners, geo.Owner{Name: "Zoë Quillfeather", Phone: "+00 555 0177", Address: "9 Eelpot Lane"})
	h.Moorings[0].Boat.Owner = "Zoë Quillfeather"
	h.Notes = append(h.Notes, geo.Note{ID: "n1", Mooring: "102", At: time.Date(2026, 5, 1, 9, 0, 0, 0, time.UTC),
		Text: strings.Repeat("long before. ", 30) + "the swivel is seized" + strings.Repeat(" long after.", 30), By: "crew"})
	s, _ := writing(t, h)
	for q, want := range map[string]string{
		"zoe quill": "owner Zoë Quillfeather " + h.Moorings[0].Number, "EELPOT": "owner Zoë Quillfeather " + h.Moorings[0].Number,
		"swivel seized": "note n1 102", "102": "mooring 102 102",
	} {
		var found office.Records
		if err := json.Unmarshal(body(t, get(t, s, "/api/search?q="+strings.ReplaceAll(q, " ", "+"))), &found); err != nil ||
			len(found.Results) == 0 {
			t.Errorf("%s: %v, nothing", q, err)
			continue
		}
		first := found.Results[0]
		if got := first.Noun + " " + first.Name + " " + first.Number; got != want || len(first.Words) > 400 {
			t.Errorf("%s: %s (%s), want %s", q, got, first.Words, want)
		}
		if q == "swivel seized" && !strings.Contains(first.Words, "swivel is seized") {
			t.Errorf("the words are cut round another place: %s", first.Words)
		}
	}
	if r := get(t, s, "/api/search?q=+"); r.StatusCode != 400 {
		t.Error(r.Status)
	}
}

// Several who write at once, each her own notes and one mooring that is everybody's: nothing that was acknowledged is lost, and nobody
// overwrites what she has not seen.
func TestManyWriteAtOnceAndNothingIsLost(t *testing.T) {
	s, db := writing(t, demo(t))
	const writers, rounds = 6, 12
	var wait sync.WaitGroup
	var mu sync.Mutex
	won := 0
	for w := range writers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range rounds {
				if r := post(s, "/api/acts/note", fmt.Sprintf(`{"mooring":"10%d","text":"note %d of %d","who":"w%d","why":"x"}`, w+1, i, w,
					w)); r.Code != 200 {
					t.Errorf("%d %s", r.Code, r.Body)
				}
				r, tag := recordOf(t, s, "mooring", "108")
				note, _ := r.Record["note"].(string)
				code, text := edit(s, tag, fmt.Sprintf(`{"noun":"mooring","name":"108","set":{"note":%q},"who":"w%d","why":"x"}`, note+"+",
					w))
				switch code {
				case 200:
					mu.Lock()
					won++
					mu.Unlock()
				case http.StatusPreconditionFailed:
				default:
					t.Errorf("%d %s", code, text)
				}
			}
		}()
	}
	wait.Wait()
	h, info, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	if got := len(h.Notes) - len(demo(t).Notes); got != writers*rounds {
		t.Errorf("%d notes, %d were acknowledged", got, writers*rounds)
	}
	m, _ := recordOf(t, s, "mooring", "108")
	if pluses := strings.Count(m.Record["note"].(string), "+"); pluses != won || won < rounds {
		t.Errorf("%d edits of one mooring were acknowledged, %d are there", won, pluses)
	}
	if info.Revision != int64(1+writers*rounds+won) {
		t.Errorf("revision %d after %d acts", info.Revision, writers*rounds+won)
	}
}

// Which fields a role may set, over the service: one that it may, and one that it may not.
func TestEachRoleSetsItsOwnFields(t *testing.T) {
	s, db := peopled(t, api.Options{})
	for _, c := range []struct {
		role  account.Role
		field string
		value string
		may   bool
	}{
		{account.Crew, "note", `"x"`, true}, {account.Crew, "accuracy_m", "2.5", true},
		{account.Crew, "tackle[2].inspected", `"2026-05-01"`, true}, {account.Crew, "tackle[2].left", "0.8", true},
		{account.Crew, "tackle[2].size_m", "0.02", false}, {account.Crew, "tackle[2]", "null", false},
		{account.Crew, "boat.name", `"Z"`, false}, {account.Crew, "permit.year", "2027", false},
		{account.Yard, "tackle[2].material", `"galvanised"`, true}, {account.Yard, "tackle[3].inspected", `"2026-05-01"`, true},
		{account.Yard, "boat.owner", `"Z"`, false}, {account.Yard, "largest_loa_m", "30", false},
		{account.Harbormaster, "boat.name", `"Z"`, true}, {account.Harbormaster, "permit.year", "2027", true},
		{account.Harbormaster, "status", `"vacant"`, false},
	} {
		cookie := signedIn(t, s, c.role)
		r := asked("POST", "/api/acts/edit", fmt.Sprintf(`{"noun":"mooring","name":"101","set":{%q:%s},"why":"test","despite":"test"}`,
			c.field, c.value), "Cookie", cookie, "If-Match", "*")
		w := sent(s, r)
		if (w.Code == 200) != c.may || !c.may && w.Code != 403 && w.Code != 400 {
			t.Errorf("%s sets %s: %d %.300s", c.role, c.field, w.Code, w.Body)
		}
	}
	// One may put one's own note right, and nobody else's.
	crew, yard := signedIn(t, s, account.Crew), signedIn(t, s, account.Yard)
	if w := sent(s, asked("POST", "/api/acts/note", `{"mooring":"101","text":"first"}`, "Cookie", crew, "If-Match", "*")); w.Code != 200 {
		t.Fatal(w.Body)
	}
	h, _, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	id := h.Notes[len(h.Notes)-1].ID
	if w := sent(s, asked("POST", "/api/acts/edit", fmt.Sprintf(`{"noun":"note","name":%q,"set":{"by":"yard"},"why":"x"}`, id), "Cookie",
		crew, "If-Match", "*")); w.Code != 400 {
		t.Errorf("who wrote it: %d %s", w.Code, w.Body)
	}
	for cookie, code := range map[string]int{yard: 403, crew: 200} {
		if w := sent(s, asked("POST", "/api/acts/edit", fmt.Sprintf(`{"noun":"note","name":%q,"set":{"text":"better"},"why":"x"}`, id),
			"Cookie", cookie, "If-Match", "*")); w.Code != code {
			t.Errorf("%d %s, want %d", w.Code, w.Body, code)
		}
	}
	// Nobody but the harbormaster makes, changes or takes away an owner, and nobody sets who did it.
	for _, role := range []account.Role{account.Crew, account.Yard} {
		r := asked("POST", "/api/acts/edit", `{"noun":"owner","name":"Dov Orrinvale","set":{"phone":"1"},"why":"x"}`, "Cookie",
			signedIn(t, s, role), "If-Match", "*")
		if w := sent(s, r); w.Code != 403 {
			t.Errorf("%s: %d %s", role, w.Code, w.Body)
		}
	}
}

// A yard proposes a swap: it is noted with what the check says, and nobody's place changes.
func TestASwapIsProposed(t *testing.T) {
	s, db := writing(t, demo(t))
	before, _, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	w := post(s, "/api/acts/propose", `{"ring":"104,105","who":"yard","why":"the larger one wants deeper water"}`)
	if w.Code != 200 {
		t.Fatal(w.Code, w.Body)
	}
	after, _, err := db.Harbor(t.Context(), "")
	if err != nil || len(after.Notes) != len(before.Notes)+1 || !reflect.DeepEqual(after.Moorings, before.Moorings) {
		t.Fatal(err, len(after.Notes))
	}
	n := after.Notes[len(after.Notes)-1]
	if n.By != "yard" || !strings.Contains(n.Text, "Proposed: ") || !strings.Contains(n.Text, "deeper water") ||
		!strings.Contains(n.Text, "This does not fit: 105: ") {
		t.Errorf("%+v", n)
	}
}
