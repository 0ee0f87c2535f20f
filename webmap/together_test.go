package webmap_test

import (
	"context"
	"math"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/account"
	"swingroom/api/exchange"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo"
)

// sharedService is the real service with the demo harbor and three who may sign in: a harbormaster, a crew and a yard.
func sharedService(t testing.TB) (address string, db *store.Store) {
	t.Helper()
	inShort(t)
	ctx := context.Background()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if db, err = store.Open(ctx, filepath.Join(t.TempDir(), "shared.db")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if _, err := db.Save(ctx, "tarrowick-harbor", 0, in.Harbor,
		store.Act{Who: "test", Why: "test", At: time.Now().AddDate(0, 0, -7)}); err != nil {
		t.Fatal(err)
	}
	gate, err := account.NewAuthenticator(ctx, account.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	// the first has to be a harbormaster
	for _, each := range []struct{ name, role string }{{"Harbor Office", "harbormaster"}, {"Work Boat", "crew"}, {"Boat Yard", "yard"}} {
		if _, err := gate.Add(ctx, each.name, each.role, fakePassword); err != nil {
			t.Fatal(err)
		}
	}
	service, err := api.New(api.Options{Store: db, Local: true})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(service.Handler())
	t.Cleanup(func() { server.CloseClientConnections(); server.Close() })
	return server.URL + "/#harbor=tarrowick-harbor", db
}

// signs in by the form at the top.
func (p *tab) signs(name string) *tab {
	p.Helper()
	p.until(`!document.getElementById("person").hidden`)
	p.run(`document.getElementById("person").click()`)
	p.typed("#person-name", name)
	p.typed("#person-password", fakePassword)
	p.run(`document.querySelector("#form-person button[type=submit]").click()`)
	p.until(`document.getElementById("form-person").hidden && document.getElementById("person-words").textContent.startsWith("` + name +
		`")`)
	return p
}

func mooring301(t *testing.T, db *store.Store) geo.Mooring {
	t.Helper()
	h, _, err := db.Harbor(context.Background(), "tarrowick-harbor")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range h.Moorings {
		if m.Number == "301" {
			return m
		}
	}
	t.Fatal("301 is not on file")
	return geo.Mooring{}
}

// Two people have the same mooring open, each on a page of their own. Both write a note of their own and the crew an inspection as well:
// nothing of either is lost, and each hears of the other at once.
func TestTwoPeopleChangeOneMooringAndLoseNothing(t *testing.T) {
	address, db := sharedService(t)
	office, boat := desk(t).open(address), phone(t).open(address)
	office.signs("Harbor Office")
	boat.signs("Work Boat")
	for _, p := range []*tab{office, boat} {
		changing(p, address, "301")
	}
	office.typed(`#record [data-field="note"] textarea`, "the office's note")
	office.typed(`#record [data-field="permit.year"] input`, "2026")
	office.typed(whyField, "paid")
	boat.typed(`#record [data-field="note"] textarea`, "the boat's note")
	boat.run(`document.querySelector('[data-field="tackle[2].inspected"]').closest("details").open = true`)
	boat.typed(`#record [data-field="tackle[2].inspected"] input`, "2026-05-01")
	boat.typed(whyField, "dived on it")

	start := time.Now()
	boat.run(`document.querySelector("` + saveButton + `").click()`)
	office.until(`!document.getElementById("news").hidden`)
	took := time.Since(start)
	t.Logf("from the click of one until the other was told: %v", took)
	if took > 2*time.Second {
		t.Errorf("told after %v, want within 2 s", took)
	}
	if got := office.text("#news p"); got != "Mooring 301 changed by Work Boat: dived on it" {
		t.Errorf("the line is %q", got)
	}
	office.until(`document.querySelector("#record .meanwhile").textContent.includes("Work Boat has changed this record")`)
	if n := newsPixels(office); n == 0 {
		t.Error("it is not marked on the map")
	}

	office.click(saveButton)
	office.until(`document.querySelector('[data-clash="note"]')`)
	told := strings.Join(strings.Fields(office.text("#record .act")), " ")
	for _, want := range []string{"the office's note", "the boat's note", "Work Boat,", "dived on it", "Tackle 2, inspected on:"} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is missing from %q", want, told)
		}
	}
	office.run(`document.querySelector('[data-clash="note"] input[value=mine]').click()`)
	office.click(saveButton)
	office.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
	m := mooring301(t, db)
	if m.Note != "the office's note" || m.Permit.Year != 2026 || m.Tackle[1].Inspected != "2026-05-01" {
		t.Errorf("on record is the note %q, the permit of %d, inspected on %q", m.Note, m.Permit.Year, m.Tackle[1].Inspected)
	}
	// The other page hears of it, and the history tells both.
	boat.until(`document.querySelector("#news p").textContent === "Mooring 301 changed by Harbor Office: paid"`)
	office.button("Who changed what")
	office.until(`document.querySelectorAll(".change").length === 3`)
	history := strings.Join(strings.Fields(office.text("#history")), " ")
	for _, want := range []string{"Harbor Office ·", "Note the boat's note → the office's note", "Work Boat ·",
		"not on record → 1 May 2026"} {
		if !strings.Contains(history, want) {
			t.Errorf("%q is missing from %q", want, history)
		}
	}
	// The office's own last act is undone: the boat's note is there again, and the inspection stays.
	office.button("Undo my last act")
	office.until(`document.querySelector("#history .act button[type=submit]")`)
	office.click("#history .act button[type=submit]")
	office.until(`document.querySelector("#history .saved")?.textContent.includes("Undone")`)
	if m = mooring301(t, db); m.Note != "the boat's note" || m.Tackle[1].Inspected != "2026-05-01" {
		t.Errorf("after the undoing the note is %q, inspected on %q", m.Note, m.Tackle[1].Inspected)
	}
}

// The public's page of the real service shows no names, offers no acts, and hears that something has changed but not who did it.
func TestThePublicSeesTheMapAndNoNames(t *testing.T) {
	address, db := sharedService(t)
	p := desk(t).open(address + "&mooring=301")
	p.until(`document.querySelector("#record") && document.querySelector("#sheet .radius")`)
	m := mooring301(t, db)
	if m.Boat.Owner == "" || m.Boat.Name == "" {
		t.Fatal("the mooring has no names to be kept back: the test proves nothing")
	}
	if body := p.text("body"); strings.Contains(body, m.Boat.Owner) || strings.Contains(body, m.Boat.Name) {
		t.Error("a name is on the public's page")
	}
	if read[bool](p, `[...document.querySelectorAll("#sheet button")].some((b) => ["Change the record", "Write a note", "The boat `+
		`leaves"].includes(b.textContent))`) {
		t.Error("an act is offered to the public")
	}
	boat := desk(t).open(address)
	boat.signs("Work Boat")
	changing(boat, address, "302")
	boat.typed(`#record [data-field="note"] textarea`, "seen")
	boat.typed(whyField, "a look round")
	boat.click(saveButton)
	p.until(`!document.getElementById("news").hidden`)
	if got := p.text("#news p"); got != "Mooring 302 changed" {
		t.Errorf("the public is told %q", got)
	}
	p.quiet()
}

// With the demo's own words, a name and a past day at the top, there is room for all of them.
func TestTheTopOfTheRealPageHasRoom(t *testing.T) {
	address, _ := sharedService(t)
	for _, width := range []int64{1320, 1440, 1680} {
		p := newTab(t, width, 700).open(address)
		p.signs("Harbor Office")
		p.open(address + "&on=" + time.Now().AddDate(0, 0, -3).Format(time.DateOnly))
		p.until(`document.getElementById("person").checkVisibility() && document.getElementById("pastbar")?.checkVisibility() && ` +
			`!document.getElementById("tide").hidden`)
		for _, each := range read[[]string](p, overTheTop) {
			t.Errorf("%d px: %s", width, each)
		}
	}
}

// What the real service tells of records, lists and a past is shown as it is.
func TestTheRealServicesRecordsListsAndPast(t *testing.T) {
	address, db := sharedService(t)
	p := desk(t).open(address)
	p.signs("Harbor Office")
	changing(p, address, "301")
	m := mooring301(t, db)
	p.typed(`#record [data-field="note"] textarea`, "written today")
	p.typed(whyField, "a test of pasts")
	p.click(saveButton)
	p.until(`document.querySelector("#record .note-text")?.textContent === "written today" && document.querySelector("#record ` +
		`.saved").textContent && document.documentElement.dataset.written === "2"`)
	if got := p.text("#record"); !strings.Contains(got, m.Boat.Owner) || !strings.Contains(got, "example.invalid") {
		t.Errorf("the owner and how to reach them are missing from %q", got)
	}
	// A boat that is too long for the place is refused with the reasons, and put on record when somebody says why it is done anyway.
	p.button("Change the record")
	p.until(`document.querySelector("#record .group")`)
	p.typed(`#record [data-field="boat.loa_m"] input`, "60 ft")
	p.typed(`#record [data-field="boat.length_all_m"] input`, "61 ft")
	p.typed(whyField, "bought a larger boat")
	p.click(saveButton)
	p.until(`document.querySelector("#record .act .reasons li") && document.querySelector("#record [name=despite]").checkVisibility()`)
	if got := mooring301(t, db); got.Boat.LOA != m.Boat.LOA {
		t.Errorf("it is on record all the same: %v", got.Boat.LOA)
	}
	p.typed("#record [name=despite]", "one night in a calm")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
	if got, _ := mooring301(t, db).Boat.LOA.Get(); math.Abs(got.Feet()-60) > 0.001 {
		t.Errorf("on record is a length of %.3f ft, want 60", got.Feet())
	}
	// A note with a picture is taken, and the picture comes back.
	p.button("Write a note")
	p.typed("#notes textarea", "pennant chafed at the chock")
	p.choose(photoFile(t, "chock.png", 90))
	p.until(`document.querySelector("#notes .picked li")`)
	p.click("#notes .act button[type=submit]")
	p.until(`document.querySelector("#notes .saved").textContent.includes("on record")`)
	p.until(`document.querySelector("#notes .thumbs img")?.naturalWidth > 0`)
	h, _, err := db.Harbor(context.Background(), "tarrowick-harbor")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(h.Notes, func(n geo.Note) bool { return n.Text == "pennant chafed at the chock" })
	if i < 0 || h.Notes[i].By != "Harbor Office" || h.Notes[i].Mooring != "301" || len(h.Notes[i].Photos) != 1 {
		t.Fatalf("the note is not on record as it was written: %v", h.Notes)
	}
	if !read[bool](p, `(async () => { const r = await fetch("api/harbors/tarrowick-harbor/photos/`+h.Notes[i].Photos[0]+
		`"); return r.ok && r.headers.get("content-type") === "image/jpeg" })()`) {
		t.Error("the picture does not come back")
	}
	// Every list that is offered is there.
	p.run(`document.getElementById("list-files").open = true`)
	p.until(`document.querySelectorAll("#list-files-body a").length === 12`)
	if bad := read[[]string](p, `Promise.all([...document.querySelectorAll("#list-files-body a")].map(async (a) => { const r = await `+
		`fetch(a.href); return r.ok && (await r.arrayBuffer()).byteLength > 20 ? "" : a.href + " " + r.status })).then((all) => `+
		`all.filter(Boolean))`); len(bad) > 0 {
		t.Errorf("not there: %v", bad)
	}
	if !read[bool](p, `(async () => { const r = await fetch([...document.querySelectorAll("#history a")].at(-1)?.href ?? `+
		`"api/harbors/tarrowick-harbor/moorings/301/history.pdf"); return r.ok &&
			r.headers.get("content-type") === "application/pdf" })()`) {
		t.Error("the history to print is no PDF")
	}
	// An owner is found by name, and the card tells how to reach them.
	p.typed("#q", m.Boat.Owner)
	p.until(`[...document.querySelectorAll("#on-record .row")].some((r) => r.textContent.includes("owner"))`)
	p.run(`[...document.querySelectorAll("#on-record .row")].find((r) => r.textContent.includes("owner")).click()`)
	p.until(`document.querySelector(".record-card .figures")`)
	if got := p.text("#answer"); !strings.Contains(got, "example.invalid") {
		t.Errorf("the owner's card is %q", got)
	}
	// Yesterday the note was another.
	yesterday := time.Now().AddDate(0, 0, -1).Format(time.DateOnly)
	p.open(address + "&mooring=301&on=" + yesterday)
	p.until(`document.getElementById("pastbar").checkVisibility() && document.querySelector("#record .note-text")`)
	if got := p.text("#record .note-text"); got != m.Note {
		t.Errorf("yesterday's note is %q, want %q", got, m.Note)
	}
	if read[bool](p, `[...document.querySelectorAll("button")].some((b) => b.textContent === "Change the record")`) {
		t.Error("a past can be changed")
	}
}
