package exchange_test

import (
	"bytes"
	"fmt"
	"log"
	"os"
	"testing/fstest"

	"swingroom/api/exchange"
	"swingroom/fixtures"
	"swingroom/geo"
)

// A folder of files becomes a harbor. What cannot be taken is named by file, line and column, with what is expected.
func ExampleReadFolder() {
	folder := fstest.MapFS{
		"harbor.json": {Data: []byte(`{"name": "Tarrowick Harbor", "units": "feet"}`)},
		"moorings.csv": {Data: []byte("number,position,boat,loa_ft\n" +
			"217,44° 12.126' N 041° 30.204' W,Grey Heron,27'6\"\n" +
			"218,44° 12.162' N 041° 30.246' W,Plover,short\n")},
	}
	in, err := exchange.ReadFolder(folder, exchange.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range in.Harbor.Moorings {
		fmt.Printf("%s, mooring %s: %s, %.1f ft\n", in.Harbor.Name, m.Number, m.Boat.Name, m.Boat.LOA.Or(0).Feet())
	}
	for _, p := range in.Problems {
		fmt.Println(p)
	}
	// Output:
	// Tarrowick Harbor, mooring 217: Grey Heron, 27.5 ft
	// moorings.csv line 3, loa_ft: "short": a number is expected
}

// The lists of a harbor are files of the same form, which ReadFolder takes in again.
func ExampleWrite() {
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		log.Fatal(err)
	}
	h := *in.Harbor
	h.Owners = []geo.Owner{{Name: "Ada Quill", Phone: "+000 555 0100", Address: "1 Rope Lane", Resident: geo.Known(true)}}
	var list bytes.Buffer
	if err := exchange.Write(&list, "owners", &h, "", exchange.CSV); err != nil {
		log.Fatal(err)
	}
	os.Stdout.Write(bytes.TrimPrefix(list.Bytes(), []byte("\xef\xbb\xbf"))) // the byte order mark that spreadsheets need
	// Output:
	// name,phone,email,address,resident,note
	// Ada Quill,"'+000 555 0100",,"1 Rope Lane",yes,
}
