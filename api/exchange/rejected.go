package exchange

import (
	"encoding/csv"
	"io"
	"slices"
)

// rejected is the bad rows of moorings.csv.
type rejected struct {
	rows *mooringRows
}

func (x *rejected) write(w io.Writer) error {
	out := csv.NewWriter(w)
	out.Comma = x.rows.comma
	if err := out.Write(x.rows.heading); err != nil {
		return err
	}
	var lines []int
	for line := range x.rows.bad {
		lines = append(lines, line)
	}
	slices.Sort(lines)
	for _, line := range lines {
		if err := out.Write(x.rows.cells[line]); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
