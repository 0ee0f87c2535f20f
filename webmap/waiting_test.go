package webmap_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// listed opens the whole waiting list.
func listed(p *tab, address string) *tab {
	p.Helper()
	p.open(address + "&ask=next")
	p.button("The whole list")
	p.until(`document.querySelector('#next-answer [aria-label="The whole list, by date"] li')`)
	return p
}

// ofPerson finds a part of the item of one who waits.
func ofPerson(name, part string) string {
	return fmt.Sprintf(
		`[...document.querySelectorAll("#next-answer ol > li")].find((li) => li.textContent.includes(%q))?.querySelector(%q)`, name, part)
}

// sets types into a field that an expression finds.
func (p *tab) sets(find, text string) {
	p.Helper()
	p.until(find)
	p.run(fmt.Sprintf(`const e = %s; e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new `+
		`Event("change", {bubbles: true}))`, find, text))
}

func (p *tab) clicks(find string) {
	p.Helper()
	p.until(find)
	p.run(find + ".click()")
}

func TestSomebodyIsPutOnTheListChangedAndTakenOff(t *testing.T) {
	f := newFake(t, 60)
	p := listed(desk(t), f.address())
	p.button("Put somebody on the list")
	p.until(`document.activeElement.closest('[data-field="name"]')`)
	p.typed(`.on-list .act [name=who]`, "B")
	p.typed(`.on-list .act [name=why]`, "came by")
	p.click(`.on-list .act button[type=submit]`)
	p.until(`document.querySelector(".on-list .field-fault")?.textContent.includes("fill this in")`)
	if _, n := f.acts.last(); n != 0 {
		t.Fatalf("%d were posted without a name", n)
	}
	p.typed(`.on-list [data-field="name"] input`, "New Bird")
	p.typed(`.on-list [data-field="since"] input`, "2026-05-01")
	p.typed(`.on-list [data-field="areas"] input`, "West, East")
	p.run(`document.querySelector('.on-list [data-field="boat.loa_m"]').closest("details").open = true; ` +
		`document.getElementById("units-feet").click()`)
	p.typed(`.on-list [data-field="boat.loa_m"] input`, "30")
	p.click(`.on-list .act button[type=submit]`)
	p.until(`document.querySelector(".on-list .saved").textContent.includes("New Bird is put on the list. Who did it and why is on ` +
		`record.")`)
	body, _ := f.acts.last()
	set := body["set"].(map[string]any)
	// 30 ft are 9.144 m: from 0.3048 m to the foot (24 FR 5348).
	if body["noun"] != "waiting" || body["name"] != "New Bird" || body["new"] != true || body["if_match"] != `"r1"` || len(set) != 4 ||
		set["name"] != "New Bird" || set["since"] != "2026-05-01" || fmt.Sprint(set["areas"]) != "[West East]" ||
		set["boat.loa_m"] != 9.144 {
		t.Errorf("sent %v", body)
	}
	// The list has come anew with the new name, and is still the whole one.
	p.clicks(ofPerson("New Bird", ".giving > button"))
	p.until(ofPerson("New Bird", ".figures"))
	if got := read[string](p, ofPerson("New Bird", ".figures")+".innerText"); !strings.Contains(got, "West, East") ||
		!strings.Contains(got, "30.0") {
		t.Errorf("on record of her is %q", got)
	}
	p.clicks(`[...document.querySelectorAll("#next-answer .record-card button")].find((b) => b.textContent === "Change the record")`)
	p.sets(ofPerson("New Bird", `[data-field="note"] textarea`), "has a dinghy")
	p.sets(ofPerson("New Bird", `.record-form .act [name=why]`), "asked")
	p.clicks(ofPerson("New Bird", `.record-form button[type=submit]`))
	p.until(ofPerson("New Bird", ".saved") + `.textContent && document.documentElement.dataset.written === "3"`)
	if got := f.recordOf("waiting", "New Bird")["note"]; got != "has a dinghy" {
		t.Errorf("the note is %q", got)
	}
	// Off the list, with why, and only from what was looked at.
	p.clicks(`[...document.querySelectorAll("#next-answer .record-card button")].find((b) => b.textContent === "Take off the list")`)
	remove := `[...document.querySelectorAll("#next-answer .record-card form")].find((e) => e.checkVisibility())`
	p.clicks(remove + `.querySelector("button[type=submit]")`)
	p.until(remove + `.querySelector(".field-fault")`)
	p.sets(remove+`.querySelector("[name=why]")`, "moved away")
	f.change("waiting", "New Bird", "Somebody Else", "longer boat", map[string]any{"boat.loa_m": 11.0})
	p.clicks(remove + `.querySelector("button[type=submit]")`)
	p.until(remove + `.querySelector(".refusal")?.textContent.includes("longer boat")`)
	if f.recordOf("waiting", "New Bird") == nil {
		t.Fatal("she is off the list although her record was changed meanwhile")
	}
	p.clicks(remove + `.querySelector("button[type=submit]")`)
	p.until(`document.querySelector(".on-list .saved").textContent.includes("New Bird is taken off the list")`)
	p.until(`document.querySelectorAll("#next-answer ol > li").length === 2`)
	if body, _ := f.acts.last(); body["remove"] != true || body["why"] != "moved away" || f.recordOf("waiting", "New Bird") != nil {
		t.Errorf("sent %v", body)
	}
}

// While somebody types, another changes the harbor and the list is asked for again.
func TestWhatIsTypedOfOneWhoWaitsOutlastsTheListsComingAnew(t *testing.T) {
	f := newFake(t, 60)
	p := listed(desk(t), f.address())
	p.listening(f)
	p.clicks(ofPerson("Early Bird", ".giving > button"))
	p.clicks(`[...document.querySelectorAll("#next-answer .record-card button")].find((b) => b.textContent === "Change the record")`)
	note := ofPerson("Early Bird", `[data-field="note"] textarea`)
	p.until(note)
	p.run(fmt.Sprintf(`const e = %s; e.closest("details").open = true; e.focus()`, note))
	p.sets(note, "half a sen")
	const asked = `performance.getEntriesByType("resource").filter((e) => /\/waiting(\?|$)/.test(e.name)).length`
	before := read[int](p, asked)
	f.change("mooring", "003", "Somebody Else", "survey", map[string]any{"note": "new"})
	p.until(fmt.Sprintf(`%s > %d && !document.querySelector("#next-answer .searching")`, asked, before))
	p.until(fmt.Sprintf(`document.activeElement === %s`, note))
	if got := read[string](p, note+".value"); got != "half a sen" {
		t.Errorf("what was typed became %q", got)
	}
}

func TestCrewReadsTheListAndDoesNotChangeIt(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Crew One", "crew")
	p := listed(desk(t), f.address())
	p.clicks(ofPerson("Early Bird", ".giving > button"))
	p.until(ofPerson("Early Bird", ".figures"))
	for _, words := range []string{"Put somebody on the list", "Change the record", "Take off the list"} {
		if read[bool](p, fmt.Sprintf(`[...document.querySelectorAll("#form-next button")].some((b) => b.textContent === %q && `+
			`b.checkVisibility())`, words)) {
			t.Errorf("%q is offered to the crew", words)
		}
	}
}

// On the real service: put on with her boat in feet, found where she belongs, and taken off again; the file says so each time.
func TestTheWaitingListIsKeptOnThePage(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	address, db := sharedService(t)
	of := func() *geo.Waiting {
		t.Helper()
		h, _, err := db.Harbor(context.Background(), "tarrowick-harbor")
		if err != nil {
			t.Fatal(err)
		}
		for i := range h.Waiting {
			if h.Waiting[i].Name == "Long Patience" {
				return &h.Waiting[i]
			}
		}
		return nil
	}
	p := desk(t).open(address).signs("Harbor Office")
	listed(p, address)
	p.button("Put somebody on the list")
	p.typed(`.on-list [data-field="name"] input`, "Long Patience")
	p.typed(`.on-list [data-field="since"] input`, "2001-02-03")
	p.typed(`.on-list [data-field="areas"] input`, "No Such Reach")
	p.typed(`.on-list [data-field="boat.loa_m"] input`, "24 ft")
	p.typed(`.on-list [data-field="boat.draft_m"] input`, "3'6\"")
	p.typed(`.on-list [data-field="note"] textarea`, "rows out")
	p.typed(`.on-list .act [name=why]`, "came by")
	p.click(`.on-list .act button[type=submit]`)
	p.until(`document.querySelector(".on-list .refusal")?.textContent.includes("No Such Reach")`)
	for _, each := range axe(p, string(source)) {
		t.Error(each)
	}
	p.typed(`.on-list [data-field="areas"] input`, "Landing Reach")
	p.click(`.on-list .act button[type=submit]`)
	p.until(`document.querySelector(".on-list .saved").textContent.includes("Long Patience is put on the list")`)
	w := of()
	if w == nil {
		t.Fatal("nobody of that name is on file")
	}
	loa, _ := w.Boat.LOA.Get()
	draft, _ := w.Boat.Draft.Get()
	if w.Since != "2001-02-03" || len(w.Areas) != 1 || w.Areas[0] != "Landing Reach" || math.Abs(loa.Feet()-24) > 0.001 ||
		math.Abs(draft.Feet()-3.5) > 0.001 || w.Note != "rows out" {
		t.Errorf("on file is %+v", w)
	}
	p.clicks(ofPerson("Long Patience", ".giving > button"))
	p.clicks(`[...document.querySelectorAll("#next-answer .record-card button")].find((b) => b.textContent === "Take off the list")`)
	p.sets(ofPerson("Long Patience", `.record-card [name=why]`), "moved away")
	p.clicks(ofPerson("Long Patience", `.record-card form button[type=submit]`))
	p.until(`document.querySelector(".on-list .saved").textContent.includes("is taken off the list")`)
	if of() != nil {
		t.Error("she is on file still")
	}
	p.until(`!` + strings.TrimSuffix(ofPerson("Long Patience", "button"), `?.querySelector("button")`))
}
