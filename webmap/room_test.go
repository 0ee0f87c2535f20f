package webmap_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swingroom/geo"
)

const roomZoom = 19

// The canvases of the map in the order in which they were made.
const waterCanvas, placesCanvas = 3, 4

// wanting opens the first question over a place, with a boat and her rode typed.
func wanting(p *tab, f *fake, over geo.Position, loa, rode string) *tab {
	p.Helper()
	p.open(fmt.Sprintf("%s/#harbor=%s&ask=where&at=%.9f,%.9f&zoom=%d", f.URL, fakeSlug, over.LatDeg, over.LonDeg, roomZoom))
	p.until(`document.querySelectorAll("#where-area option").length === 2`)
	p.run(fmt.Sprintf(`for (const [id, value] of [["where-loa", %q], ["where-rode", %q]]) { const e = document.getElementById(id); `+
		`e.value = value; e.dispatchEvent(new Event("input", {bubbles: true})) }`, loa, rode))
	return p
}

// metresWords writes a clearance as the page has to.
func metresWords(m float64) string {
	sign, decimals := "+", 1
	if m < 0 {
		sign = "\u2212"
	}
	if math.Abs(m) < 0.995 {
		decimals = 2
	}
	return fmt.Sprintf("%s%.*f m", sign, decimals, math.Abs(m))
}

// asked is the place that was asked about last, as exactly as it was sent: the map's middle lies between the pixels.
func asked(p *tab) geo.Position {
	p.Helper()
	at, err := geo.ParsePosition(read[string](p, `new URL(performance.getEntriesByType("resource").map((e) => e.name).findLast((n) => `+
		`n.includes("/spot?"))).searchParams.get("position")`), nil)
	if err != nil {
		p.Fatal(err)
	}
	return at
}

func (f *fake) clearanceWords(p geo.Position) string {
	clearM, _ := f.clearanceAt(p)
	return metresWords(clearM)
}

func TestRoomIsListedAndDrawn(t *testing.T) {
	f := newFake(t, 200)
	p := wanting(desk(t), f, place(30, 20), "8.5", "12")
	p.click("#where-best")
	p.until(`document.querySelectorAll("#spots .row").length === 3`)
	answer := strings.Join(strings.Fields(p.text("#answer")), " ")
	first := fakeSpots()[0]
	for _, want := range []string{"Open water in West", "12,346 m² for the anchor", "3 places, the roomiest first", f.clearanceWords(first),
		"Room: at most", "South channel +40.0 m", "depth 5.5 m", "rode 12.0 m",
		strings.Join(strings.Fields(first.DDM()), " ")} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	// The bound is one that holds: it is never rounded to less than it is.
	clearM, _ := f.clearanceAt(first)
	if want := fmt.Sprintf("Room: at most %.2f m", math.Ceil((clearM+0.004)*100)/100); !strings.Contains(answer, want) {
		t.Errorf("%q is missing from %q", want, answer)
	}
	if strings.Contains(answer, "shore") {
		t.Errorf("more than the two nearest limits are told: %q", answer)
	}
	// A row points the map there.
	p.click("#spots li:first-child .row")
	p.until(fmt.Sprintf(`Math.abs(Number(location.hash.match(/at=([^,]+),/)[1]) - %.7f) < 2e-6 && `+
		`Math.abs(Number(location.hash.match(/at=[^,]+,([^&]+)/)[1]) - %.7f) < 2e-6`, first.LatDeg, first.LonDeg))
	p.until(`document.querySelector("#spots .row").getAttribute("aria-current") === "true"`)
	inside, outside := geo.Ahead(first, 90, 5), geo.Ahead(first, 90, 40)
	if got := inkAt(p, waterCanvas, inside); got == 0 {
		t.Error("the open water is not drawn")
	}
	if got := inkAt(p, waterCanvas, outside); got != 0 {
		t.Error("water is drawn as open that is not")
	}
	if got := inkAt(p, placesCanvas, first); got < 200 {
		t.Errorf("the mark of the first place is not drawn: ink %d", got)
	}
	// So does a mark on the map: the second place comes into sight, and is chosen by a click on it.
	p.run(`document.querySelector("#spots li:nth-child(2) .row").click()`)
	second := fakeSpots()[1]
	p.until(fmt.Sprintf(`Math.abs(Number(location.hash.match(/at=[^,]+,([^&]+)/)[1]) - %.7f) < 2e-6`, second.LonDeg))
	p.run(`document.querySelector("#spots .row").click()`)
	p.until(fmt.Sprintf(`Math.abs(Number(location.hash.match(/at=[^,]+,([^&]+)/)[1]) - %.7f) < 2e-6`, first.LonDeg))
	x, y := onMap(p, second)
	p.do(chromedp.MouseClickXY(x, y))
	p.until(`document.querySelector("#spots li:nth-child(2) .row").getAttribute("aria-current") === "true"`)
	p.press(kb.Escape)
	p.until(`document.getElementById("answer").hidden`)
	if got := picture(p, waterCanvas); got != 0 {
		t.Error("the open water stays on the map when its answer is gone")
	}
	p.quiet()
}

// onMap is where a place lies on the screen.
func onMap(p *tab, at geo.Position) (x, y float64) {
	p.Helper()
	latDeg, lonDeg := centre(p)
	var zoom float64
	fmt.Sscan(query(p).Get("zoom"), &zoom)
	world := 256 * math.Pow(2, zoom)
	mercator := func(latDeg float64) float64 {
		return math.Log(math.Tan(math.Pi/4+latDeg*math.Pi/360)) / (2 * math.Pi) * world
	}
	middle := read[[]float64](p, `(() => { const r = document.getElementById("map").getBoundingClientRect(); return [r.x + r.width / 2, `+
		`r.y + r.height / 2] })()`)
	return middle[0] + (at.LonDeg-lonDeg)/360*world, middle[1] + mercator(latDeg) - mercator(at.LatDeg)
}

func TestRoomThatIsNotThereIsToldWithItsRemedies(t *testing.T) {
	f := newFake(t, 200)
	p := wanting(desk(t), f, place(3, 2), "24", "12")
	p.click("#where-best")
	p.until(`document.querySelector("#spots .row")`)
	answer := p.text("#answer")
	for _, want := range []string{"The boat fits nowhere in West", "−4.5 m", "4.5 m to 040", "1.5 m to the shore",
		"Freed by an own rode of 7.5 m in place of 12 m", "or by the boat of 040 moved to the vacant mooring 018"} {
		if !strings.Contains(answer, want) {
			t.Errorf("%q is missing from %q", want, answer)
		}
	}
	// The map is still on its way to the places when their rows are there.
	ink := 0
	for end := time.Now().Add(patience); ink < 200 && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		ink = inkAt(p, placesCanvas, place(3.1, 2.1))
	}
	if ink < 200 {
		t.Errorf("the near miss is not drawn: ink %d", ink)
	}
	p.quiet()
}

func TestRoomTellsWhatIsMissingBesideTheButtonAndKeepsTheRest(t *testing.T) {
	f := newFake(t, 60)
	p := wanting(desk(t), f, place(3, 2), "8.5", "")
	for _, button := range []string{"#where-best", "#where-circle"} {
		p.click(button)
		p.until(`document.getElementById("where-told").textContent.includes("the rode's length is not known; it is needed for the swing ` +
			`radius")`)
		if !read[bool](p, `document.getElementById("answer").hidden && document.getElementById("trialbar").hidden`) {
			t.Error("there is an answer all the same")
		}
		p.run(`const e = document.getElementById("where-loa"); e.dispatchEvent(new Event("input", {bubbles: true}))`)
		p.until(`document.getElementById("where-told").textContent === ""`)
	}
	// Of the tackles only the chosen one is sent.
	p.run(`document.getElementById("where-rode").value = "30"; const e = document.getElementById("where-tackle"); e.value = "scope"; ` +
		`e.dispatchEvent(new Event("change"))`)
	p.do(chromedp.SendKeys(chromedp.CSS("#where-scope"), "3:1"))
	p.click("#where-best")
	p.until(`document.querySelector("#spots .row")`)
	sent := read[string](p, `performance.getEntriesByType("resource").map((e) => e.name).findLast((n) => n.includes("/spots"))`)
	if !strings.Contains(sent, "scope=3&") || strings.Contains(sent, "rode_m") || !strings.Contains(sent, "area=West") {
		t.Errorf("asked %s", sent)
	}
	if got := read[string](p, `document.getElementById("where-rode").value`); got != "30" {
		t.Errorf("the rode that was typed became %q", got)
	}
}

func TestRoomCircleIsDraggedAndItsNewestAnswerWins(t *testing.T) {
	f := newFake(t, 200)
	start := place(4.5, 3.5)
	p := wanting(desk(t), f, start, "8.5", "12")
	p.click("#where-circle")
	p.until(`!document.getElementById("trialbar").hidden`)
	if away := geo.Distance(asked(p), start); away > 0.25 {
		t.Errorf("the circle begins %.2f m from the map's middle", float64(away))
	}
	if got, want := p.text("#trial-words strong"), f.clearanceWords(asked(p)); got != want {
		t.Errorf("at the map's middle her clearance is %q, want %q", got, want)
	}
	if got := read[string](p, `document.getElementById("trialbar").dataset.fits`); got != "true" {
		t.Errorf("fits is %q, want true", got)
	}
	f.tries.mu.Lock()
	f.tries.slow = 60 * time.Millisecond
	f.tries.mu.Unlock()
	p.run(`window.seen = new Set(); new MutationObserver(() => seen.add(document.querySelector("#trial-words ` +
		`strong").textContent)).observe(document.getElementById("trial-words"), {childList: true})`)
	x, y := onMap(p, start)
	mouse := func(kind input.DispatchMouseEventType, x, y float64) {
		p.do(chromedp.MouseEvent(kind, x, y, chromedp.ButtonLeft, func(m *input.DispatchMouseEventParams) {
			m.Buttons = 1
			m.ClickCount = 1
		}))
	}
	const dx, dy, steps = 150.0, -60.0, 30
	mouse(input.DispatchMouseEventTypeMousePressed, x+8, y+5)
	for i := 1; i <= steps; i++ {
		mouse(input.DispatchMouseEventTypeMouseMoved, x+8+dx*float64(i)/steps, y+5+dy*float64(i)/steps)
		time.Sleep(15 * time.Millisecond)
	}
	mouse(input.DispatchMouseEventTypeMouseReleased, x+8+dx, y+5+dy)
	p.until(`document.getElementById("say").textContent.startsWith("Does not fit")`)

	world := 256 * math.Pow(2, roomZoom)
	north := 2*math.Atan(math.Exp(math.Log(math.Tan(math.Pi/4+start.LatDeg*math.Pi/360))-dy*2*math.Pi/world)) - math.Pi/2
	want := geo.Position{LatDeg: north * 180 / math.Pi, LonDeg: start.LonDeg + dx/world*360}
	typed, err := geo.ParsePosition(read[string](p, `document.getElementById("trial-position").value`), nil)
	if err != nil {
		t.Fatal(err)
	}
	// A pixel is 0.23 m there; the anchor may be off by its rounding, and the position by its four decimals of a minute.
	if away := geo.Distance(typed, want); away > 0.5 {
		t.Errorf("the circle lies %.2f m from where it was dragged to", float64(away))
	}
	clearM, number := f.clearanceAt(typed)
	var shown float64
	fmt.Sscanf(strings.ReplaceAll(p.text("#trial-words strong"), "\u2212", "-"), "%f", &shown)
	if math.Abs(shown-clearM) > 0.3 || !strings.Contains(p.text("#trial-words"), "to "+number) {
		t.Errorf("it shows %q, want %.1f m to %s", p.text("#trial-words"), clearM, number)
	}
	if got := read[string](p, `document.getElementById("trialbar").dataset.fits`); got != "false" {
		t.Errorf("fits is %q, want false", got)
	}
	times, wide := f.tries.told()
	if wide != 1 {
		t.Errorf("%d questions were under way at once, want 1", wide)
	}
	if times < 4 || times > steps {
		t.Errorf("asked %d times for %d steps", times, steps)
	}
	if n := read[int](p, "seen.size"); n < 4 {
		t.Errorf("only %d clearances were seen on the way", n)
	}
	if lat, lon := centre(p); geo.Distance(geo.Position{LatDeg: lat, LonDeg: lon}, start) > 1 {
		t.Error("the map was dragged along")
	}
	p.quiet()
}

func TestRoomCircleIsMovedByATypedPosition(t *testing.T) {
	f := newFake(t, 200)
	p := wanting(desk(t), f, place(4.5, 3.5), "8.5", "12")
	p.click("#where-circle")
	p.until(`!document.getElementById("trialbar").hidden`)
	typed := func(text string) {
		t.Helper()
		p.run(`const e = document.getElementById("trial-position"); e.focus(); e.select()`)
		p.do(chromedp.SendKeys(chromedp.CSS("#trial-position"), text+kb.Enter))
	}
	there, err := geo.ParsePosition(geo.Ahead(place(7.5, 4.5), 30, 6).DD(), nil)
	if err != nil {
		t.Fatal(err)
	}
	typed(there.DD())
	p.until(fmt.Sprintf(`document.querySelector("#trial-words strong").textContent.replaceAll("\u00a0", " ") === %q`,
		f.clearanceWords(there)))
	p.until(fmt.Sprintf(`Math.abs(Number(location.hash.match(/at=[^,]+,([^&]+)/)[1]) - %.7f) < 3e-6`, there.LonDeg)) // the map follows
	if got := strings.Join(strings.Fields(read[string](p, `document.getElementById("trial-position").value`)),
		" "); got != strings.Join(strings.Fields(there.DDM()), " ") {
		t.Errorf("the field says %q, want %q", got, there.DDM())
	}
	// What cannot be read stays typed, the reason stands beside it, and the circle stays.
	typed("by the old pier")
	p.until(`document.getElementById("trial-told").textContent`)
	if got := read[string](p, `document.getElementById("trial-position").value`); got != "by the old pier" {
		t.Errorf("what was typed became %q", got)
	}
	if got := p.text("#trial-words strong"); got != f.clearanceWords(there) {
		t.Errorf("the circle shows %q after a text that is no position", got)
	}
	if n := len(p.complaints()); n > 1 {
		t.Errorf("the console heard %q", p.complaints())
	}
}

func TestRoomCircleIsMovedByKeyboard(t *testing.T) {
	f := newFake(t, 200)
	start := place(4.5, 3.5)
	p := wanting(desk(t), f, start, "8.5", "12")
	p.run(`document.getElementById("where-circle").focus()`)
	p.press(kb.Enter)
	p.until(`document.activeElement.id === "trial-grasp"`)
	start = asked(p)
	p.press(kb.ArrowRight, kb.ArrowRight, kb.ArrowUp)
	there := geo.Ahead(geo.Ahead(start, 90, 2), 0, 1)
	shows := func(want geo.Position) {
		t.Helper()
		p.until(fmt.Sprintf(`document.querySelector("#trial-words strong").textContent.replaceAll("\u00a0", " ") === %q`,
			f.clearanceWords(want)))
		got, err := geo.ParsePosition(read[string](p, `document.getElementById("trial-position").value`), nil)
		if err != nil {
			t.Fatal(err)
		}
		if away := geo.Distance(got, want); away > 0.3 { // the fourth decimal of a minute is 0.19 m
			t.Errorf("the circle lies %.2f m from where the keys moved it", float64(away))
		}
	}
	shows(there)
	p.run(`document.activeElement.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", shiftKey: true, bubbles: true, ` +
		`cancelable: true}))`)
	there = geo.Ahead(there, 270, 10)
	shows(there)
	clearM, number := f.clearanceAt(there)
	verdict := fmt.Sprintf("Does not fit: %s short to %s.", metresWords(math.Abs(clearM))[1:], number)
	p.until(fmt.Sprintf(`document.getElementById("say").textContent.replaceAll("\u00a0", " ") === %q`, verdict))
	if lat, lon := centre(p); geo.Distance(geo.Position{LatDeg: lat, LonDeg: lon}, start) > 1 {
		t.Error("the arrows moved the map too")
	}
	p.press(kb.Escape)
	p.until(`document.getElementById("trialbar").hidden && document.activeElement.id === "where-circle"`)
	if read[bool](p, `document.getElementById("form-where").hidden`) {
		t.Error("Escape took the form away together with the circle")
	}
	p.quiet()
}

func TestRoomOnAPhone(t *testing.T) {
	f := newFake(t, 200)
	p := wanting(phone(t), f, place(4.5, 3.5), "8.5", "12")
	p.run(`document.getElementById("column").querySelector(".grip").click(); ` +
		`document.getElementById("column").querySelector(".grip").click()`)
	p.until(`document.getElementById("column").dataset.rise === "full" && !document.getElementById("column").getAnimations().length`)
	p.run(`document.getElementById("where-best").scrollIntoView({block: "center"})`)
	for _, each := range untouchable(p) {
		t.Errorf("in the form: %s", each)
	}
	p.do(chromedp.Tap(chromedp.CSS("#where-circle")))
	p.until(`!document.getElementById("trialbar").hidden && document.getElementById("column").dataset.rise === "peek" && ` +
		`!document.getElementById("column").getAnimations().length`)
	for _, each := range untouchable(p) {
		t.Errorf("with the circle: %s", each)
	}
	// The circle lies where it can be seen: below its bar and above the drawer.
	if !read[bool](p, `(() => { const g = document.getElementById("trial-grasp").getBoundingClientRect(), y = g.y + g.height / 2;
		return y > document.getElementById("trialbar").getBoundingClientRect().bottom &&
			y < document.getElementById("column").getBoundingClientRect().top })()`) {
		t.Error("the circle lies under something")
	}
	before := read[string](p, `document.getElementById("trial-position").value`)
	box := read[[]float64](p, `(() => { const g = document.getElementById("trial-grasp").getBoundingClientRect(); return [g.x + g.width `+
		`/ 2, g.y + g.height / 2] })()`)
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		t.Helper()
		if _, err := chromedp.Call(p.ctx, input.DispatchTouchEvent,
			input.DispatchTouchEventParams{Type: kind, TouchPoints: points}); err != nil {
			t.Fatal(err)
		}
	}
	touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: box[0], Y: box[1]})
	for i := 1; i <= 8; i++ {
		touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: box[0] - 8*float64(i), Y: box[1] + 6*float64(i)})
	}
	touch(input.DispatchTouchEventTypeTouchEnd, []*input.TouchPoint{}...)
	p.until(fmt.Sprintf(`document.getElementById("trial-position").value !== %q && `+
		`document.getElementById("say").textContent.includes("fit")`, before))
	moved := read[[]float64](p, `(() => { const g = document.getElementById("trial-grasp").getBoundingClientRect(); return [g.x + `+
		`g.width / 2, g.y + g.height / 2] })()`)
	if math.Abs(moved[0]-box[0]+64) > 1.5 || math.Abs(moved[1]-box[1]-48) > 1.5 {
		t.Errorf("a finger moved the circle from %v to %v, want 64 px left and 48 down", box, moved)
	}
	if read[bool](p, `document.documentElement.scrollWidth > innerWidth`) {
		t.Error("the page is wider than the phone")
	}
	p.quiet()
}
