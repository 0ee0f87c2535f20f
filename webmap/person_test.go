package webmap_test

import (
	"strings"
	"testing"
)

func TestWithoutAccountsNobodyIsAskedToSignIn(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.address())
	p.listening(f)
	if read[bool](p, `document.getElementById("person").checkVisibility()`) {
		t.Error("there is a way to sign in where there are no accounts")
	}
}

func TestThePublicIsOfferedNoActsAndIsToldWhoMay(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("", "public")
	p := desk(t).open(f.address() + "&mooring=012")
	p.until(`document.querySelector("#record") && document.getElementById("person").checkVisibility()`)
	for _, words := range []string{"The boat leaves", "Move the anchor", "Change the record", "Write a note", "Who changed what",
		"Who is next?"} {
		if read[bool](p, `[...document.querySelectorAll("button")].some((b) => b.textContent === "`+words+`" && b.checkVisibility())`) {
			t.Errorf("%q is offered to the public", words)
		}
	}
	p.run(`document.getElementById("list-files-title").click()`)
	p.until(`document.querySelectorAll("#list-files-body li").length > 0`)
	if got := p.text("#list-files-body"); !strings.Contains(got, "Moorings") || strings.Contains(got, "Owners") {
		t.Errorf("the public is offered the lists %q", got)
	}
	// By its address a question that is not theirs says who may ask it, and after signing in it is asked.
	p.open(f.address() + "&ask=next")
	p.until(`document.querySelector("#form-next").textContent.includes("those who look after the moorings")`)
	p.click("#form-next .primary")
	p.until(`document.activeElement.id === "person-name"`)
	p.typed("#person-name", "Harbor Office")
	p.typed("#person-password", fakePassword)
	p.click("#form-person button[type=submit]")
	p.until(`document.querySelector("#next-answer .row")`)
	if got := read[string](p, `document.getElementById("person-words").textContent`); got != "Harbor Office · harbormaster" {
		t.Errorf("who is signed in is told as %q", got)
	}
	if !read[bool](p, `document.getElementById("form-person").hidden`) {
		t.Error("the form stays when somebody has signed in")
	}
}

func TestAWrongPasswordIsToldAndTheNameStays(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("", "public")
	p := phone(t).open(f.address())
	p.until(`!document.getElementById("person").hidden`)
	p.run(`document.getElementById("person").click()`)
	p.until(`document.getElementById("person-name")`)
	p.typed("#person-name", "Harbor Office")
	p.typed("#person-password", "not this one at all")
	p.run(`document.querySelector("#form-person .show-password input").click()`)
	if got := read[string](p, `document.getElementById("person-password").type`); got != "text" {
		t.Errorf("what is typed is not shown: the field is of type %q", got)
	}
	p.run(`document.querySelector("#form-person .show-password input").click()`)
	p.click("#form-person button[type=submit]")
	p.until(`document.querySelector("#form-person .refusal")`)
	if got := p.text("#form-person .refusal"); !strings.Contains(got, "is wrong") ||
		p.value("#person-name") != "Harbor Office" {
		t.Errorf("told %q, with the name %q", got, p.value("#person-name"))
	}
}

func TestCrewIsOfferedWhatCrewMayDo(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Crew One", "crew")
	p := changing(desk(t), f.address(), "012")
	if fields := read[[]string](p, `[...document.querySelectorAll("#record [data-field]")].map((e) => e.dataset.field)`); strings.Join(
		fields, " ") !=
		"tackle[1].inspected tackle[2].inspected tackle[3].inspected tackle[4].inspected tackle[5].inspected tackle[6].inspected "+
			"depth_m note" {
		t.Errorf("crew is offered %v", fields)
	}
	if read[bool](p, `document.querySelector("`+whoField+`").checkVisibility()`) {
		t.Error("who writes is asked though somebody is signed in")
	}
	for words, want := range map[string]bool{"The boat leaves": false, "Move the anchor": true, "Write a note": true} {
		if got := read[bool](p, `[...document.querySelectorAll("button")].some((b) => b.textContent === "`+words+
			`" && b.checkVisibility())`); got != want {
			t.Errorf("%q offered: %v, want %v", words, got, want)
		}
	}
	p.quiet()
}

// Somebody has been signed out while they typed: what is typed stays, they sign in on the spot, and send it.
func TestWhoIsSignedOutMeanwhileSignsInInPlaceAndLosesNothing(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Harbor Office", "harbormaster")
	p := changing(desk(t), f.address(), "012")
	p.typed(draftField, "1.75")
	p.typed(whyField, "measured")
	f.signedIn("", "public")
	p.click(saveButton)
	p.until(`document.querySelector("#record .sign-in-place input")`)
	if got := p.text("#record .act .told"); !strings.Contains(got, "not signed in any more") || !strings.Contains(got, "kept") {
		t.Errorf("it is told as %q", got)
	}
	p.typed(`#record .sign-in-place [name=name]`, "Harbor Office")
	p.typed(`#record .sign-in-place [name=password]`, fakePassword)
	p.click(`#record .sign-in-place button[type=submit]`)
	p.until(`document.querySelector("#record .act .told").textContent.includes("Send it again")`)
	if got := p.value(draftField) + p.value(whyField); got != "1.75measured" {
		t.Fatalf("what was typed became %q", got)
	}
	p.click(saveButton)
	p.until(`document.querySelector("#record .saved").textContent && document.documentElement.dataset.written === "2"`)
	body, _ := f.acts.last()
	if _, named := body["who"]; named || body["set"].(map[string]any)["boat.draft_m"] != 1.75 {
		t.Errorf("sent %v", body)
	}
	if got := f.records.history[0]["who"]; got != "Harbor Office" {
		t.Errorf("on record it was done by %q", got)
	}
}

func TestAHarbormasterKeepsTheAccounts(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("Harbor Office", "harbormaster")
	p := desk(t).open(f.address())
	p.until(`document.getElementById("person").checkVisibility()`)
	p.click("#person")
	p.button("Accounts")
	p.until(`document.querySelectorAll(".account-rows li").length === 1`)
	p.button("Add an account")
	p.typed("#account-name", "Crew Two")
	p.typed("#account-password", "short")
	p.until(`[...document.querySelectorAll("#form-person [role=status]")].some((e) => e.textContent === "5 of at least 12 characters.")`)
	p.run(`document.querySelector(".accounts .act button[type=submit]").click()`)
	p.until(`document.querySelector(".accounts .refusal")?.textContent.includes("at least 12 signs")`)
	if got := p.value("#account-name"); got != "Crew Two" {
		t.Errorf("what was typed became %q", got)
	}
	p.typed("#account-password", fakePassword)
	p.run(`document.querySelector(".accounts .act button[type=submit]").click()`)
	p.until(`document.querySelectorAll(".account-rows li").length === 2`)
	p.button("Keep out")
	p.until(`document.querySelector(".account-rows .disabled strong")?.textContent === "Crew Two"`)
	p.button("Tokens for scripts")
	p.button("Make a token")
	p.typed("#token-name", "backup")
	p.typed("#token-expires", "2099-03-31")
	p.run(`[...document.querySelectorAll(".accounts .act button[type=submit]")].find((b) => b.checkVisibility() && ` +
		`b.closest("form").querySelector("#token-name")).click()`)
	p.until(`document.getElementById("token-secret")?.textContent === "shown-this-once"`)
	p.button("Revoke")
	p.until(`document.querySelector(".accounts").textContent.includes("There is none.")`)
	p.button("Failed sign-ins")
	p.until(`document.querySelector(".accounts").textContent.includes("192.0.2.7")`)
	p.click("#person-out")
	p.until(`document.getElementById("person-words").textContent === "Sign in"`)
}

func TestRecordsAreFoundBesideMoorings(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t).open(f.address())
	p.typed("#q", "N. N.")
	p.until(`document.querySelectorAll("#on-record .row").length === 2`)
	if got := p.text("#answer"); !strings.Contains(got, "2 records") || !strings.Contains(got, "note") {
		t.Errorf("found is %q", got)
	}
	p.click("#on-record .row")
	p.until(`document.querySelector(".record-card .figures")`)
	if got := p.text("#answer"); !strings.Contains(got, fakePhone) || !strings.Contains(got, "Show mooring 001") {
		t.Errorf("the owner's card is %q", got)
	}
	p.quiet()
	f.signedIn("", "public")
	p.open(f.address())
	p.until(`document.getElementById("person").checkVisibility()`)
	p.typed("#q", "quay")
	p.until(`!document.getElementById("answer").hidden`)
	if read[bool](p, `Boolean(document.getElementById("on-record"))`) {
		t.Error("the public finds what is on record")
	}
}

// overTheTop lists what at the top of the page lies over something else, or has no room.
const overTheTop = `(() => {
	const above = "#harbor, #caution, #settings > .choice, #tide, #as-of-button, #print, #person, #contrast, #legend-button";
	const seen = [...document.querySelectorAll(above)].filter((e) => e.checkVisibility() && e.offsetWidth)
		.map((e) => ({ name: e.id || e.getAttribute("aria-label"), r: e.getBoundingClientRect() })), bad = [];
	seen.forEach(({ name, r }, i) => {
		if (r.right > innerWidth + 0.5) bad.push(name + " ends beyond the window");
		for (const other of seen.slice(i + 1)) {
			if (r.left < other.r.right - 0.5 && other.r.left < r.right - 0.5) bad.push(name + " lies over " + other.name);
		}
	});
	if (!seen.some(({ name, r }) => name === "caution" && r.width > 80)) bad.push("the caution has no room");
	return bad;
})()`

// With somebody of a long name signed in there is still room for everything at the top, on every desk.
func TestNothingAtTheTopLiesOverAnythingElse(t *testing.T) {
	f := newFake(t, 60)
	f.signedIn("The Office of the Harbormaster", "harbormaster")
	for _, width := range []int64{900, 1019, 1020, 1199, 1319, 1320, 1439, 1440, 1679, 1680} {
		p := newTab(t, width, 700).open(f.address() + "&units=feet")
		p.until(`document.getElementById("person").checkVisibility() && !document.getElementById("tide").hidden`)
		bad := read[[]string](p, overTheTop)
		for _, each := range bad {
			t.Errorf("%d px: %s", width, each)
		}
	}
}
