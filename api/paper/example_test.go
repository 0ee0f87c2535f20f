package paper_test

import (
	"bytes"
	"fmt"
	"log"
	"strings"

	"swingroom/api/exchange"
	"swingroom/api/paper"
	"swingroom/fixtures"
	"swingroom/geo/clearance"
)

// The sheet of a mooring is a PDF: a chart extract in front, the working of the swing radius behind.
func ExampleMooringSheet() {
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		log.Fatal(err)
	}
	field, err := clearance.NewField(in.Harbor)
	if err != nil {
		log.Fatal(err)
	}
	options, err := paper.ParseOptions("Letter", "1:2,500")
	if err != nil {
		log.Fatal(err)
	}
	var sheet bytes.Buffer
	if err := paper.MooringSheet(&sheet, field, "301", paper.SheetOptions{Options: options, Reason: "First on the list."}); err != nil {
		log.Fatal(err)
	}
	fmt.Println(sheet.String()[:4], strings.Count(sheet.String(), "/Type /Page\n"), "pages")
	// Output: %PDF 2 pages
}

// Options come from a query or from flags as text, and say what is expected before anything is drawn.
func ExampleOptions_Validate() {
	options, err := paper.ParseOptions("A3", "1000")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(options.Validate(paper.Chart))
	fmt.Println(options.Validate(paper.Sheet))
	// Output:
	// <nil>
	// sheet: paper is "a3"; a4, letter is expected
}
