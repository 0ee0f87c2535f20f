package exchange

import (
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"
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
		if err := out.Write(x.cells(line)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// cells are those of a row as they stand in the file. A text of a workbook is none that CSV could run.
func (x *rejected) cells(line int) []string {
	row := slices.Clone(x.rows.cells[line])
	for i, cell := range row {
		_, err := strconv.ParseFloat(cell, 64)
		if isXLSX(x.rows.file) && err != nil && !strings.HasPrefix(cell, "'") && !saysUnknown(strings.TrimSpace(cell)) {
			row[i] = plainMarked(cell)
		}
	}
	return row
}
