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
func drawHarbor(t *rapid.T) *geo.Harbor {
	float := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "figure") + 0 }
	maybe := func(lo, hi float64) geo.Maybe[geo.Metres] {
		switch rapid.IntRange(0, 3).Draw(t, "known") {
		case 0:
			return geo.Maybe[geo.Metres]{}
		case 1:
			return known(lo)
		}
		return known(float(lo, hi))
	}
	text := rapid.OneOf(rapid.Just(""), rapid.StringOf(rapid.RuneFrom([]rune("aZ09 é港🚤'\"\\;<&>%_\n\t\u2028"))))
	shape := func() orb.MultiPolygon {
		ring := func() orb.Ring {
			var r orb.Ring
			for range rapid.IntRange(3, 5).Draw(t, "corners") {
				r = append(r, orb.Point{float(-180, 180), float(-89, 89)})
			}
			return append(r, r[0])
		}
		var m orb.MultiPolygon
		for range rapid.IntRange(1, 2).Draw(t, "polygons") {
			p := orb.Polygon{ring()}
			if rapid.Bool().Draw(t, "hole") {
				p = append(p, ring())
			}
			m = append(m, p)
		}
		return m
	}
	figure := func(lo, hi float64) geo.Maybe[float64] {
		if rapid.Bool().Draw(t, "unknown") {
			return geo.Maybe[float64]{}
		}
		return geo.Known(float(lo, hi))
	}
	speed := func(mostKn float64) (v geo.Maybe[geo.MetresPerSecond]) {
		if kn, known := figure(0, mostKn).Get(); known {
			v = geo.Known(geo.Knots(kn))
		}
		return v
	}
	rules := func() geo.Rules {
		r := geo.Rules{Swing: geo.SwingRule{Kind: rapid.SampledFrom(geo.RuleKinds()).Draw(t, "rule")}, Margin: geo.Metres(float(0, 200)),
			KeelMargin: geo.Metres(float(0, 10)),
			LargestLOA: maybe(0.5, 150), LargestDraft: maybe(0, 15),
			Lying: rapid.SampledFrom([]geo.Lying{geo.Independent, geo.InUnison}).Draw(t, "lying")}
		switch r.Swing.Kind {
		case geo.ScopeRule:
			r.Swing.ScopeRatio = float(1, 20)
		case geo.Formula:
			r.Swing.LOARatio, r.Swing.DepthRatio, r.Swing.Constant = float(0.1, 3), float(0, 3), geo.Metres(float(0, 20))
		}
		r.Design = geo.Design{Wind: speed(geo.MaxWindKn), GustRatio: figure(1, 3), ScatterDeg: figure(0, 90), StreamDeg: figure(-360, 360),
			CalmOff: rapid.Bool().Draw(t, "calm off")}
		if r.Design.StreamDeg.IsKnown() { // a stream of no direction is refused
			r.Design.Stream = speed(geo.MaxStreamKn)
		}
		return r
	}
	lines := func() (l geo.Lines) {
		for i := range rapid.IntRange(0, 3).Draw(t, "chains") {
			l.Chain = append(l.Chain, geo.ChainSize{Size: geo.Metres(float64(i+1) * float(0.01, 0.011)), MassKgPerM: float(0.1, 100)})
		}
		for range rapid.IntRange(0, 2).Draw(t, "ropes") {
			k := geo.RopeKind{Material: "x" + text.Draw(t, "rope"), Size: geo.Metres(float(0.01, 0.1)), MassKgPerM: float(0.1, 10),
				DensityKgPerM3: float(900, 8000)}
			for i := range rapid.IntRange(0, 3).Draw(t, "points") {
				k.Stretch = append(k.Stretch, geo.StretchPoint{PullN: float64(i) + float(0.1, 1), StrainRatio: float64(i) + float(0, 1)})
			}
			l.Ropes = append(l.Ropes, k)
		}
		l.HardwareUnrecorded = rapid.Bool().Draw(t, "hardware unrecorded")
		return l
	}
	h := &geo.Harbor{Name: "x" + text.Draw(t, "name"),
		Units: rapid.SampledFrom([]geo.Units{geo.UnitsFeet, geo.UnitsMetres}).Draw(t, "units"),
		Defaults: geo.Defaults{Rules: rules(), Accuracy: maybe(0, 5000), ShoreSetback: geo.Metres(float(0, 1000)),
			SoundingReach: geo.Metres(float(1, 5000)), Lines: lines()}}
	if rapid.Bool().Draw(t, "levels") {
		h.Levels = geo.Known(geo.Levels{Datum: text.Draw(t, "datum"), Low: geo.Metres(float(-20, 0)), High: geo.Metres(float(0, 30))})
	}
	if rapid.Bool().Draw(t, "background") {
		h.Background = &geo.Background{URL: text.Draw(t, "url"), Attribution: text.Draw(t, "attribution")}
	}
	if rapid.Bool().Draw(t, "land") {
		h.Shoreline.Land = shape()
	}
	if rapid.Bool().Draw(t, "lines") {
		h.Shoreline.Lines = orb.MultiLineString{{{float(-180, 180), float(-89, 89)}, {float(-180, 180), float(-89, 89)}}}
	}
	if n := rapid.IntRange(0, 4).Draw(t, "soundings"); n > 0 {
		var flat []float64
		for range n {
			flat = append(flat, float(-180, 180), float(-89, 89), float(-20, 500))
		}
		h.Soundings = geom.NewMultiPointFlat(geom.XYZ, flat)
	}
	areas := []string{""}
	for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"Inner", "inner", "Öland", "'; --", "7"}), 0, 3,
		rapid.ID).Draw(t, "areas") {
		h.Areas = append(h.Areas, geo.Area{Name: name, Shape: shape(), Rules: rules()})
		areas = append(areas, name)
	}
	for range rapid.IntRange(0, 3).Draw(t, "keep-outs") {
		h.KeepOuts = append(h.KeepOuts, geo.KeepOut{Name: rapid.SampledFrom([]string{"", "Main", "(2)"}).Draw(t, "keep-out"),
			Kind: rapid.SampledFrom([]geo.KeepOutKind{geo.Fairway, geo.ClosedWater}).Draw(t, "kind"), Reason: text.Draw(t, "reason"),
			Shape: shape(), Setback: geo.Metres(float(0, 1000))})
	}
	for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"Ada", "Zoë", "'; --"}), 0, 3, rapid.ID).Draw(t, "owners") {
		h.Owners = append(h.Owners, geo.Owner{Name: name, Phone: text.Draw(t, "phone"), Note: text.Draw(t, "of an owner")})
		h.Notes = append(h.Notes, geo.Note{ID: name, At: time.Date(2026, 1, len(h.Notes)+1, 0, 0, 0, 0, time.UTC),
			Text: "x" + text.Draw(t, "note's text")})
		h.Waiting = append(h.Waiting, geo.Waiting{Name: rapid.SampledFrom([]string{"Ada", "Bo"}).Draw(t, "who waits"),
			Since: geo.Date(fmt.Sprintf("2026-01-0%d", len(h.Waiting)+1)), Areas: []string{}})
	}
	slices.SortFunc(h.Owners, func(a, b geo.Owner) int { return strings.Compare(a.Name, b.Name) })
	if rapid.Bool().Draw(t, "public") {
		h.Public = geo.AllShown()
	}
	for _, number := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"1", "01", "2", "10", "A", "a", "Ä", "A\u0308", "%", "'"}), 0,
		5, rapid.ID).Draw(t, "moorings") {
		m := geo.Mooring{Number: number, Area: rapid.SampledFrom(areas).Draw(t, "area"), Status: geo.Vacant,
			Position: geo.Position{LatDeg: float(-89, 89), LonDeg: float(-180, 180)},
			Accuracy: maybe(0, 5000), Depth: maybe(-20, 500), StatedRadius: maybe(0.5, 2000), LargestLOA: maybe(0.5, 150),
			LargestDraft: maybe(0, 15), Note: text.Draw(t, "note")}
		for range rapid.IntRange(0, 3).Draw(t, "parts") {
			p := geo.Part{Kind: rapid.SampledFrom(geo.PartKinds()).Draw(t, "part"), Length: maybe(0, 500), Size: maybe(0, 5),
				Material: text.Draw(t, "material")}
			if rapid.Bool().Draw(t, "weighed") {
				p.Weight = geo.Known(geo.Kilograms(float(0, 50000)))
			}
			m.Tackle = append(m.Tackle, p)
		}
		if rapid.Bool().Draw(t, "occupied") {
			m.Status = geo.Occupied
		}
		if m.Status == geo.Occupied && rapid.Bool().Draw(t, "boat") {
			m.Boat = &geo.Boat{Name: text.Draw(t, "boat's name"), Kind: text.Draw(t, "boat's kind"), LOA: maybe(0.5, 150),
				LengthAll: maybe(0.5, 150), Beam: maybe(0.2, 75),
				Draft: maybe(0, 15), BowHeight: maybe(0, 15), Owner: text.Draw(t, "owner")}
		}
		h.Moorings = append(h.Moorings, m)
	}
	return h
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
