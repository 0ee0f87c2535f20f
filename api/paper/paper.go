// Package paper draws a harbor's sheets as PDF: the sheet of one mooring, to be put in the file and signed, and the chart of an area.
// Charts are true to a stated scale, with a bar on the paper to hold that against.
package paper

// Paper is a size of paper.
type Paper string

// The sizes that a sheet comes in.
const (
	A4      Paper = "a4"
	Letter  Paper = "letter"
	A3      Paper = "a3"
	Tabloid Paper = "tabloid"
)

// Caution stands on every page.
const Caution = "A planning aid, not for navigation. The harbormaster's permit and local codes govern. Setting, hauling and diving are " +
	"work for licensed practice. " +
	"Depths and positions are as entered, and not a survey."

const mmPerInch = 25.4

// upright is the size of the paper in portrait: ISO 216, and inches of the North American sizes.
func (p Paper) upright() (wMM, hMM float64) {
	switch p {
	case A4:
		return 210, 297
	case A3:
		return 297, 420
	case Tabloid:
		return 11 * mmPerInch, 17 * mmPerInch
	}
	return 8.5 * mmPerInch, 11 * mmPerInch
}
