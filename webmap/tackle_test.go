package webmap_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// partOf finds a group of the tackle in the form by its title.
func partOf(title string) string {
	return fmt.Sprintf(`[...document.querySelectorAll("#record .tackle-form > .group")].find((g) => `+
		`g.querySelector("summary").textContent === %q)`, title)
}

// tool presses a button of a part.
func (p *tab) tool(title, words string) {
	p.Helper()
	p.until(partOf(title))
	p.run(fmt.Sprintf(`const g = %s; g.open = true; [...g.querySelectorAll(".buttons button")].find((b) => b.textContent === %q).click()`,
		partOf(title), words))
}

// partTitles are the titles in the form, in their order.
func partTitles(p *tab) string {
	p.Helper()
	return strings.Join(read[[]string](p, `[...document.querySelectorAll("#record .tackle-form > .group > summary")].map((e) => `+
		`e.textContent)`), "; ")
}

func kindsOf(list any) string {
	kinds := []string{}
	for _, each := range list.([]any) {
		kinds = append(kinds, fmt.Sprint(each.(map[string]any)["kind"]))
	}
	return strings.Join(kinds, " ")
}

const fakeParts = "Tackle 1 · anchor; Tackle 2 · top chain; Tackle 3 · buoy; Tackle 4 · pennant; Tackle 5 · marker line; Tackle 6 · marker"

func TestAPartIsAddedAtItsPlaceMovedAndTakenAway(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.typed(whoField, "B")
	p.typed(whyField, "new swivel")
	if got := partTitles(p); got != fakeParts {
		t.Fatalf("the parts are %q", got)
	}
	p.tool("Tackle 2 · top chain", "Add one after it")
	p.until(partOf("Tackle 3 · new part") + `?.open && document.activeElement.closest('[data-field$=".kind"]')`)
	// What it is has to be said.
	p.click(saveButton)
	p.until(`document.querySelector("#record .tackle-form .field-fault")?.textContent === "Say what it is."`)
	p.sets(partOf("Tackle 3 · new part")+`?.querySelector('[data-field$=".kind"] select')`, "swivel")
	p.until(partOf("Tackle 3 · swivel"))
	if read[bool](p, partOf("Tackle 3 · swivel")+`.querySelector('[data-field$=".weight_kg"]').checkVisibility()`) {
		t.Error("the weight of a swivel is asked, which counts of an anchor only")
	}
	p.sets(partOf("Tackle 3 · swivel")+`?.querySelector('[data-field$=".size_m"] input')`, "5/8 in")
	p.tool("Tackle 4 · buoy", "Move down")
	if got := partTitles(p); !strings.Contains(got, "Tackle 4 · pennant; Tackle 5 · buoy") {
		t.Errorf("after the buoy was moved the parts are %q", got)
	}
	p.tool("Tackle 7 · marker", "Remove")
	p.tool("Tackle 6 · marker line", "Remove")
	p.tool("Removed · marker line", "Put back")
	if got := partTitles(p); !strings.HasSuffix(got, "Tackle 6 · marker line; Removed · marker") {
		t.Errorf("the parts are %q", got)
	}
	// A field of a part that was there is in the same list.
	p.sets(partOf("Tackle 2 · top chain")+`?.querySelector('[data-field$=".inspected"] input')`, "2026-05-01")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "2"`)
	body, _ := f.acts.last()
	set := body["set"].(map[string]any)
	list := set["tackle"].([]any)
	if len(set) != 1 || kindsOf(list) != "anchor top_chain swivel pennant buoy marker_line" {
		t.Fatalf("sent %v", set)
	}
	// 5/8 in are 15.875 mm.
	swivel, chain := list[2].(map[string]any), list[1].(map[string]any)
	if len(swivel) != 2 || swivel["size_m"] != 0.015875 || chain["inspected"] != "2026-05-01" || chain["left"] != 0.86 ||
		list[0].(map[string]any)["weight_kg"] != 450.0 {
		t.Errorf("sent %v", list)
	}
	p.quiet()
}

// Who has moved a part and moved it back has changed nothing; single fields go on being sent singly.
func TestPartsThatStandAsTheyStoodAreNotSentAsAWhole(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.typed(whoField, "B")
	p.typed(whyField, "looked at")
	p.tool("Tackle 2 · top chain", "Move down")
	p.tool("Tackle 3 · top chain", "Move up")
	p.tool("Tackle 1 · anchor", "Move up")
	p.tool("Tackle 4 · pennant", "Add one after it")
	p.tool("Tackle 5 · new part", "Remove")
	if got := partTitles(p); got != fakeParts {
		t.Fatalf("the parts are %q", got)
	}
	p.sets(`document.querySelector('#record [data-field="tackle[2].inspected"] input')`, "2026-05-01")
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "2"`)
	if body, _ := f.acts.last(); fmt.Sprint(body["set"]) != "map[tackle[2].inspected:2026-05-01]" {
		t.Errorf("sent %v", body["set"])
	}
}

func TestAWholeTackleAgainstAnothersChangeOfItIsOneChoice(t *testing.T) {
	for choice, want := range map[string]string{"mine": "anchor buoy top_chain pennant marker_line marker",
		"theirs": "anchor top_chain buoy pennant marker_line marker"} {
		t.Run(choice, func(t *testing.T) {
			f := newFake(t, 60)
			p := changing(desk(t), f.address(), "012")
			p.typed(whoField, "B")
			p.typed(whyField, "as it lies")
			p.typed(nameField, "Wren")
			p.tool("Tackle 2 · top chain", "Move down")
			f.change("mooring", "012", "Somebody Else", "dived on it", map[string]any{"tackle[2].left": 0.7})
			p.click(saveButton)
			p.until(`document.querySelector('[data-clash="tackle"]')`)
			told := strings.Join(strings.Fields(p.text("#record .act")), " ")
			for _, part := range []string{"The whole tackle", "2. buoy", "2. top chain, galvanised steel, 9.0 m", "70 % left",
				"Somebody Else,", "dived on it"} {
				if !strings.Contains(told, part) {
					t.Errorf("%q is missing from %q", part, told)
				}
			}
			if strings.Contains(told, "Changed by others, and merged") {
				t.Errorf("what is to be chosen is told as merged too: %q", told)
			}
			p.run(fmt.Sprintf(`document.querySelector('[data-clash="tackle"] input[value=%s]').click()`, choice))
			p.click(saveButton)
			p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
			record := f.recordOf("mooring", "012")
			if got := kindsOf(record["tackle"]); got != want || record["boat"].(map[string]any)["name"] != "Wren" {
				t.Errorf("on record is %s with the boat %v, want %s and Wren", got, record["boat"], want)
			}
			body, _ := f.acts.last()
			if _, sent := body["set"].(map[string]any)["tackle"]; sent != (choice == "mine") {
				t.Errorf("sent %v", body["set"])
			}
		})
	}
}

// What others change beside the tackle is merged, and the parts stay as they were put.
func TestAMovedPartOutlastsAChangeElsewhere(t *testing.T) {
	f := newFake(t, 60)
	p := changing(desk(t), f.address(), "012")
	p.typed(whoField, "B")
	p.typed(whyField, "as it lies")
	p.tool("Tackle 2 · top chain", "Move down")
	f.change("mooring", "012", "Somebody Else", "paid", map[string]any{"permit.year": 2027})
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "3"`)
	if record := f.recordOf("mooring", "012"); kindsOf(record["tackle"]) != "anchor buoy top_chain pennant marker_line marker" ||
		record["permit"].(map[string]any)["year"] != 2027 {
		t.Errorf("on record is %v", record)
	}
}

func TestTheYardChangesTackleAndTheCrewDoesNot(t *testing.T) {
	f := newFake(t, 60)
	for role, want := range map[string]bool{"crew": false, "yard": true} {
		f.signedIn("Somebody", role)
		p := changing(desk(t), f.address(), "012")
		p.run(`for (const each of document.querySelectorAll("#record .group")) each.open = true`)
		if got := read[bool](p, `[...document.querySelectorAll("#record button")].some((b) => b.textContent === "Remove" && `+
			`b.checkVisibility())`); got != want {
			t.Errorf("the %s is offered to take parts away: %v, want %v", role, got, want)
		}
	}
}

// On the real service the yard puts a swivel into the tackle of a mooring and takes its marker away; all else of the tackle is letter for
// letter what it was.
func TestTheYardPutsASwivelIn(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	address, db := sharedService(t)
	before := mooring301(t, db)
	p := desk(t).open(address).signs("Boat Yard")
	changing(p, address, "301")
	at := len(before.Tackle)
	for i, part := range before.Tackle {
		if part.Kind == geo.TopChain {
			at = i
		}
	}
	if at == len(before.Tackle) {
		t.Fatalf("301 has no top chain: %v", before.Tackle)
	}
	p.tool(fmt.Sprintf("Tackle %d · top chain", at+1), "Add one after it")
	added := fmt.Sprintf("Tackle %d · ", at+2)
	p.sets(partOf(added+"new part")+`?.querySelector('[data-field$=".kind"] select')`, "swivel")
	p.sets(partOf(added+"swivel")+`?.querySelector('[data-field$=".size_m"] input')`, "5/8 in")
	p.sets(partOf(added+"swivel")+`?.querySelector('[data-field$=".installed"] input')`, "2026-05-01")
	p.typed(whyField, "spring work")
	for _, each := range axe(p, string(source)) {
		t.Error(each)
	}
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved, #record .reasons")?.textContent && ` +
		`document.documentElement.dataset.written === "2" || document.querySelector("#record [name=despite]").checkVisibility()`)
	if read[bool](p, `document.querySelector("#record [name=despite]")?.checkVisibility() ?? false`) {
		p.typed("#record [name=despite]", "as it lies")
		p.click(saveButton)
		p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "2"`)
	}
	after := mooring301(t, db)
	if len(after.Tackle) != len(before.Tackle)+1 {
		t.Fatalf("the tackle is %v", after.Tackle)
	}
	for i, part := range after.Tackle {
		switch {
		case i == at+1:
			size, _ := part.Size.Get()
			if part.Kind != geo.Swivel || part.Installed != "2026-05-01" || math.Abs(float64(size)-0.015875) > 1e-9 {
				t.Errorf("added is %+v", part)
			}
		case i <= at && part != before.Tackle[i] || i > at+1 && part != before.Tackle[i-1]:
			t.Errorf("part %d is %+v, which it was not", i+1, part)
		}
	}
	p.button("Who changed what")
	p.until(`document.querySelector(".change details")`)
	// All after it has another number now, so it is folded: textContent has what innerText has not.
	if got := read[string](p, `document.getElementById("history").textContent`); !strings.Contains(got, "Boat Yard") ||
		!strings.Contains(got, fmt.Sprintf("Tackle %d, kind", at+2)) {
		t.Errorf("the history tells %q", got)
	}
}
