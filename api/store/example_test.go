package store_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
)

// must ends an example where something fails.
func must(err error) {
	if err != nil {
		panic(err)
	}
}

// A harbor is saved in a new file and read again; a boat on it changes; the history tells what has changed, and how it was before.
func ExampleStore() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "swingroom-example-")
	must(err)
	defer os.RemoveAll(dir)
	s, err := store.Open(ctx, filepath.Join(dir, "harbor.db"))
	must(err)
	defer s.Close()

	april, june := time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC), time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	first := &geo.Harbor{Name: "Tarrowick Harbor", Units: geo.UnitsMetres, Defaults: geo.NewDefaults(), Moorings: []geo.Mooring{{
		Number: "007", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.2, LonDeg: -41.5},
		Boat: &geo.Boat{Name: "Grey Heron", LOA: geo.Known(geo.Metres(8))}}}}
	_, err = s.Save(ctx, store.Slug(first.Name), 0, first, store.Act{Who: "yard", Why: "cards typed in", At: april})
	must(err)

	// What is on file is not written to: the next state is a copy in which another boat lies.
	h, info, err := s.Harbor(ctx, "") // the only one
	must(err)
	next, boat := h.Clone(), *h.Moorings[0].Boat
	boat.LOA = geo.Known(geo.Metres(8.5))
	next.Moorings[0].Boat = &boat

	// Prepare works out what differs; Submit has it written, and Wait returns once it is on disk.
	change, err := s.Prepare(info.Slug, info.Revision, h, next, store.Act{Who: "yard", Why: "measured again", At: june})
	must(err)
	change.Submit(ctx)
	done, err := change.Wait()
	must(err)
	fmt.Println("revision", done.Revision)

	history, err := s.History(ctx, info.Slug, store.NounMooring, "007")
	must(err)
	for _, c := range history[:1] { // the newest first
		fmt.Println(c.Who, c.Why, c.Noun, c.Name, c.Fields())
	}
	past, err := s.HarborAsOf(ctx, info.Slug, june.AddDate(0, 0, -1))
	must(err)
	fmt.Println("in May:", past.Moorings[0].Boat.LOA.Or(0))
	// Output:
	// revision 2
	// yard measured again mooring 007 [{boat.loa_m 8 8.5}]
	// in May: 8
}

func ExampleSlug() {
	fmt.Println(store.Slug("Tarrowick Harbor"))
	// Output: tarrowick-harbor
}
