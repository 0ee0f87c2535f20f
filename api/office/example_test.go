package office_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"swingroom/api/account"
	"swingroom/api/exchange"
	"swingroom/api/office"
	"swingroom/api/store"
	"swingroom/fixtures"
	"swingroom/geo"
)

// A vacant mooring is found for a boat, assigned to it, and given back.
func Example() {
	ctx := context.Background()
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	folder, err := os.MkdirTemp("", "office")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(folder)
	db, err := store.Open(ctx, filepath.Join(folder, "harbor.db"))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer db.Close()
	if _, err := db.Save(ctx, "tarrowick-harbor", 0, in.Harbor, store.Act{Who: "harbormaster", Why: "taken in"}); err != nil {
		fmt.Println(err)
		return
	}

	warden := account.Person{Name: "Quay Warden", Role: account.Harbormaster}
	harbor, err := office.New(office.Options{Store: db}).Harbor(ctx, "tarrowick-harbor", warden)
	if err != nil {
		fmt.Println(err)
		return
	}
	wren := office.Boat{Name: "Wren", Owner: "Ada Quill"}
	wren.LOA, wren.Beam, wren.Draft, wren.BowHeight = geo.Known(geo.Feet(19)), geo.Known(geo.Feet(7)), geo.Known(geo.Feet(2)),
		geo.Known(geo.Feet(2))
	places, err := harbor.Places(wren.Dimensions)
	if err != nil {
		fmt.Println(err)
		return
	}
	best := places.Places[0]
	fmt.Println("first place:", best.Number)

	by := office.Author{Person: warden, Why: "first on the list", Despite: "the pennant is not on record yet",
		Precondition: office.AnyRevision}
	done, err := harbor.Assign(ctx, by, office.Assignment{Number: best.Number, Boat: wren})
	fmt.Println(done.Words.Feet, err)
	done, err = harbor.Undo(ctx, by)
	fmt.Println(done.Words.Feet, err)
	// Output:
	// first place: 381
	// 381 is assigned to Wren <nil>
	// undone: first on the list; despite the check: the pennant is not on record yet <nil>
}
