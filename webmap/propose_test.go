package webmap_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
)

func TestTheYardProposesASwapFromTheFitCheck(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Yard One", "yard")
	p := desk(t).open(f.address())
	tryOn(p, map[string]string{"number": "012", "loa": "33 ft"})
	p.until(`document.querySelectorAll(".remedies li").length === 2`)
	if read[bool](p, `[...document.querySelectorAll("button")].some((b) => ["Move the boat to 002", "Swap with `+
		`001"].includes(b.textContent) && b.checkVisibility())`) {
		t.Error("the yard is offered to take a way, which is the harbormaster's")
	}
	swap := `[...document.querySelectorAll(".remedies li")].find((li) => li.textContent.includes("swap with"))`
	p.clicks(fmt.Sprintf(`[...%s.querySelectorAll("button")].find((b) => b.textContent === "Propose it")`, swap))
	p.until(swap + `.querySelector("form")?.textContent.includes("Boat 012 from 012 to 001, Boat 001 from 001 to 012.")`)
	// Without why nothing is sent.
	p.clicks(swap + `.querySelector("form button[type=submit]")`)
	p.until(swap + `.querySelector("form .field-fault")`)
	if _, n := f.acts.last(); n != 0 {
		t.Fatalf("%d were posted without why", n)
	}
	p.sets(swap+`.querySelector("[name=why]")`, "she bought a larger boat")
	p.clicks(swap + `.querySelector("form button[type=submit]")`)
	p.until(`document.getElementById("sheet-number").textContent === "012" && document.querySelector("#notes ` +
		`.note-text")?.textContent.includes("Proposed: 012 to 001. she bought a larger boat")`)
	body, _ := f.acts.last()
	if body["ring"] != "012,001" || body["why"] != "she bought a larger boat" {
		t.Errorf("sent %v", body)
	}
	p.quiet()
}

func TestTheYardProposesASwapFromTheSheet(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Yard One", "yard")
	p := desk(t).open(f.address() + "&mooring=012")
	p.button("Propose a swap with")
	form := `[...document.querySelectorAll("#sheet form")].find((e) => e.querySelector("[name=other]"))`
	p.sets(form+`.querySelector("[name=other]")`, "9999")
	p.sets(form+`.querySelector("[name=why]")`, "shorter walk")
	p.clicks(form + `.querySelector("button[type=submit]")`)
	p.until(form + `.querySelector(".refusal")?.textContent.includes("9999")`)
	if got := read[string](p, form+`.querySelector("[name=other]").value`); got != "9999" {
		t.Errorf("what was typed became %q", got)
	}
	p.sets(form+`.querySelector("[name=other]")`, "003")
	p.clicks(form + `.querySelector("button[type=submit]")`)
	p.until(`document.querySelector("#notes .note-text")?.textContent.includes("Proposed: 012 to 003. shorter walk")`)
	if body, _ := f.acts.last(); body["ring"] != "012,003" {
		t.Errorf("sent %v", body)
	}
}

func TestNobodyElseIsOfferedToProposeASwap(t *testing.T) {
	f := newFake(t, 60)
	for _, each := range []struct{ name, role string }{{"", "public"}, {"Crew One", "crew"}, {"Harbor Office", "harbormaster"}} {
		f.signedIn(each.name, each.role)
		p := desk(t).open(f.address() + "&mooring=012")
		p.until(`document.querySelector("#record")`)
		tryOn(p, map[string]string{"number": "012", "loa": "33 ft"})
		p.until(`document.querySelector(".remedies li")`)
		if read[bool](p, `[...document.querySelectorAll("button")].some((b) => b.textContent.startsWith("Propose"))`) {
			t.Errorf("it is offered to the %s", each.role)
		}
	}
}

// On the real service the proposal is a note with the verdict of the check, nobody's place changes, and the harbormaster reads it on the
// sheet.
func TestAProposalStandsOnTheSheetAndMovesNobody(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	address, db := sharedService(t)
	before := mooring301(t, db)
	h, _, err := db.Harbor(context.Background(), "tarrowick-harbor")
	if err != nil {
		t.Fatal(err)
	}
	other := ""
	for i := range h.Moorings {
		if m := &h.Moorings[i]; m.Number != "301" && m.Boat != nil && m.Boat.Name != "" && m.Area == before.Area {
			other = m.Number
		}
	}
	yard := phone(t).open(address).signs("Boat Yard")
	yard.open(address + "&mooring=301")
	yard.button("Propose a swap with")
	form := `[...document.querySelectorAll("#sheet form")].find((e) => e.querySelector("[name=other]"))`
	yard.sets(form+`.querySelector("[name=other]")`, other)
	yard.sets(form+`.querySelector("[name=why]")`, "shorter walk")
	for _, each := range append(axe(yard, string(source)), untouchable(yard)...) {
		t.Error(each)
	}
	yard.run(form + `.querySelector("button[type=submit]").click()`)
	yard.until(`document.querySelector("#notes .note-text")?.textContent.startsWith("Proposed: ")`)
	office := desk(t).open(address).signs("Harbor Office")
	office.open(address + "&mooring=301")
	office.until(`document.querySelector("#notes .note-text")`)
	if got := office.text("#notes .note"); !strings.Contains(got, "Boat Yard") ||
		!strings.Contains(got, before.Boat.Name+" from 301 to "+other) || !strings.Contains(got, "shorter walk") ||
		!strings.Contains(got, "This does not fit: ") {
		t.Errorf("the note is %q", got)
	}
	if after := mooring301(t, db); after.Boat.Name != before.Boat.Name {
		t.Errorf("%s lies on 301 now", after.Boat.Name)
	}
}
