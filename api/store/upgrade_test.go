package store_test

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
	"github.com/pressly/goose/v3"

	"swingroom/api/store"
	"swingroom/geo"
)

// older makes a database as an earlier version of the program left it: its tables, and a harbor with an area, written by hand.
func older(t *testing.T, version int64, shape orb.MultiPolygon) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "h.db")
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, os.DirFS("migrations"), goose.WithLogger(goose.NopLogger()))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := provider.UpTo(ctx, version); err != nil {
		t.Fatal(err)
	}
	ring, err := wkb.Marshal(shape)
	if err != nil {
		t.Fatal(err)
	}
	const rules = `{"swing":{"rule":"scope","scope":2.5},"margin_m":1,"keel_margin_m":0.3,"largest_loa_m":12,"largest_draft_m":null,` +
		`"lying":"in_unison"}`
	const defaults = `{"rules":` + rules + `,"accuracy_m":2,"shore_setback_m":0,"sounding_reach_m":75}`
	const record = `{"name":"Old Cove","units":"feet","levels":null,"defaults":` + defaults +
		`,"background":null,"shoreline_sha256":"","soundings_sha256":""}`
	area := `{"ordinal":0,"name":"Inner","rules":` + rules +
		`,"shape":{"type":"MultiPolygon","coordinates":[[[[-41.5,44.2],[-41.4,44.2],[-41.4,44.3],[-41.5,44.2]]]]}}`
	for _, step := range []struct {
		sql  string
		args []any
	}{
		{"PRAGMA application_id = 1937207917", nil},
		{"INSERT INTO harbor (id, slug, name, units, defaults, revision, changed_ms) VALUES (1, 'cove', 'Old Cove', 'feet', ?, 1, 1000)",
			[]any{defaults}},
		{"INSERT INTO area (harbor_id, name, ordinal, shape, rule, scope, formula_loa, formula_depth, formula_constant_m, margin_m, " +
			"keel_margin_m, largest_loa_m, lying)" +
			" VALUES (1, 'Inner', 0, ?, 'scope', 2.5, 0, 0, 0, 1, 0.3, 12, 'in_unison')", []any{ring}},
		{"INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, after) VALUES (1, 1, 1000, 'yard', 'typed in', " +
			"'harbor', '', ?), (1, 1, 1000, 'yard', 'typed in', 'area', 'Inner', ?)",
			[]any{record, area}},
	} {
		if _, err := db.Exec(step.sql, step.args...); err != nil {
			t.Fatalf("%s: %v", step.sql, err)
		}
	}
	return path
}

// A database of any earlier version opens and reads as it was, now and in its past; what it knew nothing of is unknown, and can then be put
// on record.
func TestAnOlderDatabaseReadsAsItWas(t *testing.T) {
	shape := orb.MultiPolygon{{{{-41.5, 44.2}, {-41.4, 44.2}, {-41.4, 44.3}, {-41.5, 44.2}}}}
	steps, err := os.ReadDir("migrations")
	if err != nil {
		t.Fatal(err)
	}
	for version := int64(1); version < int64(len(steps)); version++ {
		t.Run(fmt.Sprint("version ", version), func(t *testing.T) {
			s := open(t, older(t, version, shape))
			rules := geo.Rules{Swing: geo.SwingRule{Kind: geo.ScopeRule, ScopeRatio: 2.5}, Margin: 1, KeelMargin: 0.3,
				LargestLOA: known(12), Lying: geo.InUnison}
			want := &geo.Harbor{Name: "Old Cove", Units: geo.UnitsFeet,
				Defaults: geo.Defaults{Rules: rules, Accuracy: known(2), SoundingReach: 75},
				Areas:    []geo.Area{{Name: "Inner", Shape: shape, Rules: rules}}}
			got, _, err := s.Harbor(ctx, "")
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Fatalf("as it stands (%v):\n got %+v\nwant %+v", err, got, want)
			}
			if again := save(t, s, 1, got); again.Count() != 0 {
				t.Errorf("saved again as read, but told as changed:\n%s", told(again))
			}
			got.Areas[0].Rules.Design.Wind = geo.Known(geo.MetresPerSecond(21.5))
			if fields := save(t, s, 1, got).Changed[0].Fields(); !reflect.DeepEqual(fields,
				[]store.FieldChange{{Field: "rules.design.wind_ms", After: "21.5"}}) {
				t.Errorf("told as changed: %v", fields)
			}
			now, _, err := s.Harbor(ctx, "")
			if err != nil || !reflect.DeepEqual(now, got) {
				t.Errorf("with a design wind (%v): %+v", err, now)
			}
			past, err := s.HarborAsOf(ctx, "", time.UnixMilli(1500))
			if err != nil || !reflect.DeepEqual(past, want) {
				t.Errorf("as of its past (%v):\n got %+v\nwant %+v", err, past, want)
			}
		})
	}
}

// The waiting list was one field of the harbor. Each who waits has a history of her own now; the past still tells the list as it was.
func TestAnOlderWaitingListIsKeptByName(t *testing.T) {
	shape := orb.MultiPolygon{{{{-41.5, 44.2}, {-41.4, 44.2}, {-41.4, 44.3}, {-41.5, 44.2}}}}
	path := older(t, 6, shape)
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	const list = `[{"name":"Ada","since":"2020-01-02","areas":[],"boat":{"name":"","kind":"","loa_m":8,"length_all_m":null,` +
		`"beam_m":null,"draft_m":null,"bow_height_m":null,"owner":""},"note":"x"},` +
		`{"name":"Bo","since":"2021-01-02","areas":["Inner"],"boat":{"name":"","kind":"","loa_m":7,"length_all_m":null,"beam_m":null,` +
		`"draft_m":null,"bow_height_m":null,"owner":""},"note":""},` +
		`{"name":"Ada","since":"2022-01-02","areas":[],"boat":{"name":"","kind":"","loa_m":9,"length_all_m":null,"beam_m":null,` +
		`"draft_m":null,"bow_height_m":null,"owner":""},"note":"another"}]`
	for _, step := range []string{
		"UPDATE harbor SET waiting = '" + list + "', revision = 2, changed_ms = 2000",
		`INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, before, after)
			SELECT 1, 2, 2000, 'yard', 'the list', 'harbor', '', after, json_set(after, '$.waiting', json('` + list +
			`')) FROM history WHERE noun = 'harbor'`,
	} {
		if _, err := db.Exec(step); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	s := open(t, path)
	h, info, err := s.Harbor(ctx, "")
	if err != nil || len(h.Waiting) != 3 || h.Waiting[0].Note != "x" || h.Waiting[1].Name != "Bo" || h.Waiting[2].Note != "another" {
		t.Fatalf("%v %+v", err, h)
	}
	if again := save(t, s, info.Revision, h); again.Count() != 0 {
		t.Errorf("saved again as read, but told as changed:\n%s", told(again))
	}
	for at, want := range map[int64]int{1500: 0, 2500: 3} {
		past, err := s.HarborAsOf(ctx, "", time.UnixMilli(at))
		if err != nil || len(past.Waiting) != want {
			t.Errorf("at %d: %v, %d wait", at, err, len(past.Waiting))
		}
	}
	h.Waiting = h.Waiting[1:2]
	if c := save(t, s, info.Revision, h); len(c.Removed) != 2 {
		t.Errorf("two are placed: %s", told(c))
	}
	if err := s.Check(ctx); err != nil {
		t.Error(err)
	}
}
