package exchange_test

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"swingroom/api/exchange"
	"swingroom/geo"
)

// listFolder writes every list that import reads.
func listFolder(t testing.TB, h *geo.Harbor, units geo.Units, format exchange.Format) map[string]string {
	t.Helper()
	files := map[string]string{}
	for _, list := range exchange.Lists() {
		if !list.Read {
			continue
		}
		var b bytes.Buffer
		if err := exchange.Write(&b, list.Name, h, units, format); err != nil {
			t.Fatal(err)
		}
		files[list.Name+"."+string(format)] = b.String()
	}
	return files
}

// awkward are texts that a table, a spreadsheet, an XML part or the reader itself could take for something else.
var awkward = []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "'=x", "''=x", `"=x"`, `'"=x`, " =x", "' =x", "'a'", "' a'",
	"'' a ''", "'", "''", "' '", "a ", " a", "'a ", "a\nb", "a\r\nb", "a\r\r\nb", "\r\n", "\"", `""`, `a"b`, "a,b;c\td",
	"<b>&amp;</b>", "_x0041_", "_x005F_x0041_", "_x0041_x0042_", "_u0001_", "_u0041\x01", "\x01x0041_", "_\x02", "\uFFFE", "\uFEFFa", "0",
	"007", "1e5", "TRUE", "true", "?", "n/a", "-", "2024-03-15", "1/2", "27'6\"", "#REF!", "'t Anker", "Łódź", "雲丹", "קשת", "a\u0301",
	"👩‍👧", "＝1", "\u00a0x", "x\u2028", "\u0085"}

func anyText() *rapid.Generator[string] {
	return rapid.OneOf(rapid.Just(""), rapid.SampledFrom(awkward), rapid.String(),
		rapid.StringMatching(`['" =+\-@\t\r\n_xu0-9A-Fé;/]{0,12}`))
}

// anyName is a text on one line without space around it.
func anyName() *rapid.Generator[string] {
	return rapid.Map(anyText(), func(s string) string {
		s = strings.Map(func(c rune) rune {
			if !unicode.IsPrint(c) {
				return -1
			}
			return c
		}, s)
		if r := []rune(s); len(r) > 20 {
			s = string(r[:20])
		}
		if s = strings.TrimSpace(s); s == "" {
			return "Ada Quill"
		}
		return s
	})
}

// anyFigure is a figure as it comes on record: a round one in some unit, or any at all.
func anyFigure(low, high float64) *rapid.Generator[geo.Maybe[float64]] {
	return rapid.Custom(func(t *rapid.T) geo.Maybe[float64] {
		v := rapid.Float64Range(low, high).Draw(t, "figure")
		unit := rapid.SampledFrom([]float64{0, 1, geo.MetresPerFoot, geo.MetresPerFoot / 12, geo.KilogramsPerPound, 0.001, 0.01}).Draw(t,
			"unit")
		if unit > 0 {
			if round := math.Round(v/unit*4) / 4 * unit; round >= low && round <= high {
				v = round
			}
		}
		if rapid.IntRange(0, 3).Draw(t, "known") == 0 {
			return geo.Maybe[float64]{}
		}
		return geo.Known(v)
	})
}

func metres(t *rapid.T, low, high float64) (m geo.Maybe[geo.Metres]) {
	if v, known := anyFigure(low, high).Draw(t, "metres").Get(); known {
		m = geo.Known(geo.Metres(v))
	}
	return m
}

func anyDate() *rapid.Generator[geo.Date] {
	return rapid.Custom(func(t *rapid.T) geo.Date {
		if rapid.Bool().Draw(t, "dated") {
			return geo.Date(time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0,
				rapid.IntRange(0, 73000).Draw(t, "day")).Format(time.DateOnly))
		}
		return ""
	})
}

func anyBoat() *rapid.Generator[geo.Boat] {
	return rapid.Custom(func(t *rapid.T) geo.Boat {
		return geo.Boat{Name: anyText().Draw(t, "boat"), Kind: anyText().Draw(t, "kind"), Owner: anyText().Draw(t, "owner"),
			LOA: metres(t, 1, 60), LengthAll: metres(t, 1, 60), Beam: metres(t, 0.5, 20), Draft: metres(t, 0, 8),
			BowHeight: metres(t, 0, 8)}
	})
}

func anyTackle() *rapid.Generator[geo.Tackle] {
	return rapid.Custom(func(t *rapid.T) (tackle geo.Tackle) {
		for range rapid.IntRange(0, 5).Draw(t, "parts") {
			p := geo.Part{Kind: rapid.SampledFrom(geo.PartKinds()).Draw(t, "part"), Length: metres(t, 0, 60), Size: metres(t, 0, 1),
				LeftRatio: anyFigure(0, 1).Draw(t, "left"),
				Material:  anyText().Draw(t, "material"), Installed: anyDate().Draw(t, "installed"),
				Inspected: anyDate().Draw(t, "inspected")}
			if kg, known := anyFigure(0, 5000).Draw(t, "weight").Get(); known {
				p.Weight = geo.Known(geo.Kilograms(kg))
			}
			if rapid.IntRange(0, 3).Draw(t, "known part") == 0 {
				p = geo.Part{Kind: p.Kind}
			}
			tackle = append(tackle, p)
		}
		return tackle
	})
}

func anyMooring(areas []geo.Area) *rapid.Generator[geo.Mooring] {
	return rapid.Custom(func(t *rapid.T) geo.Mooring {
		m := geo.Mooring{Number: anyName().Draw(t, "number"), Status: geo.Vacant,
			Position: geo.Position{LatDeg: rapid.Float64Range(44.1, 44.3).Draw(t, "lat"),
				LonDeg: rapid.Float64Range(-41.6, -41.4).Draw(t, "lon")},
			Accuracy: metres(t, 0, 50), Depth: metres(t, -3, 60), StatedRadius: metres(t, 1, 200), LargestLOA: metres(t, 30, 60),
			SmallestLOA: metres(t, 1, 30), LargestDraft: metres(t, 0, 9),
			Tackle: anyTackle().Draw(t, "tackle"), Note: anyText().Draw(t, "note")}
		if rapid.Bool().Draw(t, "far") { // a slip of the pen that is on file
			m.Position = geo.Position{LatDeg: -m.Position.LatDeg, LonDeg: rapid.Float64Range(-180, 180).Draw(t, "far lon")}
		}
		if rapid.Bool().Draw(t, "permit") {
			m.Permit = geo.Permit{Year: rapid.IntRange(1900, 2100).Draw(t, "year"), Expires: anyDate().Draw(t, "expires")}
		}
		if rapid.Bool().Draw(t, "occupied") {
			m.Status = geo.Occupied
			if rapid.Bool().Draw(t, "boat") {
				boat := anyBoat().Draw(t, "boat")
				if rapid.IntRange(0, 3).Draw(t, "known boat") == 0 { // it is there, and nothing else is known of it
					boat = geo.Boat{}
				}
				m.Boat = &boat
			}
		}
		if rapid.Bool().Draw(t, "in an area") {
			m.Area = rapid.SampledFrom(areas).Draw(t, "area").Name
		}
		return m
	})
}

// distinct keeps the first of each name.
func distinct[T any](list []T, name func(T) string) (kept []T) {
	seen := map[string]bool{}
	for _, v := range list {
		if !seen[name(v)] {
			seen[name(v)] = true
			kept = append(kept, v)
		}
	}
	return kept
}

func anyHarbor() *rapid.Generator[*geo.Harbor] {
	return rapid.Custom(func(t *rapid.T) *geo.Harbor {
		h := &geo.Harbor{Name: "Any", Units: rapid.SampledFrom([]geo.Units{geo.UnitsFeet, geo.UnitsMetres}).Draw(t, "units"),
			Defaults: geo.NewDefaults(), Levels: geo.Known(geo.Levels{Low: -0.5, High: 3})}
		box := orb.MultiPolygon{{{{-41.5, 44.15}, {-41.4, 44.15}, {-41.4, 44.25}, {-41.5, 44.25}, {-41.5, 44.15}}}}
		for _, name := range distinct(rapid.SliceOfN(anyName(), 1, 3).Draw(t, "areas"), itself) {
			h.Areas = append(h.Areas, geo.Area{Name: name, Shape: box, Rules: h.Defaults.Rules})
		}
		h.Moorings = distinct(rapid.SliceOfN(anyMooring(h.Areas), 1, 4).Draw(t, "moorings"), func(m geo.Mooring) string { return m.Number })
		h.Owners, h.Waiting, h.Notes = anyOwners(t), anyWaiting(t, h.Areas), anyNotes(t, h.Moorings)
		return h
	})
}

func itself(s string) string { return s }

// anyOwners are in the order of a harbor on file: by name.
func anyOwners(t *rapid.T) (owners []geo.Owner) {
	for _, name := range distinct(rapid.SliceOfN(anyName(), 0, 3).Draw(t, "owners"), itself) {
		o := geo.Owner{Name: name, Phone: anyText().Draw(t, "phone"), Email: anyText().Draw(t, "email"),
			Address: anyText().Draw(t, "address"), Note: anyText().Draw(t, "note")}
		if known := rapid.IntRange(0, 2).Draw(t, "resident"); known > 0 {
			o.Resident = geo.Known(known == 1)
		}
		owners = append(owners, o)
	}
	slices.SortStableFunc(owners, func(a, b geo.Owner) int { return strings.Compare(a.Name, b.Name) })
	return owners
}

// anyWaiting is a list by date, and of one day by name.
func anyWaiting(t *rapid.T, areas []geo.Area) (list []geo.Waiting) {
	for i := range rapid.IntRange(0, 3).Draw(t, "waiting") {
		w := geo.Waiting{Name: anyName().Draw(t, "waiting"),
			Since: geo.Date(fmt.Sprintf("20%02d-01-01", rapid.IntRange(10, 12).Draw(t, "since"))), Areas: []string{},
			Boat: anyBoat().Draw(t, "boat"), Note: anyText().Draw(t, "note")}
		if i > 0 {
			w.Areas = append(w.Areas, areas[0].Name, areas[len(areas)-1].Name)
		}
		list = append(list, w)
	}
	slices.SortStableFunc(list, func(a, b geo.Waiting) int {
		return cmp.Or(cmp.Compare(a.Since, b.Since), strings.Compare(a.Name, b.Name))
	})
	return list
}

// anyNotes are by time, and of one moment by id.
func anyNotes(t *rapid.T, moorings []geo.Mooring) (notes []geo.Note) {
	for i := range rapid.IntRange(0, 3).Draw(t, "notes") {
		zone := time.FixedZone("", rapid.SampledFrom([]int{0, 3600, -12600}).Draw(t, "zone"))
		n := geo.Note{ID: fmt.Sprintf("%s%d", anyName().Draw(t, "id"), i),
			At: time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "at"), rapid.Int64Range(0, 999999999).Draw(t, "ns")).In(zone),
			By: anyText().Draw(t, "by"), Text: anyText().Draw(t, "text") + ".", Photos: []string{}}
		if rapid.Bool().Draw(t, "of a mooring") {
			n.Mooring = rapid.SampledFrom(moorings).Draw(t, "mooring").Number
		}
		for p := range rapid.IntRange(0, 2).Draw(t, "photos") {
			n.Photos = append(n.Photos, strings.Repeat(fmt.Sprint(p+1), 64))
		}
		notes = append(notes, n)
	}
	slices.SortStableFunc(notes, func(a, b geo.Note) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID)) })
	return notes
}

// TestEveryListComesBackAsItWas writes any harbor in either unit and either form, and reads it over itself.
func TestEveryListComesBackAsItWas(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := anyHarbor().Draw(rt, "harbor")
		if err := h.Validate(); err != nil {
			rt.Fatalf("the generator makes harbors that are none: %v", err)
		}
		for _, units := range []geo.Units{geo.UnitsFeet, geo.UnitsMetres} {
			for _, format := range exchange.Formats() {
				in := read(t, h, listFolder(t, h, units, format))
				for _, p := range in.Problems {
					rt.Errorf("%s, %s: %v", units, format, p)
				}
				if !reflect.DeepEqual(in.Harbor, h) {
					rt.Errorf("%s, %s: %s", units, format, difference(in.Harbor, h))
				}
			}
		}
	})
}

// difference names the first part of a harbor that differs.
func difference(got, want *geo.Harbor) string {
	g, w := reflect.ValueOf(*got), reflect.ValueOf(*want)
	for i := range g.NumField() {
		a, b := g.Field(i).Interface(), w.Field(i).Interface()
		if !reflect.DeepEqual(a, b) {
			return fmt.Sprintf("%s:\n got %#v\nwant %#v", g.Type().Field(i).Name, a, b)
		}
	}
	return "none"
}

func TestAFigureIsWrittenAsAPersonWould(t *testing.T) {
	inch := geo.MetresPerFoot / 12
	h := &geo.Harbor{Name: "h", Units: geo.UnitsFeet, Defaults: geo.NewDefaults(),
		Moorings: []geo.Mooring{{Number: "007", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.2, LonDeg: -41.5000000001},
			Boat: &geo.Boat{Name: "=Heron", LOA: geo.Known(geo.Metres(27.56 * geo.MetresPerFoot)), Draft: geo.Known(geo.Metres(8.4))},
			Tackle: geo.Tackle{{Kind: geo.TopChain, Length: geo.Known(geo.Feet(30)), Size: geo.Known(geo.Metres(0.625 * inch)),
				LeftRatio: geo.Known(85 * 0.01), Weight: geo.Known(geo.Pounds(150)), Installed: "2024-03-15"}}}}}
	for _, tc := range []struct {
		list, want string
		units      geo.Units
	}{
		{"moorings", "\n\"007\",44.2,-41.5000000001,,,occupied,,,'=Heron,,27.56,,,27.559055118110237,,,,,,,,\n", ""},
		{"moorings", "\n\"007\",44.2,-41.5000000001,,,occupied,,,'=Heron,,8.400288,,,8.4,,,,,,,,\n", geo.UnitsMetres},
		{"tackle", "number,part,kind,length_ft,size_in,weight_lb,left_pct,material,installed,inspected\n\"007\",1,top_chain,30,0.625," +
			"150,85,,2024-03-15,\n", geo.UnitsFeet},
		{"tackle", "number,part,kind,length_m,size_mm,weight_kg,left_pct,material,installed,inspected\n\"007\",1,top_chain,9.144,15.875," +
			"68.0388555,85,,2024-03-15,\n", geo.UnitsMetres},
	} {
		var b bytes.Buffer
		if err := exchange.Write(&b, tc.list, h, tc.units, exchange.CSV); err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(b.String(), "\xef\xbb\xbfnumber,") || !strings.Contains(b.String(), tc.want) {
			t.Errorf("%s in %q:\n%s\nwant %s", tc.list, tc.units, b.String(), tc.want)
		}
	}
}

func TestWhatCannotBeWrittenSaysSo(t *testing.T) {
	h := &geo.Harbor{Name: "h", Units: geo.UnitsFeet}
	for _, tc := range []struct {
		list   string
		units  geo.Units
		format exchange.Format
		kind   error
	}{{"boats", "", exchange.CSV, geo.ErrNotFound}, {"moorings", "fathoms", exchange.CSV, geo.ErrInvalid},
		{"moorings", "", "ods", geo.ErrInvalid}} {
		if err := exchange.Write(&bytes.Buffer{}, tc.list, h, tc.units, tc.format); !errors.Is(err, tc.kind) {
			t.Errorf("%+v: %v", tc, err)
		}
	}
	h.Notes = []geo.Note{{ID: "1", Text: strings.Repeat("\x01", 9000)}} // each is seven characters in XML
	if err := exchange.Write(&bytes.Buffer{}, "notes", h, "", exchange.XLSX); err == nil ||
		!strings.Contains(err.Error(), "notes, row 2, text: a text is too long") {
		t.Error(err)
	}
	if err := exchange.Write(&bytes.Buffer{}, "notes", h, "", exchange.CSV); err != nil {
		t.Error(err)
	}
}
