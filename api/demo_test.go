package api_test

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"swingroom/api/exchange"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo"
)

// read is the demo harbor, read once.
var read = sync.OnceValues(func() (*geo.Harbor, error) {
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		return nil, err
	}
	return in.Harbor, nil
})

// demo is the demo harbor for a test to change: moorings, boats, tackle, areas and lists are its own, shapes and soundings everybody's.
func demo(t testing.TB) *geo.Harbor {
	t.Helper()
	whole, err := read()
	if err != nil {
		t.Fatal(err)
	}
	h := *whole
	h.Moorings, h.Areas, h.KeepOuts = slices.Clone(h.Moorings), slices.Clone(h.Areas), slices.Clone(h.KeepOuts)
	h.Owners, h.Notes, h.Waiting = slices.Clone(h.Owners), slices.Clone(h.Notes), slices.Clone(h.Waiting)
	for i := range h.Moorings {
		m := &h.Moorings[i]
		m.Tackle = slices.Clone(m.Tackle)
		if m.Boat != nil {
			boat := *m.Boat
			m.Boat = &boat
		}
	}
	return &h
}

// saved is a database that holds the demo harbor as it is, made once: saving it anew for each test is what takes longest under the race
// detector.
var saved = sync.OnceValues(func() ([]byte, error) {
	h, err := read()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "swingroom-test-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "h.db")
	db, err := store.Open(context.Background(), path)
	if err != nil {
		return nil, err
	}
	if _, err := db.Save(context.Background(), store.Slug(h.Name), 0, h, store.Act{Who: "test", Why: "test"}); err != nil {
		return nil, err
	}
	if err := db.Close(); err != nil { // all of it is in the one file then
		return nil, err
	}
	return os.ReadFile(path)
})

// onFile opens a store that holds the harbors.
func onFile(t testing.TB, harbors ...*geo.Harbor) *store.Store {
	t.Helper()
	path := filepath.Join(t.TempDir(), "h.db")
	if whole, err := read(); err == nil && len(harbors) == 1 && reflect.DeepEqual(harbors[0], whole) {
		bytes, err := saved()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, bytes, 0o600); err != nil {
			t.Fatal(err)
		}
		harbors = nil
	}
	db, err := store.Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	for _, h := range harbors {
		if _, err := db.Save(context.Background(), store.Slug(h.Name), 0, h, store.Act{Who: "test", Why: "test"}); err != nil {
			t.Fatal(err)
		}
	}
	return db
}

// exampleQuery is what a path is asked with, for one that asks for something; the path as the service describes it.
func exampleQuery(path string) string {
	last := path[strings.LastIndex(path, "/")+1:]
	switch {
	case last == "find", last == "search":
		return "?q=grey"
	case last == "trial":
		return "?number=001"
	case last == "places":
		return "?loa_m=8"
	case last == "fit":
		return "?loa_m=14"
	case last == "area_chart.pdf":
		return "?area=Town+Cove&scale=2500"
	case strings.Contains(path, "/what_if"):
		return "?area=Town+Cove&scope=3"
	case last == "spot":
		return "?" + forASloop + "&position=44.2074,-41.4945"
	case last == "spots", last == "open_water", last == "capacity":
		return "?" + forASloop
	}
	return ""
}
