package exchange

import (
	"encoding/csv"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// writeRejected writes the bad rows of moorings.csv under its own heading and in its own dialect.
func (t *mooringTable) writeRejected(w io.Writer) error {
	out := csv.NewWriter(w)
	out.Comma = t.comma
	if err := out.Write(t.heading); err != nil {
		return err
	}
	for _, line := range slices.Sorted(maps.Keys(t.bad)) {
		if err := out.Write(t.rejectedCells(line)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// rejectedCells are those of a row as they stand in the file. A text of a workbook is none that CSV could run.
func (t *mooringTable) rejectedCells(line int) []string {
	cells := slices.Clone(t.cells[line])
	for i, cell := range cells {
		_, err := strconv.ParseFloat(cell, 64)
		if isXLSX(t.file) && err != nil && !strings.HasPrefix(cell, "'") && !saysUnknown(strings.TrimSpace(cell)) {
			cells[i] = plainMarked(cell)
		}
	}
	return cells
}
