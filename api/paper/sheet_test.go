package paper_test

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"swingroom/api/paper"
	"swingroom/geo"
)

func TestTheSheetTellsWhatItHasTo(t *testing.T) {
	f := demo(t)
	i, _ := f.Index("301")
	m, answer := f.Harbor().Moorings[i], f.Swing(i)
	feet := func(lengthM float64) string { return fmt.Sprintf("%.1f ft", geo.Metres(lengthM).Feet()) }
	want := []string{
		"Mooring 301", "Middle Ground", strings.ReplaceAll(m.Position.DDM(), "  ", " "), "WGS 84", "mean lower low water", "true north",
		"Scale 1:2,500",
		feet(float64(answer.Radius.Or(0))), "revision 7", "4 May 2026, 09:30 UTC", "First on the list for the area.", "signature", "date",
		m.Boat.Name,
		"Fit check: a larger boat", "Grey Gull, sloop, length overall 36.1 ft", "She does not fit.", "gap to 302", "-2.1 m", "does not",
		"What would help: a shorter rode",
	}
	want = append(want, strings.Split(paper.Caution, ". ")...)
	for _, n := range f.Neighbours(i, 6) {
		want = append(want, n.Number, feet(n.GapM.Or(0)), feet(n.DistanceM))
	}
	for _, s := range answer.Working {
		figure := fmt.Sprintf("%.2f %.2f", s.Value, geo.Metres(s.Value).Feet())
		if s.Unit != "m" {
			figure = strings.TrimSpace(fmt.Sprintf("%.4g %s", s.Value, s.Unit))
		}
		want = append(want, strings.ReplaceAll(s.Symbol+" "+s.Name, "soundings", ""), figure)
	}
	path := printed(t, sheetOf(f, "301", paper.SheetOptions{Options: paper.Options{Revision: 7}, Reason: "First on the list for the area.",
		Trial: &paper.Trial{
			Title: "a larger boat", Boat: geo.Boat{Name: "Grey Gull", Kind: "sloop", LOA: geo.Known(geo.Metres(11))},
			Answer: "She does not fit.",
			Verdicts: []paper.Verdict{{Constraint: "gap", Name: "to 302", Have: "1.2 m", Need: "3.3 m", Spare: "-2.1 m", Answer: "does not",
				Words: "the circles come too close"}},
			Remedies: []string{"a shorter rode"},
		}}))
	read := strings.Join(words(t, path, 0, 0), " ")
	// The page is read line by line: a wrapped cell stands apart, a position in two lines has other columns between.
	for _, text := range want {
		for _, part := range strings.Split(text, " 041") {
			if part = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(part), ",")); !strings.Contains(plain(read),
				plain(strings.TrimSuffix(part, "from the "))) {
				t.Errorf("the sheet does not say %q", part)
			}
		}
	}
	if n := strings.Count(plain(read), plain("A planning aid, not for navigation")); n != pageCount(t, path) {
		t.Errorf("the caution stands on %d of %d pages", n, pageCount(t, path))
	}
	without := strings.Join(words(t, printed(t, sheetOf(f, "301", paper.SheetOptions{})), 0, 0), " ")
	for _, text := range []string{"Fit check", "Why this place"} {
		if strings.Contains(without, text) {
			t.Errorf("a sheet without it says %q", text)
		}
	}
}

// plain takes out what a PDF's reader may write in more than one way.
func plain(text string) string {
	return strings.NewReplacer("−", "-", "’", "'", " ", "").Replace(text)
}

// TestEverySheetStaysOnItsPaper draws all sheets, and looks at every word of some.
func TestEverySheetStaysOnItsPaper(t *testing.T) {
	f := demo(t)
	place := regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)">|<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" ` +
		`yMax="([-\d.]+)">(.*?)</word>`)
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	const marginPt = 12 / 25.4 * 72
	for i, m := range f.Harbor().Moorings {
		if testing.Short() && i%25 != 0 {
			continue
		}
		o := paper.SheetOptions{Options: paper.Options{Paper: paper.Sheet.Papers()[i%2], At: at,
			Units: []geo.Units{geo.UnitsFeet, geo.UnitsMetres}[i/2%2]}}
		if err := paper.MooringSheet(io.Discard, f, m.Number, o); err != nil {
			t.Errorf("%s: %v", m.Number, err)
		}
		if i%25 != 0 {
			continue
		}
		wide, high, looked := 0.0, 0.0, 0
		for _, w := range place.FindAllStringSubmatch(output(t, "pdftotext", "-bbox", printed(t, sheetOf(f, m.Number, o)), "-"), -1) {
			if w[1] != "" {
				wide, high = number(w[1]), number(w[2])
				continue
			}
			if looked++; number(w[3]) < marginPt || number(w[4]) < marginPt || number(w[5]) > wide-marginPt ||
				number(w[6]) > high-marginPt {
				t.Errorf("%s: %q stands in the margin", m.Number, w[7])
			}
		}
		if looked < 100 {
			t.Errorf("%s: only %d words were looked at", m.Number, looked)
		}
	}
}

// TestNamesInAnyScriptLeaveATrace: what the fonts have is written, the rest is a box, and the file stays whole.
func TestNamesInAnyScriptLeaveATrace(t *testing.T) {
	h := small(geo.UnitsMetres, somewhere, place{0, 0, 30, false}, place{90, 90, 30, false})
	h.Name = "Łódź Ελλάς Гавань"
	h.Moorings[0].Boat = &geo.Boat{Name: "海鷗 Zoe\u0308 ☂😀\x00\xff", Kind: "a\nb\tc"}
	h.Moorings[1].Number = "漢7"
	f := field(t, h)
	path := printed(t, sheetOf(f, "n1", paper.SheetOptions{Reason: strings.Repeat("長", 300) + " " + strings.Repeat("W", 400)}))
	read := text(t, path, 0, 0)
	for _, want := range []string{"Łódź Ελλάς Гавань", "□□ Zoë □□□□", "a b c", "□7", "□□□□□□"} {
		if !strings.Contains(read, want) {
			t.Errorf("%q is not to be read", want)
		}
	}
	output(t, "pdfinfo", printed(t, sheetOf(f, "漢7", paper.SheetOptions{})))
	output(t, "pdfinfo", printed(t, chartOf(f, "", paper.Options{})))
}

// TestTheFontsHaveTheSameLetters holds since only the regular one is asked which letters there are.
func TestTheFontsHaveTheSameLetters(t *testing.T) {
	var buffer sfnt.Buffer
	var fonts []*sfnt.Font
	for _, ttf := range [][]byte{goregular.TTF, gobold.TTF, goitalic.TTF} {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		fonts = append(fonts, f)
	}
	letters := 0
	for r := rune(32); r <= 0xFFFF; r++ {
		first, err := fonts[0].GlyphIndex(&buffer, r)
		if err != nil || first == 0 {
			continue
		}
		letters++
		for _, f := range fonts[1:] {
			if i, err := f.GlyphIndex(&buffer, r); err != nil || i == 0 {
				t.Errorf("%q is not in every font", r)
			}
		}
	}
	if letters < 600 {
		t.Errorf("only %d letters", letters)
	}
}

func TestHarborsWithLittleOnRecordAreDrawn(t *testing.T) {
	bare := small(geo.UnitsFeet, somewhere, place{0, 0, 30, false})
	bare.Moorings[0].StatedRadius = geo.Maybe[geo.Metres]{}
	line := small(geo.UnitsMetres, geo.Position{LatDeg: -17, LonDeg: 179.9999}, place{0, 0, 30, false}, place{90, 80, 30, true})
	ring := orb.Ring{{179.99, -17.01}, {-179.99, -17.01}, {-179.99, -16.99}, {179.99, -16.99}, {179.99, -17.01}}
	line.Areas = []geo.Area{{Name: "A", Shape: orb.MultiPolygon{{ring}}, Rules: geo.DefaultRules()}}
	for i := range line.Moorings {
		line.Moorings[i].Area = "A"
	}
	for name, tc := range map[string]struct {
		h    *geo.Harbor
		area string
		says []string
	}{
		"bare":         {bare, "", []string{"Vertical datum: not on record", "Cannot be said: the tide levels are not set"}},
		"antimeridian": {line, "A", []string{"180° 00.00'"}},
	} {
		f := field(t, tc.h)
		path := printed(t, sheetOf(f, "n1", paper.SheetOptions{}))
		read := strings.Join(words(t, path, 0, 0), " ")
		for _, want := range tc.says {
			if !strings.Contains(read, want) {
				t.Errorf("%s: the sheet does not say %q", name, want)
			}
		}
		chart := strings.Join(words(t, printed(t, chartOf(f, tc.area, paper.Options{Scale: 2500})), 0, 0), " ")
		for _, m := range tc.h.Moorings {
			if !strings.Contains(chart, m.Number) {
				t.Errorf("%s: %s is not on the chart", name, m.Number)
			}
		}
	}
}
