package webmap_test

import (
	"context"
	"net/http/httptest"
	"path/filepath"
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

// sharedService is the real service with the demo harbor and two who may sign in, a harbormaster and a crew.
func sharedService(t testing.TB) (address string, db *store.Store) {
	t.Helper()
	ctx := context.Background()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if db, err = store.Open(ctx, filepath.Join(t.TempDir(), "shared.db")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if _, err := db.Save(ctx, "tarrowick-harbor", 0, in.Harbor, store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	gate, err := account.NewGate(ctx, account.Options{Store: db})
	if err != nil {
		t.Fatal(err)
	}
	for _, each := range []struct{ name, role string }{{"Harbor Office", "harbormaster"}, {"Work Boat", "crew"}} { // the first has to be a harbormaster
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
	p.until(`document.getElementById("form-person").hidden && document.getElementById("person-words").textContent.startsWith("` + name + `")`)
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

// Two people have the same mooring open, each on a page of their own. Both write a note of their own and the crew an inspection as well: nothing of either is lost, and each hears of the other at once.
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
	for _, want := range []string{"the office's note", "the boat's note", "Work Boat,", "dived on it", "Tackle 2, looked at on:"} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is missing from %q", want, told)
		}
	}
	office.run(`document.querySelector('[data-clash="note"] input[value=mine]').click()`)
	office.click(saveButton)
	office.until(`document.querySelector("#record .saved").textContent.includes("revision 3")`)
	m := mooring301(t, db)
	if m.Note != "the office's note" || m.Permit.Year != 2026 || m.Tackle[1].Inspected != "2026-05-01" {
		t.Errorf("on record is the note %q, the permit of %d, looked at on %q", m.Note, m.Permit.Year, m.Tackle[1].Inspected)
	}
	// The other page hears of it, and the history tells both.
	boat.until(`document.querySelector("#news p").textContent === "Mooring 301 changed by Harbor Office: paid"`)
	office.button("Who changed what")
	office.until(`document.querySelectorAll(".change").length === 3`)
	history := strings.Join(strings.Fields(office.text("#history")), " ")
	for _, want := range []string{"Harbor Office ·", "Note the boat's note → the office's note", "Work Boat ·", "not on record → 1 May 2026"} {
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
		t.Errorf("after the undoing the note is %q, looked at on %q", m.Note, m.Tackle[1].Inspected)
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
	if read[bool](p, `[...document.querySelectorAll("#sheet button")].some((b) => ["Change the record", "Write a note", "Her boat leaves"].includes(b.textContent))`) {
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
