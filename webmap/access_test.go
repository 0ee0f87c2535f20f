package webmap_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swingroom/fixtures/outside"
)

// focused names what has the focus: its id, or for a row of a list that of the list.
func focused(p *tab) string {
	p.Helper()
	return read[string](p, `(() => { const e = document.activeElement; return e.id || e.closest("ul")?.id || e.name || `+
		`e.outerHTML.slice(0, 80) })()`)
}

func TestEverythingIsDoneByKeyboardAlone(t *testing.T) {
	f := newFake(t, 500)
	p := desk(t).open(f.URL + "/")

	p.press("/")
	if got := focused(p); got != "q" {
		t.Fatalf("/ went to %q, want the search", got)
	}
	var walk []string
	for range 19 {
		p.press(kb.Tab)
		walk = append(walk, focused(p))
	}
	if got, want := strings.Join(walk, " "),
		"ask-where ask-fit ask-which ask-lie ask-next ask-free list-troubles list-moorings area kind-conflict kind-hazard kind-tackle "+
			"kind-limit kind-record kind-unsaid troubles list-files-title public-seen-title map"; got != want {
		t.Errorf("Tab goes\n%s, want\n%s", got, want)
	}

	p.run(`document.querySelector("#troubles button").focus()`)
	p.press(kb.ArrowDown, kb.ArrowDown)
	number := read[string](p, `document.activeElement.querySelector(".title").textContent`)
	p.press(kb.Enter)
	p.until(`document.querySelector("#sheet .radius")`)
	if got := focused(p); got != "sheet-number" {
		t.Errorf("after Enter the focus is on %q, want the sheet", got)
	}
	p.press(kb.Escape)
	p.until(`document.getElementById("sheet").hidden`)
	if got := read[string](p, `document.activeElement.querySelector(".title")?.textContent ?? ""`); got != number {
		t.Errorf("after Escape the focus is on %q, want the row %q", got, number)
	}

	p.run(`document.getElementById("map").focus()`)
	p.drawn() // the sheet has gone, and the map shows what it covered
	latDeg, lonDeg := centre(p)
	p.press(kb.ArrowRight)
	p.until(fmt.Sprintf(`location.hash.includes("at=") && Number(location.hash.match(/at=[^,]+,([^&]+)/)[1]) > %.6f`, lonDeg))
	p.press(kb.ArrowUp)
	p.until(fmt.Sprintf(`Number(location.hash.match(/at=([^,]+),/)[1]) > %.6f`, latDeg))

	// Enter opens the mooring under the cross.
	m := f.mooring("300")
	p.open(fmt.Sprintf("%s/#harbor=%s&at=%.6f,%.6f&zoom=18", f.URL, fakeSlug, m["lat"], m["lon"]))
	p.run(`document.getElementById("map").focus()`)
	p.press(kb.Enter)
	p.until(`document.getElementById("sheet-number").textContent === "300"`)
	p.press(kb.Escape)
	p.until(`document.getElementById("sheet").hidden`)
	if got := focused(p); got != "map" {
		t.Errorf("after Escape the focus is on %q, want the map", got)
	}

	// A question by keyboard: open, type, Enter, read the answer, close.
	p.run(`document.getElementById("ask-fit").focus()`)
	p.press(kb.Enter)
	if got := focused(p); got != "fit-number" {
		t.Errorf("the form opened with the focus on %q, want its first field", got)
	}
	p.press("300", kb.Tab, "13", kb.Enter)
	p.until(`document.querySelector("#answer h2")?.textContent.startsWith("The boat does not fit")`)
	p.press(kb.Escape)
	p.until(`document.getElementById("answer").hidden`)
	p.quiet()
}

// axe runs axe-core in the page as it stands and names what is serious or worse.
func axe(p *tab, source string) []string {
	p.Helper()
	p.do(chromedp.Evaluate[chromedp.Void](source))
	raw := read[string](p, `axe.run(document, {resultTypes: ["violations"]}).then((r) => JSON.stringify(
		r.violations.map((v) => ({id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.map((n) => n.target.join(" "))}))))`)
	var violations []struct {
		ID, Impact, Help string
		Nodes            []string
	}
	if err := json.Unmarshal([]byte(raw), &violations); err != nil {
		p.Fatal(err)
	}
	var found []string
	for _, v := range violations {
		said := fmt.Sprintf("%s: %s (%s) at %v", v.Impact, v.Help, v.ID, v.Nodes)
		if v.Impact == "serious" || v.Impact == "critical" {
			found = append(found, said)
		} else {
			p.Logf("%s", said)
		}
	}
	return found
}

func TestAxeFindsNothingSerious(t *testing.T) {
	const path = "node_modules/axe-core/axe.min.js"
	source, err := os.ReadFile(path)
	if err != nil {
		outside.Missing(t, "axe-core is not there; run npm ci in webmap")
	}
	f := newFake(t, 120)
	some := "#harbor=" + fakeSlug + "&mooring=004&with=005"
	const laid = `while (!document.querySelector("#lie-answer .row")) await new Promise((r) => setTimeout(r, 50));
		document.querySelector("#form-lie .gusts").open = true;`
	wanted := "#ask=where&in=West&loa_m=8.5&rode_m=12&harbor=" + fakeSlug
	const taken = `while (!document.querySelector("#spots .row")) await new Promise((r) => setTimeout(r, 50));
		document.querySelector("#spots .row").click(); document.querySelector("#spots .todo .primary").click();
		while (document.getElementById("form-take").hidden) await new Promise((r) => setTimeout(r, 50));
		for (const [id, value] of [["owner", "taken"], ["who", "A"], ["why", "B"]]) document.getElementById("take-" + id).value = value;
		document.getElementById("take-send").click();
		while (!document.querySelector("#take-told .refusal")) await new Promise((r) => setTimeout(r, 50))`
	views := []struct {
		name, hash string
		tab        func(testing.TB) *tab
		act        string
	}{
		{"the first visit", "", desk, ""},
		{"a sheet and the legend", some, desk, `document.getElementById("legend-button").click()`},
		{"in contrast", some + "&contrast=1&list=moorings", desk, ""},
		{"a question and its answer", "#ask=where&harbor=" + fakeSlug, desk,
			`document.getElementById("where-loa").value = "9"; document.querySelector("#form-where .primary").click(); await new ` +
				`Promise((r) => setTimeout(r, 500))`},
		{"a mistake in a form", "#ask=fit&harbor=" + fakeSlug, desk, `document.querySelector("#form-fit .primary").click()`},
		{"how the boats lie", "#ask=lie&wind=225,20&harbor=" + fakeSlug, desk, laid},
		{"how the boats lie, playing, in contrast", "#ask=lie&wind=225,20&contrast=1&harbor=" + fakeSlug, desk,
			laid + `document.getElementById("play-tide").click(); await new Promise((r) => setTimeout(r, 600))`},
		{"how the boats lie, on a phone", "#wind=225,20&harbor=" + fakeSlug, phone, `document.getElementById("ask-lie").click();` + laid},
		{"open water and a circle of one's own", wanted + "&answer=room", desk,
			`while (!document.querySelector("#spots .row")) await new Promise((r) => setTimeout(r, 50));
			document.querySelector("#spots .row").click(); document.getElementById("where-circle").click();
			while (document.getElementById("trialbar").hidden) await new Promise((r) => setTimeout(r, 50))`},
		{"how many more go in", wanted + "&answer=capacity&layout=hexagonal", desk,
			`while (!document.querySelector("#spots .row")) await new Promise((r) => setTimeout(r, 50)); document.querySelector("#spots ` +
				`.row").click()`},
		{"a place that is taken", wanted + "&answer=room", desk, taken},
		{"a place that is taken, on a phone", wanted + "&answer=room", phone, taken},
		{"who is next", "#ask=next&harbor=" + fakeSlug, desk,
			`while (!document.querySelector("#next-answer .row")) await new Promise((r) => setTimeout(r, 50)); ` +
				`document.querySelector("#next-answer details").open = true`},
		{"what another scope would free", "#ask=free&answer=what_if&in=West&scope=3&like=001&harbor=" + fakeSlug, desk,
			`while (!document.getElementById("free-gained")) await new Promise((r) => setTimeout(r, 50))`},
		{"what another scope would free, on a phone, in contrast", "#ask=free&answer=what_if&in=West&scope=3&contrast=1&harbor=" + fakeSlug,
			phone, `while (!document.querySelector(".sides")) await new Promise((r) => setTimeout(r, 50))`},
		{"a phone", "", phone, ""},
		{"a phone with a sheet", some, phone, ""},
	}
	for _, view := range views {
		t.Run(view.name, func(t *testing.T) {
			p := view.tab(t).open(f.URL + "/" + view.hash)
			if strings.Contains(view.hash, "mooring") {
				p.until(`document.querySelector("#sheet .radius")`)
			}
			p.run(view.act)
			for _, each := range axe(p, string(source)) {
				t.Error(each)
			}
		})
	}
}

// untouchable names what can be touched and is less than 48 px each way, or less than 8 px from the next.
func untouchable(p *tab) []string {
	p.Helper()
	return read[[]string](p, `(() => {
		const target = (e) => e.closest(".choice, .pick, .chooser, .show-password") && e.closest("label") || e;
		const onTop = (e, r) => {
			const t = document.elementFromPoint(r.x + r.width / 2, Math.min(innerHeight - 1, Math.max(1, r.y + r.height / 2)));
			return t && (e === t || e.contains(t) || t.contains(e));
		};
		const seen = [...document.querySelectorAll("button, a[href], input, select, summary")]
			.map((e) => ({e, r: target(e).getBoundingClientRect()}))
			// What is only partly in sight is scrolled to before it is touched.
			.filter(({e, r}) => {
				const box = e.closest(".scroll")?.getBoundingClientRect();
				return !box || (r.top >= box.top - 1 && r.bottom <= box.bottom + 1);
			})
			.filter(({e, r}) => r.width && r.top < innerHeight && r.bottom > 0 && !e.classList.contains("grip") && e.checkVisibility() &&
				onTop(e, r));
		const name = (e) => e.id || e.textContent.trim() || e.name, bad = [];
		for (const {e, r} of seen) {
			if (r.height < 47.5 || r.width < 47.5) bad.push(name(e) + " is " + Math.round(r.width) + " by " + Math.round(r.height) + " px");
		}
		for (const a of seen) for (const b of seen) {
			const rows = a.e.matches(".row") && b.e.matches(".row");
			const one = a.e.closest(".choice") && a.e.closest(".choice") === b.e.closest(".choice");
			if (a === b || rows || one || a.e.contains(b.e) || b.e.contains(a.e)) continue;
			const dx = Math.max(b.r.left - a.r.right, a.r.left - b.r.right), dy = Math.max(b.r.top - a.r.bottom, a.r.top - b.r.bottom);
			if (Math.max(dx, dy) < 7.5) bad.push(name(a.e) + " is " + Math.max(dx, dy).toFixed(1) + " px from " + name(b.e));
		}
		return bad;
	})()`)
}

func TestPhoneIsUsedWithOneThumb(t *testing.T) {
	f := newFake(t, 500)
	p := phone(t).open(f.URL + "/")
	if got := read[string](p, `document.getElementById("column").dataset.rise`); got != "peek" {
		t.Errorf("the drawer is at %q, want peek", got)
	}
	if read[bool](p, `document.documentElement.scrollWidth > innerWidth`) {
		t.Error("the page is wider than the phone")
	}
	touchable := func(when string) {
		t.Helper()
		for _, each := range untouchable(p) {
			t.Errorf("%s: %s", when, each)
		}
	}
	touchable("at first")
	p.do(chromedp.Tap(chromedp.CSS("#ask-where")))
	p.until(`document.getElementById("column").dataset.rise === "half" && ` +
		`Math.abs(document.getElementById("column").getBoundingClientRect().height - innerHeight / 2) < 2`)
	touchable("with a question open")
	p.do(chromedp.Tap(chromedp.CSS("#column .grip")))
	p.until(`document.getElementById("column").dataset.rise === "full" && ` +
		`document.getElementById("column").getBoundingClientRect().height > innerHeight * 0.85 && ` +
		`!document.getElementById("column").getAnimations().length`)
	touchable("with the drawer full")
	p.do(chromedp.Tap(chromedp.CSS("#column .grip")))
	p.until(`document.getElementById("column").dataset.rise === "peek"`)

	// A tap on a circle opens its sheet at half height, and the circle stays in sight.
	m := f.mooring("300")
	p.open(fmt.Sprintf("%s/#harbor=%s&at=%.6f,%.6f&zoom=18", f.URL, fakeSlug, m["lat"], m["lon"]))
	p.do(chromedp.TapXY(195, 422))
	p.until(`document.getElementById("sheet-number").textContent === "300" && document.querySelector("#sheet .radius")`)
	p.until(`Math.abs(document.getElementById("sheet").getBoundingClientRect().height - innerHeight / 2) < 2`)
	touchable("with a sheet")
	p.do(chromedp.Tap(chromedp.CSS("#sheet-close")))
	p.until(`document.getElementById("sheet").hidden`)
	p.do(chromedp.Tap(chromedp.CSS("#contrast")))
	p.until(`document.documentElement.classList.contains("contrast")`)
	p.quiet()
}
