package store_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
	"pgregory.net/rapid"

	"swingroom/api/store"
	"swingroom/geo"
)

var ctx = context.Background()

func open(t testing.TB, path string) *store.Store {
	t.Helper()
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func known(m float64) geo.Maybe[geo.Metres] { return geo.Known(geo.Metres(m)) }

// rich is a harbor with something in every field, zeros and unknowns side by side.
func rich() *geo.Harbor {
	ring := func(lon, lat, size float64) orb.Ring {
		return orb.Ring{{lon, lat}, {lon + size, lat}, {lon + size, lat + size}, {lon, lat + size}, {lon, lat}}
	}
	hole := ring(-41.495, 44.205, 0.001)
	hole.Reverse()
	rules := geo.Rules{Swing: geo.SwingRule{Kind: geo.Formula, LOARatio: 1.0 / 3, DepthRatio: 0.1, Constant: 0.3048}, Margin: 1.1,
		KeelMargin: 0.3,
		LargestLOA: known(12.192), LargestDraft: known(0), Lying: geo.InUnison,
		Design: geo.Design{Wind: geo.Known(geo.Knots(42)), GustRatio: geo.Known(1.25), ScatterDeg: geo.Known(0.0),
			Stream: geo.Known(geo.Knots(1.2)), StreamDeg: geo.Known(-20.5), CalmOff: true}}
	byDefault := geo.DefaultRules()
	byDefault.Design = geo.Design{GustRatio: geo.Known(1.4), Stream: geo.Known(geo.MetresPerSecond(0))}
	lines := geo.Lines{Chain: []geo.ChainSize{{Size: 0.013, MassKgPerM: 3.7}, {Size: 0.016, MassKgPerM: 1.0 / 3}},
		Ropes: []geo.RopeKind{{Material: "nylon", Size: 0.016, MassKgPerM: 0.159, DensityKgPerM3: 1140,
			Stretch: []geo.StretchPoint{{PullN: 1000, StrainRatio: 0.04}, {PullN: 1e4, StrainRatio: 0.2}}},
			{Material: "wire", Size: 0.01, MassKgPerM: 0.4, DensityKgPerM3: 7850}}}
	return &geo.Harbor{
		Name: "Öland’s \"Cove\"; DROP TABLE mooring; --", Units: geo.UnitsFeet,
		Levels:   geo.Known(geo.Levels{Datum: "mean lower low water", Low: -0.3, High: 3.6}),
		Defaults: geo.Defaults{Rules: byDefault, Accuracy: known(2.5), ShoreSetback: 1, SoundingReach: 75, Lines: lines},
		Tide: &geo.Tide{Station: "Grid Sound", Source: "invented", MeanLevel: 1.5,
			Constituents: []geo.Constituent{{Name: "M2", Amplitude: 1.2, PhaseDeg: 100}}},
		Waiting: []geo.Waiting{{Name: "Grid Keeper", Since: "2024-03-15", Areas: []string{}, Boat: geo.Boat{LOA: known(8.5)},
			Note: "spring"}},
		Owners: []geo.Owner{{Name: "A. Nobody", Phone: "+00 555 0100", Email: "nobody@example.invalid", Address: "1 Quay\nNowhere",
			Resident: geo.Known(true), Note: "=2+2"}, {Name: "Øyvind <b>", Resident: geo.Known(false)}},
		Notes: []geo.Note{{ID: "n1", Mooring: "007", At: time.Date(2026, 5, 1, 8, 30, 0, 0, time.UTC), By: "crew", Text: "shackle seized",
			Photos: []string{strings.Repeat("ab", 32)}},
			{ID: "n2", At: time.Date(2026, 5, 2, 8, 30, 0, 5e6, time.UTC), Text: "ice"}},
		Public:     []geo.Shown{geo.ShownWaitingNames, geo.ShownPermit},
		Background: &geo.Background{URL: "https://tiles.example/{z}/{x}/{y}.png", Attribution: "© nobody"},
		Shoreline: geo.Shoreline{Land: orb.MultiPolygon{{ring(-41.6, 44.1, 0.05)}},
			Lines: orb.MultiLineString{{{-41.5, 44.1}, {-41.4, 1.0 / 3}}}},
		KeepOuts: []geo.KeepOut{{Name: "Main", Kind: geo.Fairway, Shape: orb.MultiPolygon{{ring(-41.4, 44.2, 0.01)}}, Setback: 10},
			{Kind: geo.ClosedWater, Reason: "eelgrass", Shape: orb.MultiPolygon{{ring(-41.3, 44.2, 0.01)}}},
			{Kind: geo.ClosedWater, Reason: "cable", Shape: orb.MultiPolygon{{ring(-41.2, 44.2, 0.01)}}}},
		Areas: []geo.Area{{Name: "Inner", Shape: orb.MultiPolygon{{ring(-41.5, 44.2, 0.01), hole}}, Rules: rules},
			{Name: "A first by name", Shape: orb.MultiPolygon{{ring(-41.45, 44.2, 0.01)}}, Rules: geo.DefaultRules()}},
		Moorings: []geo.Mooring{
			{Number: "007", Area: "Inner", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.2 + 1.0/3e5, LonDeg: -41.5},
				Accuracy: known(0.5), Depth: known(0), StatedRadius: known(21),
				Tackle: geo.Tackle{{Kind: geo.Anchor, Weight: geo.Known(geo.Kilograms(180)), Material: "mushroom"},
					{Kind: geo.GroundChain, Length: known(9.1), Size: known(0.016), Installed: "2021-04-02", Inspected: "2026-04-09"},
					{Kind: geo.Buoy, Size: known(0.6), Weight: geo.Known(geo.Kilograms(12)), Material: "white"}, {Kind: geo.Pennant},
					{Kind: geo.MarkerLine, Length: known(8)}, {Kind: geo.Marker, Material: "stick"}},
				Boat: &geo.Boat{Name: "Grey Heron", Kind: "sail", LOA: known(8), LengthAll: known(9), Beam: known(2.5), Draft: known(1.5),
					BowHeight: known(0), Owner: "A. Nobody"}, LargestLOA: known(10), LargestDraft: known(2),
				Permit: geo.Permit{Year: 2026, Expires: "2026-12-31"}, Note: "=1+1\n<b>"},
			{Number: "9", Status: geo.Vacant, Position: geo.Position{LatDeg: -1, LonDeg: 180}},
			{Number: "10", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.2, LonDeg: -41.5}, Boat: &geo.Boat{}},
		},
		Soundings: geom.NewMultiPointFlat(geom.XYZ, []float64{-41.5, 44.2, -0.3, -41.4, 1.0 / 3, 12.25}),
	}
}

var act = store.Act{Who: "tester", Why: "because"}

func save(t testing.TB, s *store.Store, base int64, h *geo.Harbor) store.Changes {
	t.Helper()
	c, err := s.Save(ctx, "cove", base, h, act)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAHarborComesBackAsItWasSaved(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	s := open(t, path)
	want := rich()
	if c := save(t, s, 0, want); c.Revision != 1 || len(c.Added) != 14 {
		t.Errorf("revision %d, %d added", c.Revision, len(c.Added))
	}
	for name, read := range map[string]func() (*geo.Harbor, error){
		"as it stands": func() (*geo.Harbor, error) { h, _, err := open(t, path).Harbor(ctx, ""); return h, err },
		"from history": func() (*geo.Harbor, error) { return s.HarborAsOf(ctx, "cove", time.Now().Add(time.Second)) },
	} {
		got, err := read()
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\n got %+v\nwant %+v", name, got, want)
		}
	}
}

func TestOnlyWhatDiffersIsWrittenAndTold(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := rich()
	save(t, s, 0, h)
	if c := save(t, s, 1, h); c.Count() != 0 || c.Revision != 1 {
		t.Errorf("nothing differs, but: %+v", c)
	}
	h.Moorings[0].Boat.LOA = known(8.5)
	h.Moorings = h.Moorings[:2]
	c := save(t, s, 1, h)
	if len(c.Changed) != 1 || len(c.Removed) != 1 || len(c.Added) != 0 || c.Removed[0].Name != "10" {
		t.Fatalf("%+v", c)
	}
	if got := fmt.Sprint(c.Changed[0].Fields()); got != "[{boat.loa_m 8 8.5}]" {
		t.Errorf("fields %s", got)
	}
	rows, err := s.History(ctx, "", store.NounMooring, "007")
	if err != nil || len(rows) != 2 || rows[0].Who != "tester" || rows[0].Why != "because" || rows[1].Before != nil ||
		rows[0].Revision != 2 {
		t.Errorf("%v %+v", err, rows)
	}
}

func TestRefusals(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	if _, _, err := s.Harbor(ctx, ""); !errors.Is(err, store.ErrNoHarbor) {
		t.Errorf("empty: %v", err)
	}
	save(t, s, 0, rich())
	if _, err := s.Save(ctx, "cove", 0, rich(), act); !errors.Is(err, store.ErrExists) {
		t.Errorf("again as new: %v", err)
	}
	if _, err := s.Save(ctx, "cove", 7, rich(), act); !errors.Is(err, store.ErrStale) {
		t.Errorf("stale: %v", err)
	}
	if _, err := s.Save(ctx, "cove", 1, rich(), store.Act{Who: " ", Why: "x"}); !errors.Is(err, geo.ErrInvalid) {
		t.Errorf("nobody: %v", err)
	}
	bad := rich()
	bad.Moorings[0].Boat.LOA = known(-1)
	if _, err := s.Save(ctx, "cove", 1, bad, act); !errors.Is(err, geo.ErrInvalid) {
		t.Errorf("invalid: %v", err)
	}
	if _, err := s.Save(ctx, "Not A Slug", 0, rich(), act); !errors.Is(err, geo.ErrInvalid) {
		t.Errorf("slug: %v", err)
	}
	if _, err := s.Save(ctx, "other", 0, rich(), act); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.Harbor(ctx, ""); !errors.Is(err, store.ErrWhichHarbor) || !strings.Contains(err.Error(), "cove, other") {
		t.Errorf("several: %v", err)
	}
	if _, _, err := s.Harbor(ctx, "nowhere"); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("unknown: %v", err)
	}
	if _, err := s.HarborAsOf(ctx, "cove", time.Unix(0, 0)); !errors.Is(err, geo.ErrNotFound) {
		t.Errorf("before its history: %v", err)
	}
}

func TestFilesThatAreNotOursAreRefused(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("this is no database\n", 100)), 0o644); err != nil {
		t.Fatal(err)
	}
	foreign := filepath.Join(dir, "foreign.db")
	other, err := sql.Open("sqlite", foreign)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Exec("CREATE TABLE t (x)"); err != nil {
		t.Fatal(err)
	}
	other.Close()
	for _, path := range []string{text, foreign} {
		if _, err := store.Open(ctx, path); !errors.Is(err, store.ErrForeign) {
			t.Errorf("%s: %v", path, err)
		}
	}
	newer := filepath.Join(dir, "newer with spaces?&#%.db")
	open(t, newer)
	db, err := sql.Open("sqlite", newer)
	if _, statErr := os.Stat(newer); statErr != nil {
		t.Fatal(statErr)
	}
	if err != nil {
		t.Fatal(err)
	}
	db.Close()
	plain := filepath.Join(dir, "plain.db")
	if s, err := store.Open(ctx, plain); err != nil {
		t.Fatal(err)
	} else {
		s.Close()
	}
	db, err = sql.Open("sqlite", plain)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (999, 1)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	if _, err := store.Open(ctx, plain); !errors.Is(err, store.ErrNewer) {
		t.Errorf("newer: %v", err)
	}
	if _, err := store.Open(ctx, filepath.Join(dir, "no", "folder.db")); err == nil || !strings.Contains(err.Error(), "no folder") {
		t.Errorf("no folder: %v", err)
	}
}

func TestEveryTableIsStrictAndEveryCommitReachesTheDisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	s := open(t, path)
	for pragma, want := range map[string]int{"synchronous": 2, "foreign_keys": 1} {
		if got := s.Pragma(t, pragma); got != fmt.Sprint(want) {
			t.Errorf("%s is %s, want %d", pragma, got, want)
		}
	}
	if got := s.Pragma(t, "journal_mode"); got != "wal" {
		t.Errorf("journal_mode is %s", got)
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rows, err := db.Query("SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE " +
		"'sqlite_%' AND name NOT LIKE 'goose_%'")
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	tables := 0
	for rows.Next() {
		var name string
		var strict bool
		if err := rows.Scan(&name, &strict); err != nil {
			t.Fatal(err)
		}
		tables++
		if !strict {
			t.Errorf("table %s is not strict", name)
		}
	}
	if tables != 13 {
		t.Errorf("%d tables", tables)
	}
}

func TestAnyPastIsReadAsItWasSaved(t *testing.T) {
	dir := t.TempDir()
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		s, err := store.Open(ctx, filepath.Join(dir, fmt.Sprint(n)))
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		clock := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
		type past struct {
			at time.Time
			h  *geo.Harbor
		}
		var pasts []past
		var revision int64
		for range rapid.IntRange(1, 8).Draw(t, "saves") {
			h := rich()
			h.Moorings = h.Moorings[r.IntN(2):]
			for i := range h.Moorings {
				h.Moorings[i].Depth = known(float64(r.IntN(3)))
			}
			h.Areas[0].Rules.Margin = geo.Metres(r.IntN(2))
			h.Areas = h.Areas[:1+r.IntN(2)]
			h.KeepOuts = h.KeepOuts[r.IntN(3):]
			h.Soundings = geom.NewMultiPointFlat(geom.XYZ, []float64{-41, 44, float64(r.IntN(3))})
			if r.IntN(2) == 0 {
				h.Levels = geo.Maybe[geo.Levels]{}
			}
			clock = clock.Add(time.Hour)
			c, err := s.Save(ctx, "cove", revision, h, store.Act{Who: "x", Why: "y", At: clock})
			if err != nil {
				t.Fatal(err)
			}
			revision = c.Revision
			pasts = append(pasts, past{clock, h})
		}
		for _, p := range pasts {
			got, err := s.HarborAsOf(ctx, "cove", p.at.Add(time.Minute))
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, p.h) {
				t.Fatalf("as of %v:\n got %+v\nwant %+v", p.at, got, p.h)
			}
		}
		got, _, err := s.Harbor(ctx, "cove")
		if err != nil || !reflect.DeepEqual(got, pasts[len(pasts)-1].h) {
			t.Fatalf("as it stands: %v\n got %+v\nwant %+v", err, got, pasts[len(pasts)-1].h)
		}
	})
}

func TestTheClockOfAHarborDoesNotRunBackwards(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	h := rich()
	late := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	if _, err := s.Save(ctx, "cove", 0, h, store.Act{Who: "x", Why: "y", At: late}); err != nil {
		t.Fatal(err)
	}
	h.Units = geo.UnitsMetres
	if _, err := s.Save(ctx, "cove", 1, h, store.Act{Who: "x", Why: "y", At: late.Add(-time.Hour)}); err != nil {
		t.Fatal(err)
	}
	if got, err := s.HarborAsOf(ctx, "cove", late); err != nil || got.Units != geo.UnitsMetres {
		t.Errorf("%v %v", got, err)
	}
}

func TestTwoProgramsOnOneFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.db")
	a, b := open(t, path), open(t, path)
	before, err := b.DataVersion(ctx)
	if err != nil {
		t.Fatal(err)
	}
	h := rich()
	save(t, a, 0, h)
	if after, err := b.DataVersion(ctx); err != nil || after == before {
		t.Errorf("data version %d stays (%v)", after, err)
	}
	h.Units = geo.UnitsMetres
	save(t, b, 1, h)
	if _, err := a.Save(ctx, "cove", 1, rich(), act); !errors.Is(err, store.ErrStale) {
		t.Errorf("the second of two writers: %v", err)
	}
	var wait sync.WaitGroup
	for range 8 { // readers go on while one writes
		wait.Add(1)
		go func() {
			defer wait.Done()
			for range 5 {
				if _, _, err := a.Harbor(ctx, "cove"); err != nil {
					t.Error(err)
				}
			}
		}()
	}
	for i := range 5 {
		h.Moorings[0].Depth = known(float64(i + 1))
		save(t, b, int64(i+2), h)
	}
	wait.Wait()
}

// TestKilledWhileWriting kills a writing process at random moments: whatever it has acknowledged is there, whole.
func TestKilledWhileWriting(t *testing.T) {
	const variable = "SWINGROOM_TEST_WRITES_TO"
	if path := os.Getenv(variable); path != "" {
		writeUntilKilled(t, path)
		return
	}
	rounds := 5
	if testing.Short() {
		rounds = 2
	}
	for round := range rounds {
		path := filepath.Join(t.TempDir(), "h.db")
		save(t, open(t, path), 0, rich())
		cmd := exec.Command(os.Args[0], "-test.run", "^TestKilledWhileWriting$")
		cmd.Env = append(os.Environ(), variable+"="+path)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		var last int64
		deadline := time.Now().Add(time.Duration(200+rand.IntN(300)) * time.Millisecond)
		for time.Now().Before(deadline) || last == 0 {
			var revision int64
			if _, err := fmt.Fscanln(out, &revision); err != nil {
				t.Fatal(err)
			}
			last = revision
		}
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = cmd.Wait() // it was killed: its error is no news
		s := open(t, path)
		h, info, err := s.Harbor(ctx, "cove")
		if err != nil {
			t.Fatal(err)
		}
		if info.Revision < last {
			t.Errorf("round %d: revision %d was acknowledged, %d is there", round, last, info.Revision)
		}
		past, err := s.HarborAsOf(ctx, "cove", time.Now().Add(time.Hour))
		if err != nil || !reflect.DeepEqual(past, h) || float64(h.Moorings[0].Depth.Or(-1)) != float64(info.Revision) {
			t.Errorf("round %d: history and tables differ at revision %d (%v)", round, info.Revision, err)
		}
	}
}

func writeUntilKilled(t *testing.T, path string) {
	s, h := open(t, path), rich()
	for base := int64(1); ; base++ {
		h.Moorings[0].Depth = known(float64(base + 1))
		// Depths past the limit are refused: begin again lower would break the count, and nobody gets that far.
		c, err := s.Save(ctx, "cove", base, h, act)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println(c.Revision)
	}
}

func many(n int) *geo.Harbor {
	h := rich()
	m := h.Moorings[0]
	h.Moorings = nil
	for i := range n {
		m.Number = fmt.Sprint(i + 1)
		h.Moorings = append(h.Moorings, m)
	}
	return h
}

func BenchmarkStore(b *testing.B) {
	h := many(500)
	path := filepath.Join(b.TempDir(), "h.db")
	s := open(b, path)
	if _, err := s.Save(ctx, "cove", 0, h, act); err != nil {
		b.Fatal(err)
	}
	b.Run("read 500", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := s.Harbor(ctx, "cove"); err != nil {
				b.Fatal(err)
			}
		}
	})
	base := int64(1)
	b.Run("save one of 500", func(b *testing.B) {
		for b.Loop() {
			h.Moorings[7].Depth = known(float64(base % 100))
			c, err := s.Save(ctx, "cove", base, h, act)
			if err != nil {
				b.Fatal(err)
			}
			base = c.Revision
		}
	})
	n := 0
	b.Run("save 500 new", func(b *testing.B) {
		for b.Loop() {
			n++
			if _, err := s.Save(ctx, fmt.Sprintf("new-%d", n), 0, h, act); err != nil {
				b.Fatal(err)
			}
		}
	})
}
