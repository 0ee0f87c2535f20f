package webmap_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swingroom/geo"
)

// laidWith opens the fourth question with a weather from the address, and waits for its answer.
func laidWith(p *tab, f *fake, weather string) *tab {
	p.Helper()
	p.open(f.URL + "/#harbor=" + fakeSlug + "&ask=lie&" + weather)
	p.until(`document.querySelector("#lie-answer h2")`)
	return p
}

// copyOfCanvas is read in place of the canvas itself, which the browser would draw more slowly ever after.
const copyOfCanvas = `const ctx = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d", {willReadFrequently: true}); ` +
	`ctx.drawImage(canvas, 0, 0);`

// inkAt tells how opaque a canvas of the map (0 ground, 1 moorings, 2 hulls that lie) is at a place, from 0 to 255; 0 where there is none.
func inkAt(p *tab, canvas int, at geo.Position) int {
	p.Helper()
	latDeg, lonDeg := centre(p)
	var zoom float64
	fmt.Sscan(query(p).Get("zoom"), &zoom)
	// The world is 256·2^zoom pixels wide in Web Mercator (EPSG:3857, OGC 17-083r4, annex D).
	world := 256 * math.Pow(2, zoom)
	mercator := func(latDeg float64) float64 {
		return math.Log(math.Tan(math.Pi/4+latDeg*math.Pi/360)) / (2 * math.Pi) * world
	}
	dx, dy := (at.LonDeg-lonDeg)/360*world, mercator(latDeg)-mercator(at.LatDeg)
	return read[int](p, fmt.Sprintf(`(() => {
		const canvas = document.querySelectorAll("#map canvas")[%d], map = document.getElementById("map").getBoundingClientRect(),
			box = canvas.getBoundingClientRect();
		if (!canvas.width) return 0;
		const scale = canvas.width / box.width, x = (map.x + map.width / 2 + %f - box.x) * scale,
			y = (map.y + map.height / 2 + %f - box.y) * scale;
		%s
		return ctx.getImageData(Math.round(x), Math.round(y), 1, 1).data[3];
	})()`, canvas, dx, dy, copyOfCanvas))
}

// picture is a checksum of a canvas of the map.
func picture(p *tab, canvas int) int {
	p.Helper()
	return read[int](p, fmt.Sprintf(`(() => {
		const canvas = document.querySelectorAll("#map canvas")[%d];
		if (!canvas.width) return 0;
		%s
		const all = ctx.getImageData(0, 0, canvas.width, canvas.height).data;
		let sum = 1;
		for (let i = 3; i < all.length; i += 4) if (all[i]) sum = (sum * 31 + i * 7 + all[i - 3]) %% 2147483647;
		return sum;
	})()`, canvas, copyOfCanvas))
}

// near is the address of a view with one mooring in the middle.
func near(m map[string]any, zoom float64) string {
	return fmt.Sprintf("at=%.7f,%.7f&zoom=%g", m["lat"], m["lon"], zoom)
}

func TestWeatherLaysTheFieldAndListsItsGaps(t *testing.T) {
	f := newFake(t, 500)
	m := f.moorings[100]
	p := desk(t).open(f.URL + "/#harbor=" + fakeSlug + "&wind=45,20&stream=0,0&" + near(m, 19))
	usually := geo.Ahead(at(m), 45, 10) // the middle of the hull that is drawn lying to the south-west wind
	hull := geo.Ahead(at(m), 225, fakeReachM+5)
	p.until(`document.querySelectorAll("#map canvas")[1].width > 0`)
	if inkAt(p, 1, usually) == 0 || inkAt(p, 2, hull) != 0 {
		t.Fatal("the usual picture is not there to begin with: the test would prove nothing")
	}
	p.click("#ask-lie")
	p.until(`document.getElementById("lie-wind-dial")`)
	if got := focused(p); got != "lie-wind-dial" {
		t.Errorf("the form opened with the focus on %q, want the dial", got)
	}
	p.until(`document.querySelectorAll("#lie-answer .rows .row").length > 3`)
	time.Sleep(100 * time.Millisecond) // two frames
	if inkAt(p, 2, hull) < 200 {
		t.Error("there is no hull where the service says that she lies")
	}
	if inkAt(p, 2, geo.Ahead(at(m), 225, fakeReachM+9.9+1.5)) != 0 || inkAt(p, 2, geo.Ahead(at(m), 315, 8)) != 0 {
		t.Error("something is drawn where no hull lies")
	}
	if inkAt(p, 2, geo.Ahead(at(m), 225, 3.5)) == 0 {
		t.Error("no line leads from the anchor to the bow")
	}
	if inkAt(p, 1, usually) != 0 {
		t.Error("the hull lying to the usual wind is still drawn")
	}
	boats, _, _ := f.lying(nil)
	answer := p.text("#lie-answer")
	for _, want := range []string{"3 gaps under the margin", fmt.Sprintf("%d boats lie to the wind", len(boats)),
		fmt.Sprintf("%d boats cannot be laid", len(f.unknown))} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from\n%s", want, answer)
		}
	}
	row := func(i int) string {
		return strings.Join(strings.Fields(p.text(fmt.Sprintf("#lie-answer .rows > li:nth-child(%d)", i))), " ")
	}
	for i, want := range []string{"003 and 004 2.5 m touching · margin 1.5 m", "001 and 002 gap 0.40 m may touch · margin 1.5 m",
		"006 and 007 gap 1.4 m inside the margin"} {
		if got := row(i + 1); !strings.HasPrefix(got, want) {
			t.Errorf("row %d is %q, want %q", i+1, got, want)
		}
	}
	if said := p.text("#say"); !strings.Contains(said, "3 gaps under the margin") {
		t.Errorf("a screen reader hears %q", said)
	}
	if corner := p.text("#vane"); !strings.Contains(corner, "045° · 20 kn") || !strings.Contains(corner, "no stream") ||
		!strings.Contains(corner, "low water, +0.40 m") {
		t.Errorf("the corner of the map says %q", corner)
	}
	p.click("#lie-answer .row")
	p.until(`document.querySelector("#sheet .radius")`)
	if q := query(p); q.Get("mooring") != "003" || q.Get("with") != "004" {
		t.Errorf("the row opened %v", q)
	}
	// An easterly parts them all.
	p.run(`const dial = document.getElementById("lie-wind-deg"); dial.value = "90";
		dial.dispatchEvent(new Event("input", {bubbles: true}))`)
	p.until(`document.querySelector("#lie-answer h2").textContent === "All hulls that could be drawn keep their margin"`)
	p.quiet()
}

func TestNewestWeatherWins(t *testing.T) {
	f := newFake(t, 120)
	p := laidWith(desk(t), f, "wind=225,20&stream=0,0")
	slide := `const s = document.getElementById("lie-wind-slider"); s.value = "%d"; s.dispatchEvent(new Event("input", {bubbles: true}))`
	p.run(fmt.Sprintf(slide, int(fakeSlowKn)))
	time.Sleep(200 * time.Millisecond) // it has been asked
	p.run(fmt.Sprintf(slide, 30))
	p.until(`document.getElementById("lie-answer").textContent.includes("gap\u00a00.60")`)
	time.Sleep(fakeSlow + 300*time.Millisecond)
	if got := p.text("#lie-answer"); !strings.Contains(got, "gap 0.60 m") {
		t.Errorf("an answer that came late took the place of the newest:\n%s", got)
	}
	// A refusal says what is wrong, keeps what was typed and what is drawn.
	before := picture(p, 2)
	p.run(`const f = document.getElementById("lie-wind-kn"); f.value = "101"; f.dispatchEvent(new Event("input", {bubbles: true}))`)
	p.until(`document.querySelector("#lie-answer .refusal")`)
	if got := p.text("#lie-answer"); !strings.Contains(got, "between 0 and 100 kn") ||
		read[string](p, `document.getElementById("lie-wind-kn").value`) != "101" || picture(p, 2) != before {
		t.Errorf("the refusal lost something: %q", got)
	}
	// What makes no sense is told where it stands, and not asked.
	p.run(`const f = document.getElementById("lie-wind-kn"); f.value = "151"; f.dispatchEvent(new Event("input", {bubbles: true}))`)
	p.until(`document.getElementById("lie-wind-kn-range")`)
	if got := query(p).Get("wind"); got != "225,101" {
		t.Errorf("the address holds wind=%s", got)
	}
}

func TestWeatherDialIsTurnedByKeysAndByPointer(t *testing.T) {
	f := newFake(t, 120)
	p := laidWith(desk(t), f, "wind=225,20&stream=20,0.5")
	text := func(mover string) string {
		return read[string](p, fmt.Sprintf(`document.getElementById("lie-%s-dial").getAttribute("aria-valuetext")`, mover))
	}
	if got := text("wind"); got != "wind from 225 degrees, south-west" {
		t.Errorf("the dial is called %q", got)
	}
	if got := text("stream"); got != "stream towards 20 degrees, north-north-east" {
		t.Errorf("the dial is called %q", got)
	}
	p.run(`document.getElementById("lie-wind-dial").focus()`)
	p.press(kb.ArrowRight, kb.ArrowUp, kb.ArrowLeft)
	if got := text("wind"); got != "wind from 230 degrees, south-west" {
		t.Errorf("the arrow keys turned it to %q", got)
	}
	p.press(kb.Home, kb.ArrowLeft)
	if got, field := text("wind"),
		read[string](p, `document.getElementById("lie-wind-deg").value`); got != "wind from 355 degrees, north" || field != "355" {
		t.Errorf("across north it stands at %q, the field at %q", got, field)
	}
	// By pointer: east of the middle.
	box := read[[]float64](p, `(() => { const b = document.getElementById("lie-wind-dial").getBoundingClientRect(); return [b.x, b.y, `+
		`b.width, b.height] })()`)
	p.do(chromedp.MouseClickXY(box[0]+box[2]*0.9, box[1]+box[3]/2))
	if got := query(p).Get("wind"); got != "90,20" {
		t.Errorf("a click at its east side made wind=%s", got)
	}
	p.until(`document.querySelector("#lie-answer h2").textContent === "All hulls that could be drawn keep their margin"`)
	p.quiet()
}

func TestWeatherStandsInTheAddress(t *testing.T) {
	f := newFake(t, 120)
	p := laidWith(desk(t), f, "wind=225,20&stream=20,0.5&water=high")
	state := `["wind-deg", "wind-kn", "stream-deg", "stream-kn"].map((n) => document.getElementById("lie-" + n).value).join() + ` +
		`document.querySelector("#form-lie .choice [aria-pressed=true]").textContent`
	if got := read[string](p, state); got != "225,20,20,0.5High" {
		t.Errorf("the form holds %q", got)
	}
	p.run(`for (const [n, v] of [["wind-deg", "300"], ["stream-kn", "1.5"]]) { const f = document.getElementById("lie-" + n); f.value = ` +
		`v; f.dispatchEvent(new Event("input", {bubbles: true})); }`)
	p.click("#lie-water-now")
	p.until(`location.hash.includes("water=now")`)
	p.run(`document.querySelector("#lie-answer .row").click()`) // the list is written anew meanwhile
	p.until(`document.querySelector("#sheet .radius")`)
	p.run(`history.back()`)
	p.until(`document.getElementById("sheet").hidden`)
	want := "300,20,20,1.5Now"
	if got := read[string](p, state); got != want {
		t.Errorf("after Back %q, want %q", got, want)
	}
	p.open(read[string](p, "location.href"))
	p.until(`document.querySelector("#lie-answer h2")`)
	if got := read[string](p, state); got != want {
		t.Errorf("after reload %q, want %q", got, want)
	}
	p.quiet()
}

func TestPlayMovesTheHullsAndCanBePaused(t *testing.T) {
	f := newFake(t, 500)
	m := f.moorings[100]
	p := laidWith(desk(t), f, "wind=225,20&stream=0,0&"+near(m, 18))
	ground := picture(p, 0)
	p.click("#play-shift")
	p.until(`!document.getElementById("player").hidden`)
	moment := func() float64 { return read[float64](p, `Number(document.getElementById("play-moment").value)`) }
	if got := focused(p); got != "play-pause" {
		t.Errorf("playing began with the focus on %q", got)
	}
	was := picture(p, 2)
	p.until(fmt.Sprintf(`Number(document.getElementById("play-moment").value) > %f`, moment()+1))
	if picture(p, 2) == was {
		t.Error("nothing moves")
	}
	// The map is moved and zoomed meanwhile; hulls stay with their anchors.
	p.run(`document.getElementById("map").focus()`)
	p.press(kb.ArrowRight, "+")
	time.Sleep(600 * time.Millisecond)
	p.click("#play-pause")
	still := picture(p, 2)
	time.Sleep(300 * time.Millisecond)
	if picture(p, 2) != still {
		t.Error("it goes on after Pause")
	}
	p.run(`const s = document.getElementById("play-moment"); s.value = "18"; s.dispatchEvent(new Event("input"))`)
	p.until(`document.getElementById("play-words").textContent === "from 315°, north-west"`)
	time.Sleep(100 * time.Millisecond)
	// 18 frames of 5° after 225° the wind is north-west; the fake's boats lie 8° a metre of level beside it.
	if hull := geo.Ahead(at(m), 315-180+8*fakeLowM, fakeReachM+fakeLowM+5); inkAt(p, 2, hull) < 200 {
		t.Error("after panning and zooming the hull is not where the frame says")
	}
	if corner := p.text("#vane"); !strings.Contains(corner, "315° · 20 kn") {
		t.Errorf("the corner of the map says %q", corner)
	}
	p.press(kb.Escape) // nothing of the map's own is open: it ends the play
	p.until(`document.getElementById("player").hidden`)
	if picture(p, 0) == 0 || ground == 0 {
		t.Error("the ground was lost")
	}
	p.until(`document.querySelector("#lie-answer h2").textContent === "3\u00a0gaps under the margin"`)

	// A tide has a clock; its list leads to the moment when a pair is closest.
	p.click("#play-tide")
	p.until(`!document.getElementById("player").hidden && /^\d\d:\d\d · \+\d/.test(document.getElementById("play-words").textContent)`)
	if got := p.text("#lie-answer"); !strings.Contains(got, "1 gap under the margin on the way") || !strings.Contains(got, "0.20 m") {
		t.Errorf("the answer of the play is %q", got)
	}
	p.click("#lie-answer .row")
	p.until(`document.querySelector("#sheet .radius")`)
	if got := moment(); got != 15 {
		t.Errorf("the row went to frame %v, want 15, where the two are closest", got)
	}
	p.run(`document.getElementById("play-moment").focus()`)
	p.press(kb.ArrowRight)
	if got := moment(); got != 16 {
		t.Errorf("the arrow key went to %v, want the next frame", got)
	}
	// Another weather ends the play and is laid.
	p.run(`const d = document.getElementById("lie-wind-deg"); d.value = "90"; d.dispatchEvent(new Event("input", {bubbles: true}))`)
	p.until(`document.getElementById("player").hidden && document.querySelector("#lie-answer h2").textContent === "All hulls that could ` +
		`be drawn keep their margin"`)
	p.quiet()
}

func TestPlayEndsByItselfAndCanBePlayedAgain(t *testing.T) {
	f := newFake(t, 60)
	p := laidWith(desk(t), f, "wind=225,20&stream=0,0")
	p.click("#play-shift")
	p.click("#play-fast")
	p.run(`const s = document.getElementById("play-moment"); s.value = "68"; s.dispatchEvent(new Event("input"))`)
	p.click("#play-pause")
	p.until(`document.getElementById("play-pause").getAttribute("aria-label") === "Play again"`)
	if got := p.text("#play-words"); got != "from 225°, south-west" {
		t.Errorf("a shift once round ended %q", got)
	}
	p.click("#play-pause")
	p.until(`Number(document.getElementById("play-moment").value) > 0.5 && Number(document.getElementById("play-moment").value) < 60`)
	p.quiet()
}

func TestLeavingTheWeatherBringsTheUsualPictureBack(t *testing.T) {
	f := newFake(t, 120)
	p := desk(t).open(f.URL + "/#harbor=" + fakeSlug + "&" + near(f.moorings[40], 18))
	p.until(`document.querySelectorAll("#map canvas")[1].width > 0`)
	time.Sleep(200 * time.Millisecond)
	usual := picture(p, 1)
	leave := map[string]func(){
		"Escape":           func() { p.press(kb.Escape) },
		"closing":          func() { p.click("#ask-lie") },
		"another question": func() { p.click("#ask-fit") },
	}
	for name, away := range leave {
		p.click("#ask-lie")
		p.until(`document.querySelector("#lie-answer h2")`)
		p.until(`document.querySelectorAll("#map canvas")[2].width > 0`)
		if picture(p, 1) == usual {
			t.Errorf("%s: the circles are as loud as ever", name)
		}
		p.click("#play-shift")
		p.until(`!document.getElementById("player").hidden`)
		if name == "Escape" {
			p.press(kb.Escape) // the first one ends the play
			p.until(`document.getElementById("player").hidden`)
		}
		away()
		p.until(`document.getElementById("form-lie").hidden && document.getElementById("vane").hidden && ` +
			`document.getElementById("player").hidden`)
		p.until(`document.querySelectorAll("#map canvas")[2].width === 0`)
		time.Sleep(200 * time.Millisecond)
		if got := picture(p, 1); got != usual {
			t.Errorf("after %s the picture is not the usual one", name)
		}
	}
	p.quiet()
}

func TestWeatherOnAPhone(t *testing.T) {
	f := newFake(t, 500)
	p := phone(t).open(f.URL + "/#harbor=" + fakeSlug + "&wind=225,20&stream=0,0&" + near(f.moorings[100], 18))
	p.do(chromedp.Tap(chromedp.CSS("#ask-lie")))
	p.until(`document.getElementById("column").dataset.rise === "half" && document.querySelector("#lie-answer .row") && ` +
		`!document.getElementById("column").getAnimations().length`)
	check := func(when string) {
		t.Helper()
		for _, each := range untouchable(p) {
			t.Errorf("%s: %s", when, each)
		}
		if read[bool](p, `document.documentElement.scrollWidth > innerWidth || document.querySelector("#column .scroll").scrollWidth > `+
			`innerWidth`) {
			t.Errorf("%s: the page is wider than the phone", when)
		}
	}
	check("with the form open")
	p.run(`document.querySelector("#form-lie .gusts").open = true; document.getElementById("lie-water-low").scrollIntoView()`)
	check("with its lower half")
	p.run(`document.getElementById("play-shift").scrollIntoView()`)
	p.do(chromedp.Tap(chromedp.CSS("#play-shift")))
	p.until(`!document.getElementById("player").hidden`)
	check("playing")
	covered := `(() => { const a = document.getElementById("player").getBoundingClientRect(); return ["column", "top", "vane", ` +
		`"always", "scalebar"].filter((id) => { const e = document.getElementById(id), b = e.getBoundingClientRect(); return ` +
		`e.checkVisibility() && b.width && a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom }) })()`
	if got := read[[]string](p, covered); len(got) > 0 {
		t.Errorf("the player lies over %v", got)
	}
	p.do(chromedp.Tap(chromedp.CSS("#column .grip")))
	p.until(`document.getElementById("column").dataset.rise === "full" && !document.getElementById("column").getAnimations().length`)
	p.do(chromedp.Tap(chromedp.CSS("#column .grip")))
	p.until(`document.getElementById("column").dataset.rise === "peek" && !document.getElementById("column").getAnimations().length`)
	check("playing over the whole map")
	if got := read[[]string](p, covered); len(got) > 0 {
		t.Errorf("with the drawer low the player lies over %v", got)
	}
	p.do(chromedp.Tap(chromedp.CSS("#play-stop")))
	p.until(`document.getElementById("player").hidden`)
	// The tide belongs to the drawer's settings.
	if !read[bool](p, `document.getElementById("phone-settings").contains(document.getElementById("tide")) && `+
		`!document.getElementById("tide").hidden`) {
		t.Error("the tide does not stand among the drawer's settings")
	}
	p.quiet()
}

func TestTideStandsBesideTheLevelsAndBreaksNothing(t *testing.T) {
	f := newFake(t, 60)
	for _, width := range []int64{900, 960, 1000, 1050, 1100, 1200, 1280, 1440} {
		p := newTab(t, width, 600).open(f.URL + "/")
		p.until(`!document.getElementById("tide").hidden`)
		if read[bool](p, `document.getElementById("top").scrollWidth > innerWidth || `+
			`document.getElementById("legend-button").getBoundingClientRect().right > innerWidth || `+
			`document.getElementById("top").offsetHeight > 53`) {
			t.Errorf("at %d px the top line breaks", width)
		}
		high := time.Now().Add(fakeNextHigh)
		got := strings.Join(strings.Fields(read[string](p, `document.getElementById("tide").textContent`)), " ")
		clock := read[string](p, fmt.Sprintf(`new Date(%d).toLocaleTimeString("en-GB", {hour: "2-digit", minute: "2-digit"})`,
			high.UnixMilli()))
		if want := "now 1.9 m, rising; high 3.2 m at "; !strings.HasPrefix(got, want) || len(got) != len(want)+len(clock) {
			t.Errorf("the tide is told as %q, want %q and a time like %s", got, want, clock)
		}
		if title := read[string](p, `document.getElementById("tide").title`); !strings.Contains(title, "weather is not in it") {
			t.Errorf("the caution is missing from %q", title)
		}
		p.run(`document.getElementById("units-feet").click()`)
		if got := p.text("#tide"); !strings.Contains(got, "6.2 ft") {
			t.Errorf("in feet it is %q", got)
		}
		p.quiet()
	}
	p := laidWith(desk(t), f, "wind=225,20&stream=0,0&water=now")
	if got := p.text("#lie-caution"); got != "weather is not in it" {
		t.Errorf("the form's caution is %q", got)
	}
	if got := p.text("#vane"); !strings.Contains(got, "water now, +1.9 m") {
		t.Errorf("the corner says %q", got)
	}
	p.click("#legend-button")
	if got := p.text("#legend-body"); !strings.Contains(got, "weather is not in it") ||
		!strings.Contains(got, "lying to the wind and stream in the corner") {
		t.Errorf("the legend says %q", got)
	}
}

func TestHarborWithoutTideShowsNoTide(t *testing.T) {
	f := newFake(t, 60)
	f.noTide = true
	p := laidWith(desk(t), f, "wind=225,20&stream=0,0")
	time.Sleep(300 * time.Millisecond) // the tide has been asked for
	if read[bool](p, `["tide", "play-tide", "lie-water-now"].some((id) => document.getElementById(id).checkVisibility())`) {
		t.Error("a tide is offered that nobody knows")
	}
	p.click("#legend-button")
	if got := p.text("#legend-body"); strings.Contains(got, "Tide") {
		t.Errorf("the legend speaks of a tide: %q", got)
	}
	for _, each := range p.complaints() {
		if !strings.Contains(each, "404") { // the browser itself tells of the answer
			t.Errorf("console: %s", each)
		}
	}
}

func TestReducedMotionPlaysNothingByItself(t *testing.T) {
	f := newFake(t, 60)
	p := desk(t)
	if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia,
		emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion",
			Value: "reduce"}}}); err != nil {
		t.Fatal(err)
	}
	laidWith(p, f, "wind=225,20&stream=0,0")
	p.click("#play-shift")
	p.until(`!document.getElementById("player").hidden`)
	before := picture(p, 2)
	time.Sleep(400 * time.Millisecond)
	if picture(p, 2) != before || read[string](p, `document.getElementById("play-moment").value`) != "0" {
		t.Error("it plays although motion is not wanted")
	}
	if read[bool](p, `Boolean(document.getElementById("play-pause"))`) {
		t.Error("there is a button to play")
	}
	if got := focused(p); got != "play-moment" {
		t.Errorf("the focus is on %q, want the moment", got)
	}
	p.press(kb.ArrowRight)
	p.until(`document.getElementById("play-moment").value === "1" && document.getElementById("play-words").textContent.startsWith("from ` +
		`230°")`)
	if picture(p, 2) == before {
		t.Error("the key moved nothing")
	}
	p.quiet()
}

func TestWeatherIsPrinted(t *testing.T) {
	f := newFake(t, 120)
	p := laidWith(desk(t), f, "wind=225,20&stream=20,0.5&water=high")
	p.run(`dispatchEvent(new Event("beforeprint"))`)
	if got := p.text("#vane"); !read[bool](p, `document.getElementById("vane").checkVisibility()`) ||
		!strings.Contains(got, "225° · 20 kn") || !strings.Contains(got, "020° · 0.5 kn") || !strings.Contains(got, "high water, +3.2 m") {
		t.Errorf("the print does not say what the boats lie to: %q", got)
	}
	if picture(p, 2) == 0 {
		t.Error("the hulls are not printed")
	}
	p.run(`dispatchEvent(new Event("afterprint"))`)
	p.quiet()
}
