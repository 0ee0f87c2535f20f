package webmap_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"swingroom/geo"
)

const publicSave = `.public-part .act button[type=submit]`

// tick sets the check box of a kind that the public may see.
func (p *tab) tick(kind string, on bool) {
	p.Helper()
	find := fmt.Sprintf(`document.querySelector(".public-part input[value=%s]")`, kind)
	p.until(find)
	p.run(fmt.Sprintf(`if (%s.checked !== %v) %s.click()`, find, on, find))
}

// seen are the kinds that are ticked, in the order of the form.
func seen(p *tab) string {
	p.Helper()
	return strings.Join(read[[]string](p, `[...document.querySelectorAll(".public-part input[type=checkbox]")].filter((e) => `+
		`e.checked).map((e) => e.value)`), " ")
}

func TestWhatThePublicSeesIsTickedWhereNobodySignsIn(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.address())
	p.until(`document.getElementById("public-seen").checkVisibility()`)
	p.click("#public-seen-title")
	p.until(`document.querySelector(".public-part input")`)
	if got := seen(p); got != "boat_name" {
		t.Fatalf("ticked is %q, want what is on record", got)
	}
	if got := p.text(".public-part"); !strings.Contains(got, "always shown") ||
		!strings.Contains(got, "takes effect as soon as others can reach") {
		t.Errorf("it says %q", got)
	}
	p.typed(`.public-part .act [name=who]`, "B")
	p.typed(`.public-part .act [name=why]`, "the town asked")
	p.click(publicSave)
	p.until(`document.querySelector(".public-part .told").textContent.includes("Nothing is changed")`)
	if _, n := f.acts.last(); n != 0 {
		t.Fatalf("%d were posted though nothing was changed", n)
	}
	p.tick("permit", true)
	p.tick("boat_name", false)
	p.click(publicSave)
	p.until(`document.querySelector(".public-part .saved").textContent.includes("permits are shown to the public")`)
	body, _ := f.acts.last()
	if set := body["set"].(map[string]any); body["noun"] != "harbor" || body["name"] != "" || len(set) != 1 ||
		fmt.Sprint(set["public"]) != "[permit]" || body["if_match"] != `"r1"` || body["why"] != "the town asked" {
		t.Errorf("sent %v", body)
	}
	p.quiet()
}

// Both lists of kinds come whole: what the other ticked must not go with mine.
func TestWhatTwoTickForThePublicIsLaidTogether(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Harbor Office", "harbormaster")
	p := desk(t).open(f.address())
	p.until(`document.getElementById("person").checkVisibility()`)
	if read[bool](p, `document.getElementById("public-seen").checkVisibility()`) {
		t.Error("it stands under the lists as well as beside the accounts")
	}
	p.click("#person")
	p.button("What the public sees")
	p.tick("permit", true)
	p.typed(`.public-part .act [name=why]`, "the town asked")
	f.change("harbor", "", "Somebody Else", "new ordinance", map[string]any{"public": []any{"boat_name", "waiting"}})
	p.click(publicSave)
	p.until(`document.querySelector(".public-part .refusal")`)
	if got := strings.Join(strings.Fields(p.text(".public-part .refusal")), " "); !strings.Contains(got,
		"The waiting list: shown now (Somebody Else,") || !strings.Contains(got, "new ordinance") {
		t.Errorf("it is told as %q", got)
	}
	if got := seen(p); got != "boat_name permit waiting" {
		t.Errorf("ticked is %q, want both", got)
	}
	p.click(publicSave)
	p.until(`document.querySelector(".public-part .saved").textContent.includes("are shown to the public")`)
	if got := fmt.Sprint(f.recordOf("harbor", "")["public"]); got != "[boat_name permit waiting]" {
		t.Errorf("on record is %s", got)
	}
	// What has been changed beside it is no matter of this form.
	p.tick("note", true)
	p.typed(`.public-part .act [name=why]`, "asked again")
	f.change("harbor", "", "Somebody Else", "renamed", map[string]any{"name": "Grid Sound East"})
	p.click(publicSave)
	p.until(`document.querySelector(".public-part .saved").textContent.includes("notes")`)
	if record := f.recordOf("harbor", ""); record["name"] != "Grid Sound East" ||
		fmt.Sprint(record["public"]) != "[boat_name note permit waiting]" {
		t.Errorf("on record is %v", record)
	}
}

func TestOnlyAHarbormasterIsOfferedWhatThePublicSees(t *testing.T) {
	f := newFake(t, 60)
	for _, each := range []struct{ name, role string }{{"", "public"}, {"Crew One", "crew"}, {"Yard One", "yard"}} {
		f.signedIn(each.name, each.role)
		p := desk(t).open(f.address())
		p.until(`document.getElementById("person").checkVisibility()`)
		p.click("#person")
		p.until(`document.querySelector("#form-person form, #form-person .buttons")`)
		if read[bool](p, `[...document.querySelectorAll("button, summary")].some((e) => e.textContent === "What the public sees" && `+
			`e.checkVisibility())`) {
			t.Errorf("it is offered to the %s", each.role)
		}
	}
}

// The harbormaster ticks, and one who has not signed in sees it on a page of their own: names and numbers to call come, the permit stays
// away.
func TestThePublicSeesAtOnceWhatIsTicked(t *testing.T) {
	address, db := sharedService(t)
	m := mooring301(t, db)
	public := desk(t).open(address + "&mooring=301")
	public.until(`document.querySelector("#record")`)
	if got := public.text("#sheet-body"); strings.Contains(got, m.Boat.Name) {
		t.Fatalf("the name is shown already: the test proves nothing\n%s", got)
	}
	office := phone(t).open(address).signs("Harbor Office")
	office.run(`document.getElementById("person").click()`)
	office.button("What the public sees")
	office.tick("boat_name", true)
	office.tick("owner", true)
	office.tick("contact", true)
	office.typed(`.public-part .act [name=why]`, "the town asked")
	office.run(`document.querySelector("` + publicSave + `").click()`)
	office.until(`document.querySelector(".public-part .saved").textContent && document.documentElement.dataset.written === "2"`)
	h, _, err := db.Harbor(context.Background(), "tarrowick-harbor")
	if err != nil || !slices.Equal(h.Public, []geo.Shown{geo.ShownBoatName, geo.ShownOwner, geo.ShownContact}) {
		t.Errorf("%v: on record is %v", err, h.Public)
	}
	public.open(address + "&mooring=301")
	public.until(`document.querySelector("#record .figures")`)
	if got := public.text("#sheet-body"); !strings.Contains(got, m.Boat.Name) || !strings.Contains(got, m.Boat.Owner) ||
		!strings.Contains(got, "example.invalid") || strings.Contains(got, "Permit for") {
		t.Errorf("the public sees %q", got)
	}
	// Every kind that the core knows has its box, and no other.
	want := []string{}
	for _, kind := range geo.AllShown() {
		want = append(want, string(kind))
	}
	got := read[[]string](office, `[...document.querySelectorAll(".public-part input[type=checkbox]")].map((e) => e.value)`)
	if !slices.Equal(got, want) {
		t.Errorf("there are boxes for %v, want %v", got, want)
	}
	office.quiet()
}
