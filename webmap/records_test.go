package webmap_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// typed puts a text into a field as if it had been typed.
func (p *tab) typed(selector, text string) {
	p.Helper()
	p.until(fmt.Sprintf(`document.querySelector(%q)`, selector))
	p.run(fmt.Sprintf(`const e = document.querySelector(%q); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); `+
		`e.dispatchEvent(new Event("change", {bubbles: true}))`, selector, text))
}

// value is what stands in a field.
func (p *tab) value(selector string) string {
	p.Helper()
	return read[string](p, fmt.Sprintf(`document.querySelector(%q).value`, selector))
}

// press a button by its words, the first that can be seen.
func (p *tab) button(words string) {
	p.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll("button, summary")].find((b) => b.textContent.trim().startsWith(%q) && `+
		`b.checkVisibility())`, words)
	p.until(find)
	p.run(find + ".click()")
}

// changing opens the form of a mooring's record.
func changing(p *tab, address, number string) *tab {
	p.Helper()
	p.open(address + "&mooring=" + number)
	p.button("Change the record")
	p.until(`document.querySelector("#record .group")`)
	return p
}

const (
	draftField = `#record [data-field="boat.draft_m"] input`
	nameField  = `#record [data-field="boat.name"] input`
	whyField   = `#record .act [name=why]`
	whoField   = `#record .act [name=who]`
	saveButton = `#record .act button[type=submit]`
)

func (f *fake) address() string { return f.URL + "/#harbor=" + fakeSlug }

func TestOnlyWhatIsTypedOverIsSentWithTheTagOfWhatWasRead(t *testing.T) {
	f := newFake(t, 60)
	f.change("mooring", "012", "A", "a beginning", map[string]any{"note": "by the rock"})
	p := changing(desk(t), f.address(), "012")
	if got := p.text("#record"); !strings.Contains(got, "by the rock") || !strings.Contains(got, "31 March 2099") ||
		!strings.Contains(got, "86 %") || !strings.Contains(got, fakeOwner) {
		t.Errorf("what is on record is not all told: %q", got)
	}
	p.click(saveButton)
	p.until(`document.querySelector("` + whoField + `").getAttribute("aria-invalid") === "true"`)
	p.typed(whoField, "B")
	p.typed(whyField, "measured")
	p.click(saveButton)
	p.until(`document.querySelector("#record .act .told").textContent.includes("Nothing is changed")`)
	if _, n := f.acts.last(); n != 0 {
		t.Fatalf("%d were posted though nothing was changed", n)
	}
	p.typed(draftField, "1.75")
	p.run(`document.querySelector('[data-field="tackle[2].inspected"]').closest("details").open = true`)
	p.typed(`#record [data-field="tackle[2].inspected"] input`, "2026-05-01")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
	body, _ := f.acts.last()
	set := body["set"].(map[string]any)
	if len(set) != 2 || set["boat.draft_m"] != 1.75 || set["tackle[2].inspected"] != "2026-05-01" || body["if_match"] != `"r2"` ||
		body["who"] != "B" || body["why"] != "measured" {
		t.Errorf("sent %v", body)
	}
	p.until(`document.querySelector("#sheet .dates").textContent.includes("2026-05-01") && !document.querySelector("#record .group")`)
	p.quiet()
}

// In feet a draft of 1.6 m is shown as 5.2 ft, which is 1.585 m: what is not touched must not become that.
func TestUnitsOfTheRecordFollowAndNothingIsRoundedIntoIt(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.typed(`#record [data-field="boat.beam_m"] input`, "3.2")
	p.run(`document.getElementById("units-feet").click()`)
	if draft, beam := p.value(draftField), p.value(`#record [data-field="boat.beam_m"] input`); draft != "5.2" || beam != "10.5" {
		t.Errorf("in feet draft %s and beam %s, want 5.2 and 10.5", draft, beam)
	}
	p.typed(whoField, "B")
	p.typed(whyField, "measured")
	p.typed(`#record [data-field="boat.bow_height_m"] input`, "tall")
	p.click(saveButton)
	p.until(`document.querySelector("#record .field-fault")?.textContent.includes("cannot be read")`)
	p.typed(`#record [data-field="boat.bow_height_m"] input`, "4")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent`)
	body, _ := f.acts.last()
	// 10.5 ft are 3.2004 m and 4 ft 1.2192 m: from 0.3048 m to the foot (24 FR 5348).
	if set := body["set"].(map[string]any); len(set) != 2 || set["boat.beam_m"] != 3.2004 || set["boat.bow_height_m"] != 1.2192 {
		t.Errorf("sent %v", set)
	}
	p.quiet()
}

func TestAChangeElsewhereInTheRecordIsMergedAndSentAgain(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.typed(draftField, "1.75")
	p.typed(whoField, "B")
	p.typed(whyField, "measured")
	f.change("mooring", "012", "Somebody Else", "paid", map[string]any{"permit.year": 2027})
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
	if got := strings.Join(strings.Fields(p.text("#record .saved")), " "); !strings.Contains(got,
		"Permit's year: 2026 → 2027 (Somebody Else,") || !strings.Contains(got, "paid") {
		t.Errorf("what the other changed is told as %q", got)
	}
	if body, n := f.acts.last(); n != 2 || body["if_match"] != `"r2"` {
		t.Errorf("posted %d times, at last from %v; want twice, from r2", n, body["if_match"])
	}
	record := f.recordOf("mooring", "012")
	if record["permit"].(map[string]any)["year"] != 2027 || record["boat"].(map[string]any)["draft_m"] != 1.75 {
		t.Errorf("on record is %v", record)
	}
}

// Both have changed the draft and each another field beside it: nothing of either is lost, and neither draft is taken before somebody has
// chosen.
func TestWhatBothHaveChangedIsChosenFieldByField(t *testing.T) {
	for choice, want := range map[string]float64{"mine": 1.75, "theirs": 1.9} {
		t.Run(choice, func(t *testing.T) {
			f := newFake(t, 60)
			p := changing(desk(t), f.address(), "012")
			p.typed(draftField, "1.75")
			p.typed(nameField, "Wren")
			p.typed(whoField, "B")
			p.typed(whyField, "measured")
			f.change("mooring", "012", "Somebody Else", "survey", map[string]any{"boat.draft_m": 1.9, "boat.beam_m": 3.3})
			p.click(saveButton)
			p.until(`document.querySelector("[data-clash]")`)
			told := strings.Join(strings.Fields(p.text("#record .act")), " ")
			for _, part := range []string{"1 field was changed by both", "Boat's draft", "Keep yours: 1.75 m",
				"Take theirs: 1.9 m Somebody Else,", "survey", "Boat's beam: 3.1 m → 3.3 m"} {
				if !strings.Contains(told, part) {
					t.Errorf("%q is missing from %q", part, told)
				}
			}
			if got := p.value(nameField) + p.value(draftField) + p.value(`#record [data-field="boat.beam_m"] input`) +
				p.value(whyField); got != "Wren1.753.3measured" {
				t.Errorf("in the fields stands %q", got)
			}
			p.click(saveButton)
			p.until(`document.querySelector(".clash .field-fault").textContent.includes("Choose")`)
			if _, n := f.acts.last(); n != 1 {
				t.Fatalf("sent %d times before anything was chosen", n)
			}
			// By keyboard: the focus is on the first choice, an arrow goes to the second.
			if got := read[string](p, `document.activeElement.value`); got != "mine" {
				t.Errorf("the focus is on %q, want the first choice", got)
			}
			p.press(" ")
			if choice == "theirs" {
				p.press(kb.ArrowDown)
			}
			p.until(fmt.Sprintf(`document.querySelector(".clash input:checked").value === %q`, choice))
			p.click(saveButton)
			p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
			boat := f.recordOf("mooring", "012")["boat"].(map[string]any)
			if boat["draft_m"] != want || boat["name"] != "Wren" || boat["beam_m"] != 3.3 {
				t.Errorf("on record is %v, want a draft of %v, Wren and a beam of 3.3", boat, want)
			}
		})
	}
}

func TestARecordThatChangesWhileItsFormIsOpenKeepsWhatIsTypedAndTheFocus(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.until(`document.activeElement.closest('[data-field="boat.name"]')`)
	p.listening(f)
	p.typed(nameField, "Wren")
	p.run(`document.querySelector('` + nameField + `').setSelectionRange(2, 3)`)
	f.change("mooring", "012", "Somebody Else", "survey", map[string]any{"note": "new"})
	p.until(`document.querySelector("#record .meanwhile").textContent.includes("Somebody Else has changed this record just now: survey")`)
	p.until(`document.querySelector("#record .note-text")?.textContent === "new"`)
	if got := read[string](p, `(() => { const e = document.querySelector('`+nameField+
		`'); return [document.activeElement === e, e.value, e.selectionStart, e.selectionEnd].join(" ") })()`); got != "true Wren 2 3" {
		t.Errorf("after the sheet was written again the field is at %q, want it as it was", got)
	}
	p.quiet()
}

func TestAnOwnerIsChangedFromTheSheet(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.address() + "&mooring=012")
	p.until(`document.querySelector("#record")`)
	if got := p.text("#record"); !strings.Contains(got, fakePhone) {
		t.Errorf("the sheet came with the owner's record, and does not show it: %q", got)
	}
	if n := read[int](
		p, `performance.getEntriesByType("resource").filter((e) => /\/api\/.*\/(search|records)\b/.test(e.name)).length`); n != 0 {
		t.Errorf("%d more were asked for what the sheet tells", n)
	}
	p.button("Change the owner")
	p.until(`document.querySelector('#record [data-field="phone"] input')`)
	p.typed(`#record [data-field="phone"] input`, "+000 555 0123")
	p.typed(whoField, "B")
	p.typed(whyField, "called")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "2"`)
	body, _ := f.acts.last()
	if set := body["set"].(map[string]any); body["noun"] != "owner" || body["name"] != fakeOwner || len(set) != 1 ||
		set["phone"] != "+000 555 0123" {
		t.Errorf("sent %v", body)
	}
	p.until(`document.querySelector('#record a[href^="tel:"]')?.textContent === "+000 555 0123"`)
	p.quiet()
}

func TestHistoryTellsEachFieldInWordsAndTheLastActIsUndone(t *testing.T) {
	f := newFake(t, 60)
	f.change("mooring", "012", "Somebody Else", "survey", map[string]any{"boat.draft_m": 1.9})
	f.change("mooring", "012", "B", "measured anew", map[string]any{"tackle[2].size_m": 0.016, "note": "by the rock"})
	p := desk(t)
	p.open(f.address() + "&mooring=012&units=feet")
	p.run(`localStorage.setItem("swingroom.who", "B")`)
	p.button("Who changed what")
	p.until(`document.querySelectorAll(".change").length === 2`)
	all := strings.Join(strings.Fields(p.text("#history")), " ")
	for _, want := range []string{"B ·", "Measured anew.", "Tackle 2, diameter 1/2 in → 5/8 in", "Note not on record → by the rock",
		"Somebody Else ·", "Boat's draft 5.25 ft → 6.23 ft"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is missing from %q", want, all)
		}
	}
	if n := read[int](
		p, `[...document.querySelectorAll("#history button")].filter((b) => b.textContent === "Undo my last act").length`); n != 1 {
		t.Fatalf("%d ways to undo, want one, at the newest change", n)
	}
	p.button("Undo my last act")
	p.until(`document.querySelector("#history .act [name=who]")`)
	p.typed("#history .act [name=who]", "B")
	p.click("#history .act button[type=submit]")
	p.until(`document.querySelectorAll(".change").length === 3 && document.querySelector("#history ` +
		`.saved").textContent.includes("Undone: measured anew")`)
	if got := f.recordOf("mooring", "012")["note"]; got != nil && got != "" {
		t.Errorf("the note is %q still", got)
	}
	p.quiet()
}

func TestASheetThatCannotBeAskedForAgainKeepsTheFormThatIsOpen(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.typed(nameField, "Wren")
	p.listening(f)
	// The mooring's sheet is refused from now on, and something changes: the page asks for it again.
	f.mooring("012")["number"] = "gone"
	f.change("mooring", "003", "Somebody Else", "survey", map[string]any{"note": "new"})
	p.until(`document.querySelector("#sheet-body > .refusal")`)
	if got := p.value(nameField); got != "Wren" || !read[bool](p, `document.querySelector('`+nameField+`').checkVisibility()`) {
		t.Errorf("what was typed became %q, or is not to be seen", got)
	}
	if got := p.text("#sheet-body > .refusal"); !strings.Contains(got, "what you typed is kept") {
		t.Errorf("told is %q", got)
	}
}
