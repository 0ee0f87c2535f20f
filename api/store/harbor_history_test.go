package store_test

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
	"pgregory.net/rapid"

	"swingroom/api/store"
	"swingroom/geo"
)

func TestTheStoresClockStandsInWhereAnActHasNoTime(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	noon := time.Date(2026, 3, 1, 12, 0, 0, 987654321, time.FixedZone("east", 3600))
	s.SetClock(func() time.Time { return noon })
	c := save(t, s, 0, rich())
	want := time.Date(2026, 3, 1, 11, 0, 0, 987000000, time.UTC)
	if got := c.Added[0].At; got != want {
		t.Errorf("stamped %v, want %v", got, want)
	}
	if _, info, err := s.Harbor(ctx, "cove"); err != nil || info.Changed != want {
		t.Errorf("changed %v (%v), want %v", info.Changed, err, want)
	}
	if _, err := s.HarborAsOf(ctx, "cove", noon); err != nil {
		t.Errorf("as of the very moment: %v", err)
	}
}

// season is a year of a harbor: made in April, a boat changed in May, a mooring removed and the bed sounded anew in
// June, a mooring laid again under the old number in July.
func season(t *testing.T, s *store.Store) (at []time.Time, as []*geo.Harbor) {
	t.Helper()
	steps := []func(h *geo.Harbor){
		func(*geo.Harbor) {},
		func(h *geo.Harbor) { h.Moorings[0].Boat.LOA = known(8.25) },
		func(h *geo.Harbor) {
			h.Moorings = slices.DeleteFunc(h.Moorings, func(m geo.Mooring) bool { return m.Number == "9" })
			h.Soundings = geom.NewMultiPointFlat(geom.XYZ, []float64{-41.5, 44.2, 2, -41.5, 44.201, 3, -41.5, 44.202, 4})
		},
		func(h *geo.Harbor) {
			h.Moorings = slices.Insert(h.Moorings, 1, geo.Mooring{Number: "9", Status: geo.Vacant,
				Position: geo.Position{LatDeg: 44.25, LonDeg: -41.45}})
		},
	}
	h := rich()
	var revision int64
	for i, step := range steps {
		step(h)
		when := time.Date(2026, time.Month(4+i), 1, 9, 0, 0, 0, time.UTC)
		c, err := s.Save(ctx, "cove", revision, h, store.Act{Who: "yard", Why: fmt.Sprint("step ", i+1), At: when})
		if err != nil {
			t.Fatal(err)
		}
		revision = c.Revision
		kept := *h // a harbor of its own, since the steps change h
		kept.Moorings = slices.Clone(h.Moorings)
		boat := *h.Moorings[0].Boat
		kept.Moorings[0].Boat = &boat
		at, as = append(at, when), append(as, &kept)
	}
	return at, as
}

func TestAHarborIsReadAsItStoodAtEachTime(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	at, as := season(t, s)
	for i := range at {
		asked := map[string]time.Time{"at the moment": at[i], "a day later": at[i].AddDate(0, 0, 1)}
		if i+1 < len(at) {
			asked["just before the next"] = at[i+1].Add(-time.Millisecond)
		}
		for when, instant := range asked {
			got, err := s.HarborAsOf(ctx, "", instant)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, as[i]) {
				t.Errorf("step %d, %s:\n got %+v\nwant %+v", i+1, when, got, as[i])
			}
		}
	}
	_, err := s.HarborAsOf(ctx, "", at[0].Add(-time.Millisecond))
	if !errors.Is(err, geo.ErrNotFound) || !strings.Contains(err.Error(), "2026-04-01T09:00:00Z") {
		t.Errorf("before the first: %v, want the first date", err)
	}
}

func TestHistoryTellsTheStoryNewestFirst(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	season(t, s)
	story := func(noun, name string) string {
		rows, err := s.History(ctx, "cove", noun, name)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, r := range rows {
			fmt.Fprintf(&b, "%d %s %s %s %s|", r.Revision, r.At.Format(time.DateOnly), r.Why, r.Noun, map[[2]bool]string{
				{false, true}: "added", {true, true}: "changed", {true, false}: "removed"}[[2]bool{r.Before != nil, r.After != nil}])
		}
		return b.String()
	}
	for _, c := range []struct{ noun, name, want string }{
		{store.NounMooring, "9",
			"4 2026-07-01 step 4 mooring added|3 2026-06-01 step 3 mooring removed|1 2026-04-01 step 1 mooring added|"},
		{store.NounMooring, "007", "2 2026-05-01 step 2 mooring changed|1 2026-04-01 step 1 mooring added|"},
		{store.NounHarbor, "", "3 2026-06-01 step 3 harbor changed|1 2026-04-01 step 1 harbor added|"},
		{store.NounArea, "Inner", "1 2026-04-01 step 1 area added|"},
		{store.NounArea, "9", ""}, // a mooring's number is no area's name
		{"", "Inner", "1 2026-04-01 step 1 area added|"},
		{store.NounMooring, "' OR 1=1 --", ""},
	} {
		if got := story(c.noun, c.name); got != c.want {
			t.Errorf("%s %q:\n got %s\nwant %s", c.noun, c.name, got, c.want)
		}
	}
	rows, err := s.History(ctx, "cove", "", "")
	if err != nil || len(rows) != 14+1+2+1 {
		t.Fatalf("%d rows (%v)", len(rows), err)
	}
	for i := 1; i < len(rows); i++ {
		if rows[i].ID >= rows[i-1].ID || rows[i].At.After(rows[i-1].At) || rows[i].Revision > rows[i-1].Revision {
			t.Errorf("row %d does not lie before row %d", rows[i].ID, rows[i-1].ID)
		}
	}
	if _, err := s.History(ctx, "nowhere", "", ""); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("of no harbor: %v", err)
	}
}

// drawHarbor is any harbor that passes its own validation. Zeros carry no sign: a column of SQLite keeps none.
// harborDraw draws the parts of a harbor.
type harborDraw struct{ *rapid.T }

// texts are what people write, quotes, signs of SQL and of HTML among it.
var texts = rapid.OneOf(rapid.Just(""), rapid.StringOf(rapid.RuneFrom([]rune("aZ09 é港🚤'\"\\;<&>%_\n\t\u2028"))))

func (d harborDraw) float(lo, hi float64) float64 {
	return rapid.Float64Range(lo, hi).Draw(d.T, "figure") + 0
}

func (d harborDraw) maybe(lo, hi float64) geo.Maybe[geo.Metres] {
	switch rapid.IntRange(0, 3).Draw(d.T, "known") {
	case 0:
		return geo.Maybe[geo.Metres]{}
	case 1:
		return known(lo)
	}
	return known(d.float(lo, hi))
}

func (d harborDraw) shape() orb.MultiPolygon {
	ring := func() orb.Ring {
		var r orb.Ring
		for range rapid.IntRange(3, 5).Draw(d.T, "corners") {
			r = append(r, orb.Point{d.float(-180, 180), d.float(-89, 89)})
		}
		return append(r, r[0])
	}
	var m orb.MultiPolygon
	for range rapid.IntRange(1, 2).Draw(d.T, "polygons") {
		p := orb.Polygon{ring()}
		if rapid.Bool().Draw(d.T, "hole") {
			p = append(p, ring())
		}
		m = append(m, p)
	}
	return m
}

func (d harborDraw) figure(lo, hi float64) geo.Maybe[float64] {
	if rapid.Bool().Draw(d.T, "unknown") {
		return geo.Maybe[float64]{}
	}
	return geo.Known(d.float(lo, hi))
}

func (d harborDraw) speed(mostKn float64) (v geo.Maybe[geo.MetresPerSecond]) {
	if kn, known := d.figure(0, mostKn).Get(); known {
		v = geo.Known(geo.Knots(kn))
	}
	return v
}

func (d harborDraw) rules() geo.Rules {
	r := geo.Rules{Swing: geo.SwingRule{Kind: rapid.SampledFrom(geo.RuleKinds()).Draw(d.T, "rule")}, Margin: geo.Metres(d.float(0, 200)),
		KeelMargin: geo.Metres(d.float(0, 10)),
		LargestLOA: d.maybe(0.5, 150), LargestDraft: d.maybe(0, 15),
		Lying: rapid.SampledFrom([]geo.Lying{geo.Independent, geo.InUnison}).Draw(d.T, "lying")}
	switch r.Swing.Kind {
	case geo.ScopeRule:
		r.Swing.ScopeRatio = d.float(1, 20)
	case geo.Formula:
		r.Swing.LOARatio, r.Swing.DepthRatio, r.Swing.Constant = d.float(0.1, 3), d.float(0, 3), geo.Metres(d.float(0, 20))
	}
	r.Design = geo.Design{Wind: d.speed(geo.MaxWindKn), GustRatio: d.figure(1, 3), ScatterDeg: d.figure(0, 90),
		StreamDeg: d.figure(-360, 360),
		CalmOff:   rapid.Bool().Draw(d.T, "calm off")}
	if r.Design.StreamDeg.IsKnown() { // a stream of no direction is refused
		r.Design.Stream = d.speed(geo.MaxStreamKn)
	}
	return r
}

func (d harborDraw) lines() (l geo.Lines) {
	for i := range rapid.IntRange(0, 3).Draw(d.T, "chains") {
		l.Chain = append(l.Chain, geo.ChainSize{Size: geo.Metres(float64(i+1) * d.float(0.01, 0.011)), MassKgPerM: d.float(0.1, 100)})
	}
	for range rapid.IntRange(0, 2).Draw(d.T, "ropes") {
		k := geo.RopeKind{Material: "x" + texts.Draw(d.T, "rope"), Size: geo.Metres(d.float(0.01, 0.1)), MassKgPerM: d.float(0.1, 10),
			DensityKgPerM3: d.float(900, 8000)}
		for i := range rapid.IntRange(0, 3).Draw(d.T, "points") {
			k.Stretch = append(k.Stretch, geo.StretchPoint{PullN: float64(i) + d.float(0.1, 1), StrainRatio: float64(i) + d.float(0, 1)})
		}
		l.Ropes = append(l.Ropes, k)
	}
	l.HardwareUnrecorded = rapid.Bool().Draw(d.T, "hardware unrecorded")
	return l
}

func drawHarbor(t *rapid.T) *geo.Harbor {
	d := harborDraw{t}
	h := d.ground()
	areas := d.lists(h)
	d.moorings(h, areas)
	return h
}

// ground draws a harbor in which nothing lies.
func (d harborDraw) ground() *geo.Harbor {
	h := &geo.Harbor{Name: "x" + texts.Draw(d.T, "name"),
		Units: rapid.SampledFrom([]geo.Units{geo.UnitsFeet, geo.UnitsMetres}).Draw(d.T, "units"),
		Defaults: geo.Defaults{Rules: d.rules(), Accuracy: d.maybe(0, 5000), ShoreSetback: geo.Metres(d.float(0, 1000)),
			SoundingReach: geo.Metres(d.float(1, 5000)), Lines: d.lines()}}
	if rapid.Bool().Draw(d.T, "levels") {
		h.Levels = geo.Known(geo.Levels{Datum: texts.Draw(d.T, "datum"), Low: geo.Metres(d.float(-20, 0)),
			High: geo.Metres(d.float(0, 30))})
	}
	if rapid.Bool().Draw(d.T, "background") {
		h.Background = &geo.Background{URL: texts.Draw(d.T, "url"), Attribution: texts.Draw(d.T, "attribution")}
	}
	if rapid.Bool().Draw(d.T, "land") {
		h.Shoreline.Land = d.shape()
	}
	if rapid.Bool().Draw(d.T, "lines") {
		h.Shoreline.Lines = orb.MultiLineString{{{d.float(-180, 180), d.float(-89, 89)}, {d.float(-180, 180), d.float(-89, 89)}}}
	}
	if n := rapid.IntRange(0, 4).Draw(d.T, "soundings"); n > 0 {
		var flat []float64
		for range n {
			flat = append(flat, d.float(-180, 180), d.float(-89, 89), d.float(-20, 500))
		}
		h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
	}
	return h
}

// lists draws the areas of a harbor, the people and what else is in lists, and gives the names of areas that a mooring may have.
func (d harborDraw) lists(h *geo.Harbor) []string {
	areas := []string{""}
	for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"Inner", "inner", "Öland", "'; --", "7"}), 0, 3,
		rapid.ID).Draw(d.T, "areas") {
		h.Areas = append(h.Areas, geo.Area{Name: name, Shape: d.shape(), Rules: d.rules()})
		areas = append(areas, name)
	}
	for range rapid.IntRange(0, 3).Draw(d.T, "keep-outs") {
		h.KeepOuts = append(h.KeepOuts, geo.KeepOut{Name: rapid.SampledFrom([]string{"", "Main", "(2)"}).Draw(d.T, "keep-out"),
			Kind: rapid.SampledFrom([]geo.KeepOutKind{geo.Fairway, geo.ClosedWater}).Draw(d.T, "kind"), Reason: texts.Draw(d.T, "reason"),
			Shape: d.shape(), Setback: geo.Metres(d.float(0, 1000))})
	}
	for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"Ada", "Zoë", "'; --"}), 0, 3, rapid.ID).Draw(d.T, "owners") {
		h.Owners = append(h.Owners, geo.Owner{Name: name, Phone: texts.Draw(d.T, "phone"), Note: texts.Draw(d.T, "of an owner")})
		h.Notes = append(h.Notes, geo.Note{ID: name, At: time.Date(2026, 1, len(h.Notes)+1, 0, 0, 0, 0, time.UTC),
			Text: "x" + texts.Draw(d.T, "note's text")})
		h.Waiting = append(h.Waiting, geo.Waiting{Name: rapid.SampledFrom([]string{"Ada", "Bo"}).Draw(d.T, "who waits"),
			Since: geo.Date(fmt.Sprintf("2026-01-0%d", len(h.Waiting)+1)), Areas: []string{}})
	}
	slices.SortFunc(h.Owners, func(a, b geo.Owner) int { return strings.Compare(a.Name, b.Name) })
	if rapid.Bool().Draw(d.T, "public") {
		h.Public = geo.AllShown()
	}
	return areas
}

// moorings draws those of a harbor.
func (d harborDraw) moorings(h *geo.Harbor, areas []string) {
	for _, number := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"1", "01", "2", "10", "A", "a", "Ä", "A\u0308", "%", "'"}), 0,
		5, rapid.ID).Draw(d.T, "moorings") {
		m := geo.Mooring{Number: number, Area: rapid.SampledFrom(areas).Draw(d.T, "area"), Status: geo.Vacant,
			Position: geo.Position{LatDeg: d.float(-89, 89), LonDeg: d.float(-180, 180)},
			Accuracy: d.maybe(0, 5000), Depth: d.maybe(-20, 500), StatedRadius: d.maybe(0.5, 2000), LargestLOA: d.maybe(0.5, 150),
			LargestDraft: d.maybe(0, 15), Note: texts.Draw(d.T, "note")}
		for range rapid.IntRange(0, 3).Draw(d.T, "parts") {
			p := geo.Part{Kind: rapid.SampledFrom(geo.PartKinds()).Draw(d.T, "part"), Length: d.maybe(0, 500), Size: d.maybe(0, 5),
				Material: texts.Draw(d.T, "material")}
			if rapid.Bool().Draw(d.T, "weighed") {
				p.Weight = geo.Known(geo.Kilograms(d.float(0, 50000)))
			}
			m.Tackle = append(m.Tackle, p)
		}
		if rapid.Bool().Draw(d.T, "occupied") {
			m.Status = geo.Occupied
		}
		if m.Status == geo.Occupied && rapid.Bool().Draw(d.T, "boat") {
			m.Boat = &geo.Boat{Name: texts.Draw(d.T, "boat's name"), Kind: texts.Draw(d.T, "boat's kind"), LOA: d.maybe(0.5, 150),
				LengthAll: d.maybe(0.5, 150), Beam: d.maybe(0.2, 75),
				Draft: d.maybe(0, 15), BowHeight: d.maybe(0, 15), Owner: texts.Draw(d.T, "owner")}
		}
		h.Moorings = append(h.Moorings, m)
	}
}

// byNumber sorts moorings so that two harbors can be compared, whatever order they are read in.
func byNumber(h *geo.Harbor) *geo.Harbor {
	sorted := *h
	sorted.Moorings = slices.SortedFunc(slices.Values(h.Moorings), func(a, b geo.Mooring) int {
		return strings.Compare(a.Number, b.Number)
	})
	return &sorted
}

// One harbor after another takes the place of the last: each is read back as it stands and, later, as of its time; Compare tells
// beforehand what Save then does; and each thing's rows of history join end to end.
func TestAnyHarborsInARowAreKeptWhole(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		slug := fmt.Sprint("harbor-", n) // all in one file: they must not mix
		harbors := rapid.SliceOfN(rapid.Custom(drawHarbor), 1, 3).Draw(t, "harbors")
		begin := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		var revision int64
		for i, h := range harbors {
			foretold, err := s.Compare(ctx, slug, h)
			if err != nil {
				t.Fatal(err)
			}
			done, err := s.Save(ctx, slug, revision, h, store.Act{Who: "x", Why: "y", At: begin.AddDate(0, 0, i)})
			if err != nil {
				t.Fatal(err)
			}
			if told(foretold) != told(done) {
				t.Fatalf("Compare tells\n%s\nSave does\n%s", told(foretold), told(done))
			}
			for _, c := range done.Changed {
				if len(c.Fields()) == 0 {
					t.Fatalf("%s %s is told as changed, but no field is:\n%s\n%s", c.Noun, c.Name, c.Before, c.After)
				}
			}
			revision = done.Revision
			got, _, err := s.Harbor(ctx, slug)
			if err != nil || !reflect.DeepEqual(byNumber(got), byNumber(h)) {
				t.Fatalf("as it stands (%v):\n got %+v\nwant %+v", err, got, h)
			}
			if again, err := s.Save(ctx, slug, revision, got, act); err != nil || again.Count() != 0 || again.Revision != revision {
				t.Fatalf("saved again as read (%v): %s", err, told(again))
			}
		}
		for i, h := range harbors {
			got, err := s.HarborAsOf(ctx, slug, begin.AddDate(0, 0, i))
			if err != nil || !reflect.DeepEqual(byNumber(got), byNumber(h)) {
				t.Fatalf("as of day %d (%v):\n got %+v\nwant %+v", i, err, got, h)
			}
		}
		rows, err := s.History(ctx, slug, "", "")
		if err != nil {
			t.Fatal(err)
		}
		slices.Reverse(rows)
		last := map[[2]string][]byte{}
		for _, r := range rows {
			key := [2]string{r.Noun, r.Name}
			if !bytes.Equal(r.Before, last[key]) || bytes.Equal(r.Before, r.After) {
				t.Fatalf("row %d of %s %s begins with %s; the row before it ended with %s", r.ID, r.Noun, r.Name, r.Before, last[key])
			}
			last[key] = r.After
		}
	})
}

func told(c store.Changes) string {
	var b strings.Builder
	for _, group := range [][]store.Change{c.Added, c.Changed, c.Removed} {
		for _, x := range group {
			fmt.Fprintf(&b, "%s %s %s -> %s\n", x.Noun, x.Name, x.Before, x.After)
		}
		b.WriteString("--\n")
	}
	return b.String()
}
