package webmap_test

import (
	"os"
	"testing"
	"time"

	"swingroom/fixtures/outside"
)

// openWhole waits for a mooring's sheet; on a phone the sheet is raised to its full height.
func openWhole(p *tab) {
	p.until(`document.querySelector("#sheet .radius")`)
	if read[bool](p, `matchMedia("(max-width: 899px)").matches`) {
		p.click("#sheet .grip")
		p.until(`!document.getElementById("sheet").getAnimations().length && ` +
			`document.getElementById("sheet").getBoundingClientRect().height > innerHeight * 0.8`)
	}
}

// recordViews are what belongs to records, each brought into view by its act.
func recordViews(f *fake) []struct {
	name, hash string
	act        func(p *tab)
} {
	clash := func(p *tab) {
		openWhole(p)
		p.button("Change the record")
		p.until(`document.querySelector("#record .group")`)
		p.typed(draftField, "1.75")
		p.typed(whyField, "measured")
		f.change("mooring", "012", "Somebody Else", "survey",
			map[string]any{"boat.draft_m": 1.9 + float64(f.acts.revision)/10, "boat.beam_m": 3.3 + float64(f.acts.revision)/10})
		p.run(`document.querySelector("` + saveButton + `").click()`)
		p.until(`document.querySelector("[data-clash]")`)
		p.run(`document.querySelector(".clashes").scrollIntoView({block: "center"})`)
	}
	signed := func(p *tab) {
		p.until(`!document.getElementById("person").hidden`)
		p.run(`document.getElementById("person").click()`)
		p.until(`!document.getElementById("form-person").hidden`)
	}
	return []struct {
		name, hash string
		act        func(p *tab)
	}{
		{"the record and its form", "&mooring=012", func(p *tab) {
			openWhole(p)
			p.button("Change the record")
			p.until(`document.querySelector("#record .group")`)
			p.run(`for (const each of document.querySelectorAll("#record .group")) each.open = true; document.querySelector("#record ` +
				`.act").scrollIntoView()`)
		}},
		{"what both have changed", "&mooring=012", clash},
		{"notes and a picture", "&mooring=012", func(p *tab) {
			openWhole(p)
			p.button("Write a note")
			p.choose(photoFile(p.TB, "one.png", 10))
			p.until(`document.querySelector("#notes .picked li")`)
			p.run(`document.getElementById("notes").scrollIntoView()`)
		}},
		{"the history", "&mooring=012", func(p *tab) {
			openWhole(p)
			p.button("Who changed what")
			p.until(`document.querySelector(".change")`)
			p.run(`document.getElementById("history").scrollIntoView()`)
		}},
		{"the accounts", "", func(p *tab) {
			signed(p)
			for _, each := range []string{"Accounts", "Tokens for scripts", "Failed sign-ins"} {
				p.button(each)
			}
			p.until(`document.querySelectorAll(".account-rows").length === 2`)
		}},
		{"what the public sees", "", func(p *tab) {
			signed(p)
			p.button("What the public sees")
			p.tick("permit", true)
			p.run(`document.querySelector(".public-part").scrollIntoView()`)
		}},
		{"somebody is put on the waiting list", "&ask=next", func(p *tab) {
			p.until(`document.querySelector("#next-answer .row")`)
			p.button("Put somebody on the list")
			p.run(`for (const each of document.querySelectorAll(".on-list .group")) each.open = true; ` +
				`document.querySelector(".on-list").scrollIntoView()`)
		}},
		{"the record of one who waits", "&ask=next", func(p *tab) {
			p.button("The whole list")
			p.clicks(ofPerson("Late Bird", ".giving > button"))
			for _, each := range []string{"Change the record", "Take off the list"} {
				p.button(each)
			}
			p.until(`document.querySelector("#next-answer .record-form .group")`)
			p.run(`document.querySelector("#next-answer ol").scrollIntoView()`)
		}},
		{"tackle part by part", "&mooring=012", func(p *tab) {
			openWhole(p)
			p.button("Change the record")
			p.tool("Tackle 2 · top chain", "Add one after it")
			p.tool("Tackle 4 · buoy", "Remove")
			p.run(`document.querySelector("#record .tackle-form > .group + .group").scrollIntoView()`)
		}},
		{"a past", "&on=2026-03-01", func(p *tab) { p.until(`document.getElementById("pastbar").checkVisibility()`) }},
		{"news", "", func(p *tab) {
			p.listening(f)
			f.change("mooring", "017", "Somebody Else", "the pennant was worn", map[string]any{"note": time.Now().String()})
			p.until(`document.getElementById("news").checkVisibility()`)
		}},
		{"lists as files", "&list=moorings", func(p *tab) {
			p.run(`document.getElementById("column").querySelector(".grip").click(); document.getElementById("list-files").open = true; ` +
				`document.getElementById("list-files").scrollIntoView()`)
			p.until(`document.querySelector("#list-files-body li")`)
		}},
	}
}

func TestAxeFindsNothingSeriousInWhatIsOnRecord(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	f := newFake(t, 60)
	f.signedIn("Harbor Office", "harbormaster")
	f.change("mooring", "012", "Harbor Office", "measured anew", map[string]any{"tackle[2].size_m": 0.016, "note": "by the rock"})
	for _, view := range recordViews(f) {
		for name, size := range map[string]func(testing.TB) *tab{"desk": desk, "phone": phone, "desk in contrast": desk} {
			t.Run(view.name+", "+name, func(t *testing.T) {
				contrast := ""
				if name == "desk in contrast" {
					contrast = "&contrast=1"
				}
				p := size(t).open(f.address() + view.hash + contrast)
				view.act(p)
				for _, each := range axe(p, string(source)) {
					t.Error(each)
				}
				if wide := read[int](p, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
					t.Errorf("the page is %d px too wide", wide)
				}
				if name == "phone" {
					for _, each := range untouchable(p) {
						t.Error(each)
					}
				}
			})
		}
	}
}

func TestThePublicSignsInOnAPhone(t *testing.T) {
	source, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	f := newFake(t, 60)
	f.signedIn("", "public")
	for name, size := range map[string]func(testing.TB) *tab{"desk": desk, "phone": phone} {
		p := size(t).open(f.address())
		p.until(`!document.getElementById("person").hidden`)
		p.run(`document.getElementById("person").click()`)
		p.until(`document.activeElement.id === "person-name"`)
		p.run(`new Promise((done) => setTimeout(done, 400))`) // the drawer has risen
		for _, each := range axe(p, string(source)) {
			t.Errorf("%s: %s", name, each)
		}
		if name == "phone" {
			for _, each := range untouchable(p) {
				t.Errorf("%s: %s", name, each)
			}
		}
	}
}
